//! Isolators, shunts, stray current, relays by their size, split relays that sense, a remote solenoid.

use super::{amps, between, lost, near, ohms, read, solved, told, turned};

/// A boat: a pump's splice lies in the bilge, the hull hangs on the sea alone.
const BOAT: &str = r#"
format = 1
[vehicle]
name = "Boat with a leak"
nominal = "12 V"
earth = "negative"
environment = "sea"
states = ["resting"]

[structures.hull]
[structures.hull.points.bilge]

[structures.engine]
resistance = "0.2 mΩ"
[structures.engine.points.bolt]
[structures.engine.points.shaft]

[points.splice]

[batteries.main]
resistance = "9 mΩ"
voltage = "12.6 V"

[conductors]
ground = { from = { point = "main/-", resistance = "0.1 mΩ" }, to = { point = "engine/bolt", resistance = "0.1 mΩ" }, resistance = "0.8 mΩ" }
feed = { from = { point = "main/+", resistance = "0.1 mΩ" }, to = { point = "splice", resistance = "0.2 mΩ" }, resistance = "60 mΩ" }

[incidental]
leak = { from = "splice", to = "hull/bilge", kind = "bilge water", resistance = "1.2 kΩ" }
sea = { from = "hull/bilge", to = "engine/shaft", kind = "sea water", resistance = "5 Ω" }
"#;

#[test]
fn a_leak_into_the_bilge_lifts_the_hull_by_its_milliamperes() {
    for text in [BOAT.to_owned(), turned(BOAT)] {
        let (vehicle, codes) = read(&text);
        assert_eq!(codes, Vec::<String>::new());
        let point = solved(&vehicle, "resting");
        let stray = 12.6 / (1205.0 + 0.0603 + 0.0102);
        near(amps(&vehicle, &point, "leak"), stray);
        near(between(&vehicle, &point, "hull/bilge", "engine/shaft").abs(), stray * 5.0);
        assert_eq!(units::print::amperes(units::Amperes(stray)), "10.5 mA");
        assert_eq!(units::print::amperes(units::Amperes(stray / 1000.0)), "10.5 µA");
    }
}

/// A load that comes home through a galvanic isolator alone, and a hull with 63 mV on the other.
const ISOLATOR: &str = r#"
format = 1
[vehicle]
name = "Galvanic isolators"
nominal = "12 V"
earth = "negative"
environment = "sea"
states = ["resting"]

[structures.hull]
[structures.hull.points.bilge]

[isolators.home]
to = "main/-"

[isolators.bond]
from = "hull/bilge"
to = "main/-"
drop = "1.2 V"

[batteries.main]
resistance = "9 mΩ"
voltage = "12.6 V"

[incidental]
leak = { from = "main/+", to = "hull/bilge", kind = "bilge water", resistance = "1.2 kΩ" }
sea = { from = "hull/bilge", to = "main/-", kind = "sea water", resistance = "5 Ω" }

[loads.heater]
kind = "resistive"
draws = "1 Ω"
on = ["resting"]
feed = { from = { point = "main/+", resistance = "0.1 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "18.9 mΩ" }
return = { to = { point = "home/in", resistance = "0.2 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "8.8 mΩ" }
"#;

#[test]
fn a_galvanic_isolator_blocks_millivolts_and_passes_a_fault_either_way() {
    for text in [ISOLATOR.to_owned(), turned(ISOLATOR)] {
        let (vehicle, codes) = read(&text);
        assert_eq!(codes, Vec::<String>::new());
        let post = if text == ISOLATOR { "main/-" } else { "main/+" };
        let point = solved(&vehicle, "resting");
        // The leak lifts the hull by 5 parts in 1205; the bond's diodes do not conduct at that.
        let hull = between(&vehicle, &point, "hull/bilge", post).abs();
        assert!((hull - 12.3 * 5.0 / 1205.0).abs() < 2e-3, "{hull}");
        assert!(amps(&vehicle, &point, "bond.there") < 1e-6);
        // The heater's current passes 1.3 V and 2 mΩ of diodes, one way or the other.
        let through = ["home.there", "home.back"].map(|way| amps(&vehicle, &point, way));
        let through = through[0].max(through[1]);
        let dropped = between(&vehicle, &point, "home/in", post).abs();
        assert!((dropped - 1.3 - 0.002 * through).abs() < 0.02, "{dropped} at {through}");
        let heater = (12.6 - dropped) / (0.009 + 0.02 + 1.0 + 0.01);
        assert!((through - heater).abs() < 0.01 * heater, "{through} for {heater}");
    }
}

/// A battery behind a shunt of 500 A and 50 mV.
const SHUNT: &str = r#"
format = 1
[vehicle]
name = "Shunt"
nominal = "12 V"
earth = "negative"
states = ["resting"]

[points.bus]

[shunts.monitor]
rating = "500 A"

[batteries.leisure]
resistance = "9 mΩ"
voltage = "12.6 V"

[conductors]
post = { from = { point = "leisure/-", resistance = "0.1 mΩ" }, to = { point = "monitor/in", resistance = "0.1 mΩ" }, resistance = "0.3 mΩ" }
home = { from = { point = "monitor/out", resistance = "0.1 mΩ" }, to = { point = "bus", resistance = "0.1 mΩ" }, resistance = "0.7 mΩ" }

[loads.pump]
kind = "resistive"
draws = "1.2 Ω"
on = ["resting"]
feed = { from = { point = "leisure/+", resistance = "0.1 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "18.9 mΩ" }
return = { to = { point = "bus", resistance = "0.2 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "8.8 mΩ" }
"#;

#[test]
fn a_shunt_loses_its_marked_millivolts_at_its_marked_current() {
    for text in [SHUNT.to_owned(), turned(SHUNT)] {
        let (vehicle, codes) = read(&text);
        assert_eq!(codes, Vec::<String>::new());
        near(ohms(&vehicle, "monitor").0, 0.1e-3);
        assert!(vehicle.filled.iter().any(|own| own.key == "monitor.resistance"));
        let point = solved(&vehicle, "resting");
        // Battery 9, feed 20, return 10, home 0.9, shunt 0.1 and post 0.5 mΩ.
        near(amps(&vehicle, &point, "monitor"), 12.6 / (1.2 + 0.0405));
        near(lost(&vehicle, &point, "monitor"), 12.6 / (1.2 + 0.0405) * 0.1e-3);
    }
}

#[test]
fn what_reaches_the_post_without_passing_the_shunt_is_named() {
    for text in [SHUNT.to_owned(), turned(SHUNT)] {
        let past = text.replace(
            "to = { point = \"bus\", resistance = \"0.2 mΩ\" }, terminal",
            "to = { point = \"monitor/in\", resistance = \"0.2 mΩ\" }, terminal",
        );
        let found = told(&past);
        assert_eq!(found.len(), 1, "{found:?}");
        let shunt = found.iter().find(|(code, _)| code == "shunt-bypassed");
        assert!(shunt.is_some_and(|(_, what)| what.contains("`pump` reaches")), "{found:?}");
        let post = if text == SHUNT { "leisure/-" } else { "leisure/+" };
        let bridged = text.replace(
            "[conductors]\n",
            &format!("[conductors]\nbridge = {{ from = \"{post}\", to = \"bus\", resistance = \"9 mΩ\" }}\n"),
        );
        let found = told(&bridged);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].1.contains("what is behind `monitor` reaches"), "{found:?}");
    }
    let unknown = SHUNT.replace("rating = \"500 A\"", "battery = \"starter\"");
    assert_eq!(told(&unknown)[0].0, "unknown-name");
}

/// Two batteries joined by a relay that senses; an isolator in each pole of the second.
const SPLIT: &str = r#"
format = 1
[vehicle]
name = "Split charge"
nominal = "12 V"
earth = "negative"
states = ["resting", "idle", "running", "shore"]

[structures.body]
resistance = "0.2 mΩ"
[structures.body.points.front]
[structures.body.points.rear]

[batteries.start]
voltage = "12.6 V"
resistance = "6 mΩ"

[batteries.leisure]
voltage = "12.4 V"
resistance = "9 mΩ"

[switches.split]
kind = "split relay"
rating = "100 A"
from = "start/+"
both-ways = false

[switches.pole-plus]
kind = "isolator"
rating = "300 A"
from = "leisure/+"
closed = "always"

[switches.pole-minus]
kind = "isolator"
rating = "300 A"
from = "leisure/-"
closed = "always"

[alternators.alternator]
output = "90 A"
voltage = "14.4 V"
lead = { to = "start/+", resistance = "2 mΩ" }
return = { to = "body/front", resistance = "1 mΩ" }

[chargers.shore-charger]
output = "20 A"
voltage = "14.2 V"
on = ["shore"]
lead = { to = "pole-plus/out", resistance = "5 mΩ" }
return = { to = "body/rear", resistance = "5 mΩ" }

[conductors]
ground = { from = "start/-", to = "body/front", resistance = "0.8 mΩ" }
split-out = { from = "split/out", to = "pole-plus/out", resistance = "4 mΩ" }
leisure-ground = { from = "pole-minus/out", to = "body/rear", resistance = "1 mΩ" }

[states.shore]
like = "resting"
"#;

fn closed_in(text: &str) -> Vec<String> {
    let (vehicle, _) = read(text);
    let part = vehicle.inlines.iter().find(|part| part.id == "split").expect("a relay");
    let model::InlineKind::Switch { closed } = &part.kind else { panic!("a switch") };
    closed.iter().map(|state| vehicle.state(*state).id.clone()).collect()
}

#[test]
fn a_split_relay_closes_where_a_source_that_works_holds_enough_on_a_side_that_it_senses() {
    for text in [SPLIT.to_owned(), turned(SPLIT)] {
        let (_, codes) = read(&text);
        assert_eq!(codes, Vec::<String>::new());
        assert_eq!(closed_in(&text), ["idle", "running"]);
        let both = text.replace("both-ways = false", "both-ways = true");
        assert_eq!(closed_in(&both), ["idle", "running", "shore"]);
        // A side that is named is sensed besides, and takes neither of the two away.
        let named = both.replace("both-ways = true", "both-ways = true\nsense = \"split/out\"");
        assert_eq!(closed_in(&named), ["idle", "running", "shore"]);
        let said = text.replace("both-ways = false", "closed = [\"shore\"]");
        assert_eq!(closed_in(&said), ["shore"]);
        let opened =
            text.replace("[states.shore]", "[states.idle]\nopen = [\"split\"]\n[states.shore]");
        assert_eq!(closed_in(&opened), ["running"]);
    }
}

#[test]
fn a_split_relay_that_never_closes_or_never_opens_is_told() {
    let never = SPLIT.replace("both-ways = false", "closes-at = \"14.6 V\"");
    assert_eq!(told(&never)[0].0, "split-relay-idle");
    let held = SPLIT.replace("both-ways = false", "opens-at = \"12.5 V\"");
    assert_eq!(told(&held)[0].0, "split-relay-held");
    let crossed =
        SPLIT.replace("both-ways = false", "closes-at = \"13.0 V\"\nopens-at = \"13.2 V\"");
    assert_eq!(told(&crossed)[0].0, "split-relay-crossed");
}

#[test]
fn contacts_lose_their_millivolts_at_the_current_they_are_marked_with() {
    let (vehicle, _) = read(SPLIT);
    near(ohms(&vehicle, "split").0, 0.5e-3);
    near(ohms(&vehicle, "pole-minus").0, 0.1e-3);
    let relay = SPLIT.replace("kind = \"split relay\"", "kind = \"relay\"\nclosed = [\"running\"]");
    let (vehicle, _) = read(&relay.replace("both-ways = false", ""));
    assert!(ohms(&vehicle, "split").0 <= 1e-3);
    let unmarked =
        SPLIT.replace("rating = \"300 A\"\nfrom = \"leisure/-\"", "from = \"leisure/-\"");
    near(ohms(&read(&unmarked).0, "pole-minus").0, 0.25e-3);
}

/// The solenoid on the wing, its coil a load of its own that decides whether the starter turns.
const SOLENOID: &str = r#"
format = 1
[vehicle]
name = "Solenoid on the wing"
nominal = "12 V"
earth = "negative"
states = ["cranking"]

[structures.body]
resistance = "0.2 mΩ"
[structures.body.points.front]
[structures.body.points.block]

[batteries.main]
voltage = "12.6 V"
resistance = "6 mΩ"

[switches.solenoid]
kind = "solenoid"
rating = "200 A"
from = "main/+"
closed = ["cranking"]

[loads.coil]
kind = "resistive"
draws = "3 Ω"
minimum = "8 V"
on = ["cranking"]
feed = { from = { point = "main/+", resistance = "0.1 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "98.9 mΩ" }
case = { point = "body/front", resistance = "1 mΩ" }

[loads.starter]
kind = "starter"
draws = "200 A"
control = "coil"
feed = { from = "solenoid/out", resistance = "1 mΩ" }
case = "body/block"

[conductors]
ground = { from = "main/-", to = "body/front", resistance = "0.8 mΩ" }
"#;

#[test]
fn a_solenoid_apart_from_the_starter_is_a_switch_with_a_coil() {
    for text in [SOLENOID.to_owned(), turned(SOLENOID)] {
        let (vehicle, codes) = read(&text);
        assert_eq!(codes, Vec::<String>::new());
        near(ohms(&vehicle, "solenoid").0, 0.25e-3);
        let point = solved(&vehicle, "cranking");
        let through = amps(&vehicle, &point, "solenoid");
        near(amps(&vehicle, &point, "starter.case"), through);
        near(lost(&vehicle, &point, "solenoid"), through * 0.25e-3);
        assert!(amps(&vehicle, &point, "coil.case") > 3.0);
    }
}

#[test]
fn metal_that_people_find_is_a_kind_of_incidental_path() {
    for word in [
        "bracket",
        "pipe",
        "sheath of a cable",
        "exhaust hanger",
        "braided hose",
        "tow bar",
        "screen of a cable",
        "hinges",
        "rivets",
        "seam",
        "bilge water",
        "water",
    ] {
        let text = BOAT.replace("kind = \"sea water\"", &format!("kind = \"{word}\""));
        assert!(told(&text).iter().all(|(code, _)| code != "unknown-word"), "{word}");
    }
    for word in ["rivet", "blind rivet", "riveted seam", "welded seam"] {
        let text = BOAT.replace(
            "{ point = \"splice\", resistance = \"0.2 mΩ\" }",
            &format!("{{ point = \"splice\", joint = \"{word}\" }}"),
        );
        assert_eq!(told(&text), Vec::new(), "{word}");
    }
}
