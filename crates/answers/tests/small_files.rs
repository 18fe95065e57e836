//! Six small vehicles written from nothing: how little a file has to say, and what every question makes of it.

use answers::room::Question;
use answers::{budget, failures, next, protect, repairs, routes, solve};
use model::{Inline, Piece, StateId, Vehicle};
use network::{Convergence, LoadStatus, Network, OperatingPoint};
use units::{Amperes, Ohms, Volts};

const LORRY: &str = include_str!("../../../examples/timber-lorry.toml");
const FOUR_BY_FOUR: &str = include_str!("../../../examples/hill-four-by-four.toml");
const DIESEL: &str = include_str!("../../../examples/two-battery-diesel.toml");
const BOAT: &str = include_str!("../../../examples/day-boat.toml");
const TRAILER: &str = include_str!("../../../examples/market-trailer.toml");
const MOTOR_HOME: &str = include_str!("../../../examples/touring-motor-home.toml");

/// Each with a small load of it.
const ALL: [(&str, &str); 6] = [
    (LORRY, "radio"),
    (FOUR_BY_FOUR, "fridge"),
    (DIESEL, "left-headlamp"),
    (BOAT, "anchor-lamp"),
    (TRAILER, "left-tail-lamp"),
    (MOTOR_HOME, "lamps"),
];

/// What is written, comments, blank lines and tables' heads included, may take so many lines.
const MOST_LINES: usize = 120;
/// A line that has to be read by scrolling holds more than one should.
const LONGEST_LINE: usize = 130;
/// Texts that state a number with its unit.
const MOST_QUANTITIES: usize = 80;

fn read(text: &str) -> Vehicle {
    file::read(text.as_bytes()).vehicle.expect("no errors")
}

/// The texts between quotes of a file, its comments left out.
fn texts(file: &str) -> impl Iterator<Item = &str> {
    let lines = file.lines().filter(|line| !line.trim_start().starts_with('#'));
    lines.flat_map(|line| line.split('"').skip(1).step_by(2))
}

/// True when a text states a number with a unit, as `70 mm²`, `braid 16 mm²` and `80 %` do; `8.8`, `M8`,
/// `2026` and `ISO 1724` state none.
fn states_a_quantity(text: &str) -> bool {
    let text =
        ["braid ", "bar ", "SAE "].iter().find_map(|own| text.strip_prefix(own)).unwrap_or(text);
    let rest = text.trim_start_matches(['-', '−']);
    let number = rest.trim_start_matches(|c: char| c.is_ascii_digit() || ".,/".contains(c));
    number.len() < rest.len()
        && number.trim_start().starts_with(|c: char| c.is_alphabetic() || "%°".contains(c))
}

fn state(vehicle: &Vehicle, id: &str) -> StateId {
    let at = vehicle.states.iter().position(|own| own.id == id);
    StateId::at(at.unwrap_or_else(|| panic!("no state {id}")))
}

fn solved(vehicle: &Vehicle, id: &str) -> OperatingPoint {
    let point = Network::new(vehicle).operating_point(state(vehicle, id));
    assert_eq!(point.convergence, Convergence::Reached, "{}, {id}", vehicle.name);
    point
}

fn joint(vehicle: &Vehicle, id: &str) -> Piece {
    Piece::Joint(vehicle.joints.iter().find(|own| own.id == id).expect("a joint").this)
}

fn inline<'v>(vehicle: &'v Vehicle, id: &str) -> &'v Inline {
    vehicle.inlines.iter().find(|own| own.id == id).expect("an in-line part")
}

fn cover<'v>(vehicle: &'v Vehicle, id: &str) -> Option<&'v str> {
    vehicle.points.iter().find(|own| own.id == id).expect("a point").access.group.as_deref()
}

fn draws(vehicle: &Vehicle, point: &OperatingPoint, id: &str) -> Amperes {
    let at = vehicle.loads.iter().position(|own| own.id == id).expect("a load");
    point.loads[at].amps
}

fn carried(vehicle: &Vehicle, point: &OperatingPoint, id: &str) -> Amperes {
    let piece = vehicle.pieces().find(|own| vehicle.piece_name(*own) == id).expect("a piece");
    point.piece(vehicle, piece).amps.abs()
}

/// What a question finds of a vehicle, told as text.
fn answer<'v, Q: Question>(asked: &Q, about: Q::About<'v>) -> Q::Found<'v> {
    match asked.find(about, &mut |_| true) {
        Ok(found) => found.expect("not stopped"),
        Err(refused) => panic!("{refused:?}"),
    }
}

#[test]
fn six_vehicles_take_at_most_120_tidy_lines_and_80_stated_quantities_each() {
    for (text, _) in ALL {
        let name = read(text).name;
        assert_eq!(file::format::format(text).as_deref(), Ok(text), "{name} is not tidy");
        let longest = text.lines().map(|line| line.chars().count()).max();
        let counted = texts(text).filter(|own| states_a_quantity(own)).count();
        assert!(text.lines().count() <= MOST_LINES, "{name}: {} lines", text.lines().count());
        assert!(longest <= Some(LONGEST_LINE), "{name}: {longest:?}");
        assert!(counted <= MOST_QUANTITIES, "{name}: {counted} quantities");
        assert!(counted >= 40, "{name}: {counted} quantities, too few to be believed");
    }
    let counts = ["70 mm²", "braid 16 mm²", "-20 °C", "80 %", "2/0 AWG", "0.5 m", "10 min"];
    assert!(counts.iter().all(|own| states_a_quantity(own)));
    let none = ["8.8", "M8", "2026", "2024-11", "ISO 11446", "13", "body/wing", "plug.plug/7"];
    assert!(none.iter().all(|own| !states_a_quantity(own)));
}

#[test]
fn nothing_is_warned_of_and_every_state_settles_in_the_six() {
    for (text, _) in ALL {
        let reading = file::read(text.as_bytes());
        assert!(reading.problems.is_empty(), "{:?}", reading.problems);
        let vehicle = reading.vehicle.expect("no errors");
        for own in &vehicle.states {
            let point = solved(&vehicle, &own.id);
            let fed = |own: &&network::LoadPoint| {
                !matches!(own.status, LoadStatus::Off | LoadStatus::Fed | LoadStatus::Dead)
            };
            assert_eq!(point.loads.iter().find(fed), None, "{}, {}", vehicle.name, own.id);
        }
    }
}

#[test]
fn every_question_answers_of_the_six() {
    for (text, small) in ALL {
        let vehicle = read(text);
        for load in ["starter", small] {
            let asked = budget::Asked { load: load.to_owned(), ..budget::Asked::default() };
            answer(&asked, &vehicle);
        }
        answer(&solve::Asked::default(), &vehicle);
        let all = routes::Asked { all: true, ..routes::Asked::default() };
        answer(&all, &vehicle);
        answer(&protect::Asked::default(), &vehicle);
        answer(&failures::Asked::default(), &vehicle);
        let taken = answers::taken::Taken::default();
        let measured = answers::room::Measured { vehicle: &vehicle, taken: &taken };
        let plan = next::Asked { plan: next::Plan::Usual(true), ..next::Asked::default() };
        answer(&plan, measured);
        answer(&repairs::Asked::default(), measured);
    }
}

#[test]
fn a_sound_starter_flange_costs_a_lorry_less_than_40_mv() {
    let vehicle = read(LORRY);
    let point = solved(&vehicle, "cranking");
    let flange = point.piece(&vehicle, joint(&vehicle, "starter.case"));
    assert!(flange.amps.abs() > Amperes(300.0) && flange.volts.abs() < Volts(0.04), "{flange:?}");
}

#[test]
fn terminals_lie_under_the_cover_of_what_their_device_is_bolted_to_and_a_stated_cover_stays() {
    let vehicle = read(LORRY);
    assert_eq!(cover(&vehicle, "starter/+"), Some("shield"));
    assert_eq!(cover(&vehicle, "alternator/+"), Some("cab"));
    assert_eq!(cover(&vehicle, "panel-ground"), Some("panel"));
    assert_eq!(cover(&vehicle, "cab-fuse/out"), Some("box"));
    assert_eq!(cover(&vehicle, "tail-ground"), None);
    assert!(vehicle.filled.iter().any(|own| own.key == "starter/+.access"));
    let said = LORRY.replace("control = \"starter-relay\"\n", "access = \"cab\"\n");
    assert_eq!(cover(&read(&said), "starter/+"), Some("cab"));
}

#[test]
fn a_lorry_charges_at_28_2_v_and_a_car_at_14_4() {
    let holds = |text: &str| {
        let vehicle = read(text);
        vehicle.regulated.iter().find(|own| own.id == "alternator").expect("one").set_point
    };
    assert_eq!((holds(LORRY), holds(TRAILER)), (Volts(28.2), Volts(14.4)));
}

#[test]
fn a_return_lead_of_which_nothing_is_said_is_as_thick_as_its_feed_and_may_be_twice_as_long() {
    let vehicle = read(LORRY);
    let lead = |id: &str| vehicle.conductors.iter().find(|own| own.id == id).expect("a lead");
    let (feed, home) = (lead("tail-lamps.feed"), lead("tail-lamps.return"));
    assert_eq!(home.size, feed.size);
    let (length, likely) = (home.length.expect("taken"), home.likely.expect("not measured"));
    assert!((length.0 - 0.5).abs() < 1e-12, "{length:?}");
    assert!((likely.high / home.resistance_at_20 - 2.0).abs() < 1e-9);
    for key in ["tail-lamps.return.size", "tail-lamps.return.length"] {
        assert!(vehicle.filled.iter().any(|own| own.key == key), "{key}");
    }
    // To a bus elsewhere it runs beside its feed.
    let boat = read(BOAT);
    let home = boat.conductors.iter().find(|own| own.id == "windlass.return").expect("a lead");
    assert!((home.length.expect("taken").0 - 6.0).abs() < 1e-12);
}

#[test]
fn a_split_relay_of_200_a_has_a_quarter_of_a_milliohm() {
    let vehicle = read(FOUR_BY_FOUR);
    let own = inline(&vehicle, "split").resistance;
    assert!((own.0 - 0.25e-3).abs() < 1e-9, "{own:?}");
    let larger = read(&FOUR_BY_FOUR.replace(
        "rating = \"200 A\", from = \"split-fuse",
        "rating = \"100 A\", from = \"split-fuse",
    ));
    assert!(inline(&larger, "split").resistance > own * 1.9);
}

#[test]
fn less_voltage_turns_a_winch_slower_at_nearly_the_same_current_and_a_lighter_pull_takes_less() {
    let amps = |text: &str| {
        let vehicle = read(text);
        draws(&vehicle, &solved(&vehicle, "winching"), "winch")
    };
    let usual = amps(FOUR_BY_FOUR);
    let thin =
        amps(&FOUR_BY_FOUR.replace("70 mm²\", length = \"1.2 m\"", "25 mm²\", length = \"6 m\""));
    assert!(thin < usual && thin > usual * 0.95, "{thin:?} {usual:?}");
    assert!(amps(&FOUR_BY_FOUR.replace("80 %", "40 %")) < usual * 0.7);
    let rated = amps(&FOUR_BY_FOUR.replace("pull = ", "rated = \"24 V\"\npull = "));
    assert!((rated / usual - 1.0).abs() > 0.02, "{rated:?} {usual:?}");
}

#[test]
fn cold_plugs_take_what_the_file_says_in_the_first_moment_and_lower_the_volts() {
    let at = |text: &str, state: &str| {
        let vehicle = read(text);
        draws(&vehicle, &solved(&vehicle, state), "preheat-plugs")
    };
    let (first, then) = (at(DIESEL, "preheat-inrush"), at(DIESEL, "preheat"));
    assert!(first > then * 1.8, "{first:?} {then:?}");
    let more = at(&DIESEL.replace("cold = \"130 A\"", "cold = \"190 A\""), "preheat-inrush");
    assert!(more > first * 1.3, "{more:?} {first:?}");
}

#[test]
fn a_painted_seat_is_likelier_bad_than_a_bare_one_on_the_other_wing() {
    let vehicle = read(DIESEL);
    let chance = |id: &str| {
        let own = vehicle.joints.iter().find(|own| own.id == id).expect("a joint");
        diagnosis::prior::bad_probability(&vehicle, own)
    };
    assert!(chance("left-stud.foot") > 2.0 * chance("right-stud.foot"));
}

#[test]
fn current_of_a_lamp_without_an_earth_comes_home_through_the_lamps_that_are_off() {
    let whole = read(TRAILER);
    let mut cut = read(TRAILER);
    let earth = cut.joints.iter_mut().find(|own| own.id == "left-earth.to").expect("a joint");
    earth.resistance = Ohms(1e6);
    let amps = |vehicle: &Vehicle| {
        let point = solved(vehicle, "braking");
        ["left-tail-lamp.feed", "right-tail-lamp.feed", "left-stop-lamp.feed"]
            .map(|id| carried(vehicle, &point, id))
    };
    let [left, right, stop] = amps(&whole);
    assert!(left < Amperes(1e-3) && right < Amperes(1e-3) && stop > Amperes(1.0));
    let [left, right, stop] = amps(&cut);
    assert!(left > Amperes(0.3) && (left - right).abs() < Amperes(1e-3), "{left:?} {right:?}");
    assert!((stop - left).abs() < Amperes(1e-3), "{stop:?} {left:?}");
}

#[test]
fn a_lamp_whose_switch_is_open_is_no_failure_and_cannot_fail() {
    let vehicle = read(TRAILER);
    let found = answer(&failures::Asked::default(), &vehicle);
    let told = failures::Asked::default().shape(&found);
    let json = serde_json::to_value(told).expect("JSON");
    let already = json["already"].as_array().expect("a list");
    let wrong =
        already.iter().filter(|own| own["findings"].as_array().is_some_and(|own| !own.is_empty()));
    assert_eq!(wrong.count(), 0, "{already:?}");
}

#[test]
fn a_fuse_that_carries_nine_tenths_of_its_marking_for_hours_is_told_of() {
    let fuses = |text: &str| {
        let vehicle = read(text);
        let found = answer(&failures::Asked::default(), &vehicle);
        let json = serde_json::to_string(&failures::Asked::default().shape(&found)).expect("JSON");
        let already = json.split("\"failures\"").next().expect("a beginning").to_owned();
        already.matches("booster.fuse").count()
    };
    assert_eq!(fuses(MOTOR_HOME), 0);
    assert!(fuses(&MOTOR_HOME.replace("output = \"30 A\"", "output = \"37 A\"")) > 0);
}

#[test]
fn the_plug_s_layout_knows_the_pin_that_is_the_earth_of_the_lamps() {
    let wrong = TRAILER.replace("plug.socket/3\"", "plug.socket/12\"");
    let problems = file::read(wrong.as_bytes()).problems;
    assert!(!problems.is_empty());
}

#[test]
fn a_monitor_that_does_not_see_a_negative_says_so() {
    let past = BOAT.replace(
        "from = \"panel-minus\", to = \"negative-bus\"",
        "from = \"panel-minus\", to = \"house/-\"",
    );
    assert_ne!(past, BOAT);
    let problems = file::read(past.as_bytes()).problems;
    assert!(
        problems.iter().any(|own| own.what.contains("monitor") || own.expected.contains("monitor")),
        "{problems:?}"
    );
}

#[test]
fn no_repair_of_a_boat_runs_from_its_engine_or_its_stern_gear_to_the_panel() {
    let vehicle = read(BOAT);
    for at in 0..vehicle.joints.len() {
        let mut bad = vehicle.clone();
        let kind = bad.joints[at].kind;
        bad.joints[at].resistance = kind.clean_high * 5.0;
        bad.joints[at].stated = true;
        let taken = answers::taken::Taken::default();
        let measured = answers::room::Measured { vehicle: &bad, taken: &taken };
        let asked = repairs::Asked { most: 20 };
        let json = serde_json::to_string(&asked.shape(&answer(&asked, measured))).expect("JSON");
        assert!(!json.contains("\"add\""), "{}: {json}", vehicle.joints[at].id);
    }
}

#[test]
fn batteries_in_series_have_a_budget_and_the_cold_costs_volts() {
    let cold = LORRY.replace(
        "[access]\n",
        "[states.frost]\nlike = \"cranking\"\nair = \"-20 °C\"\n\n[access]\n",
    );
    let vehicle = read(&cold.replace(
        "\"cranking\", \"idle\", \"running\"]\n\n[states",
        "\"cranking\", \"frost\"]\n\n[states",
    ));
    let volts = |id: &str| {
        let point = solved(&vehicle, id);
        let at = vehicle.loads.iter().position(|own| own.id == "starter").expect("a starter");
        point.loads[at].volts
    };
    assert!(
        volts("frost") < volts("cranking") - Volts(2.0),
        "{:?} {:?}",
        volts("frost"),
        volts("cranking")
    );
    let asked = budget::Asked { load: "starter".to_owned(), ..budget::Asked::default() };
    answer(&asked, &vehicle);
}
