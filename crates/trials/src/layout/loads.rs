//! The loads that a random vehicle may have, and how each is fed and returns.

use super::Plan;
use super::draft::{Draft, end};

/// Where a load sits, which decides where its current goes home.
#[derive(Clone, Copy, PartialEq)]
enum Zone {
    Engine,
    Front,
    Dash,
    Roof,
    Rear,
    Tank,
}

/// Which bus feeds it.
#[derive(Clone, Copy, PartialEq)]
enum Bus {
    Engine,
    Cabin,
    Ignition,
    Lamp,
    Rear,
}

/// name, kind, amperes on 12 V from and to, where, fed from, on with the key alone.
type Kind = (&'static str, &'static str, f64, f64, Zone, Bus, bool);

const POOL: [Kind; 33] = [
    ("engine-module", "module", 5.0, 12.0, Zone::Dash, Bus::Ignition, true),
    ("fuel-pump", "motor", 4.0, 9.0, Zone::Tank, Bus::Ignition, true),
    ("cluster", "module", 1.0, 2.0, Zone::Dash, Bus::Ignition, true),
    ("abs-module", "module", 3.0, 7.0, Zone::Front, Bus::Engine, true),
    ("headlamp-left", "lamp", 4.0, 6.0, Zone::Front, Bus::Lamp, false),
    ("headlamp-right", "lamp", 4.0, 6.0, Zone::Front, Bus::Lamp, false),
    ("fog-left", "lamp", 3.5, 5.0, Zone::Front, Bus::Lamp, false),
    ("fog-right", "lamp", 3.5, 5.0, Zone::Front, Bus::Lamp, false),
    ("cooling-fan", "motor", 14.0, 30.0, Zone::Engine, Bus::Engine, false),
    ("second-fan", "motor", 8.0, 18.0, Zone::Engine, Bus::Engine, false),
    ("steering-pump", "motor", 30.0, 60.0, Zone::Engine, Bus::Engine, false),
    ("compressor", "motor", 12.0, 28.0, Zone::Engine, Bus::Engine, false),
    ("blower", "motor", 8.0, 18.0, Zone::Dash, Bus::Cabin, false),
    ("wipers", "motor", 3.0, 7.0, Zone::Dash, Bus::Cabin, false),
    ("washer-pump", "motor", 2.0, 4.0, Zone::Front, Bus::Cabin, false),
    ("radio", "electronics", 2.0, 8.0, Zone::Dash, Bus::Cabin, false),
    ("heated-screen", "resistive", 18.0, 35.0, Zone::Dash, Bus::Engine, false),
    ("seat-heater-left", "resistive", 3.5, 6.0, Zone::Dash, Bus::Cabin, false),
    ("seat-heater-right", "resistive", 3.5, 6.0, Zone::Dash, Bus::Cabin, false),
    ("socket", "resistive", 4.0, 10.0, Zone::Dash, Bus::Cabin, false),
    ("beacon", "electronics", 3.0, 8.0, Zone::Roof, Bus::Cabin, false),
    ("roof-lamps", "lamp", 6.0, 12.0, Zone::Roof, Bus::Engine, false),
    ("cab-lamp", "lamp", 1.0, 2.5, Zone::Roof, Bus::Cabin, true),
    ("tail-lamp-left", "lamp", 0.8, 2.0, Zone::Rear, Bus::Lamp, false),
    ("tail-lamp-right", "lamp", 0.8, 2.0, Zone::Rear, Bus::Lamp, false),
    ("stop-lamps", "lamp", 3.0, 5.0, Zone::Rear, Bus::Cabin, false),
    ("work-lamps", "lamp", 6.0, 14.0, Zone::Rear, Bus::Rear, false),
    ("rear-heater", "motor", 5.0, 11.0, Zone::Rear, Bus::Rear, false),
    ("rear-window", "resistive", 10.0, 18.0, Zone::Rear, Bus::Rear, false),
    ("fridge", "motor", 3.0, 6.0, Zone::Rear, Bus::Rear, true),
    ("water-pump", "motor", 4.0, 8.0, Zone::Rear, Bus::Rear, false),
    ("inverter", "inverter", 12.0, 35.0, Zone::Rear, Bus::Rear, false),
    ("trailer-socket", "resistive", 5.0, 12.0, Zone::Rear, Bus::Rear, false),
];

/// Writes the starter, the preheat plugs and as many others as planned; gives the names of those
/// that can be switched on with the engine standing.
pub(super) fn write(draft: &mut Draft<'_>, plan: &Plan) -> Vec<String> {
    starter(draft, plan);
    let mut left = plan.loads - 1;
    if plan.preheat {
        preheat(draft, plan);
        left -= 1;
    }
    // A vehicle without module, pump and lamps is none; the rest comes as it will.
    let mut order: Vec<usize> = (6..POOL.len()).collect();
    draft.dice.shuffle(&mut order);
    let chosen: Vec<Kind> = (0..6).chain(order).take(left).map(|at| POOL[at]).collect();
    chosen.iter().map(|kind| one(draft, plan, *kind)).collect()
}

fn starter(draft: &mut Draft<'_>, plan: &Plan) {
    let back = if draft.dice.chance(0.8) {
        // Two or three large bolts on machined iron are better than the usual case.
        format!("case = {}", end("block/gearbox", "bolted lug"))
    } else {
        let area = draft.area(plan.cranking, 7.0);
        format!(
            "return = {{ to = {}, size = \"{area} mm²\", length = \"1.2 m\", terminal = {{ joint = \"bolted lug\" }} }}",
            end("block/front", "bolted lug")
        )
    };
    let draws = plan.cranking;
    draft.put(
        "loads",
        "starter",
        &format!(
            "kind = \"starter\", draws = \"{draws:.0} A\", importance = \"vital\", access = \"underside\", {back}"
        ),
    );
}

fn preheat(draft: &mut Draft<'_>, plan: &Plan) {
    let draws = draft.dice.between(30.0, 60.0) * 12.0 / plan.nominal;
    draft.put(
        "loads",
        "preheat-plugs",
        &format!(
            "kind = \"preheat plug\", draws = \"{draws:.0} A\", on = [\"preheat\", \"cranking\"], access = \"bonnet\", feed = {{ from = {}, size = \"6 mm²\", length = \"0.2 m\", terminal = {{ joint = \"bolted lug\" }} }}, case = {}",
            end("plug-rail", "bolted lug"),
            end("block/head", "case mounting")
        ),
    );
}

fn one(draft: &mut Draft<'_>, plan: &Plan, kind: Kind) -> String {
    let (name, word, low, high, zone, bus, with_key) = kind;
    let draws = draft.dice.between(low, high) * 12.0 / plan.nominal;
    let density = draft.dice.between(3.0, 6.0);
    let area = draft.area(draws, density);
    let plug = draft.plug(draws);
    let access = match zone {
        Zone::Engine | Zone::Front => "access = \"bonnet\"",
        Zone::Dash => "access = \"dash\"",
        Zone::Roof => "reach = \"3 min\"",
        Zone::Rear => "access = \"rear\"",
        Zone::Tank => "access = \"underside\"",
    };
    let feed = feed(draft, plan, (zone, bus), (draws, area, plug));
    let back = back(draft, plan, zone, (word, area, plug));
    let on = match (with_key, bus) {
        (true, _) => "\"key-on\", \"preheat\", \"cranking\", \"running\"",
        // A relay that opens while cranking takes its lamps with it.
        (false, _) => "\"running\"",
    };
    draft.put(
        "loads",
        name,
        &format!(
            "kind = \"{word}\", draws = \"{draws:.2} A\", on = [{on}], {access}, {feed}, {back}"
        ),
    );
    name.to_owned()
}

fn feed(
    draft: &mut Draft<'_>,
    plan: &Plan,
    (zone, bus): (Zone, Bus),
    (draws, area, plug): (f64, &str, &str),
) -> String {
    let from = match bus {
        Bus::Engine => "engine-bus",
        Bus::Cabin => "cabin-bus",
        Bus::Ignition => "ignition-bus",
        Bus::Lamp => "lamp-bus",
        Bus::Rear if plan.rear_bus => "rear-bus",
        Bus::Rear => "cabin-bus",
    };
    let near = bus == Bus::Rear && plan.rear_bus;
    let length = match zone {
        _ if near => draft.dice.between(0.5, 2.5),
        Zone::Rear | Zone::Tank => draft.dice.between(3.0, 6.0),
        Zone::Roof => draft.dice.between(1.5, 3.0),
        Zone::Engine | Zone::Front | Zone::Dash => draft.dice.between(0.5, 3.0),
    };
    let fuse = [5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0]
        .into_iter()
        .find(|rating| *rating >= 1.4 * draws)
        .unwrap_or(100.0);
    // A lamp bus has its fuse before the relay; most other leads have their own.
    let fused = bus != Bus::Lamp && draft.dice.chance(0.8);
    let (fuse, kind) = if fused {
        (format!(", fuse = \"{fuse} A\""), if draws > 25.0 { "bolted lug" } else { "fuse clip" })
    } else {
        (String::new(), if draws > 25.0 { "bolted lug" } else { "spade" })
    };
    format!(
        "feed = {{ from = {}, size = \"{area} mm²\", length = \"{length:.2} m\"{fuse}, terminal = {{ joint = \"{plug}\" }} }}",
        end(from, kind)
    )
}

fn back(
    draft: &mut Draft<'_>,
    plan: &Plan,
    zone: Zone,
    (word, area, plug): (&str, &str, &str),
) -> String {
    if zone == Zone::Engine && word == "motor" && draft.dice.chance(0.5) {
        return format!("case = {}", end("block/front", "case mounting"));
    }
    let mut choices: Vec<&str> = match zone {
        Zone::Engine | Zone::Front => vec!["body/left-front", "body/right-front"],
        Zone::Dash => vec!["body/dash-left", "body/dash-right", "body/bulkhead"],
        Zone::Roof => vec!["body/roof"],
        Zone::Rear if plan.framed => vec!["frame/rear", "frame/middle"],
        Zone::Rear => vec!["body/rear-left", "body/rear-right"],
        Zone::Tank if plan.tank => vec!["tank/sender"],
        Zone::Tank if plan.framed => vec!["frame/middle"],
        Zone::Tank => vec!["body/rear-left"],
    };
    let bar = match zone {
        Zone::Dash if plan.dash_bar => Some("dash-bar"),
        Zone::Rear if plan.rear_bar => Some("rear-bar"),
        _ => None,
    };
    if let Some(bar) = bar
        && draft.dice.chance(0.7)
    {
        choices = vec![bar];
    }
    let to = draft.dice.pick(&choices).copied().unwrap_or("body/bulkhead");
    let kind = if bar == Some(to) { "bus bar bolt" } else { draft.fixing() };
    let length = draft.dice.between(0.2, 1.2);
    format!(
        "return = {{ to = {}, size = \"{area} mm²\", length = \"{length:.2} m\", terminal = {{ joint = \"{plug}\" }} }}",
        end(to, kind)
    )
}
