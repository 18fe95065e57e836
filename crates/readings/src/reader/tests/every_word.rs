//! Every word of a line is accounted for, or the line is asked back.

use super::super::harmless::{HARMLESS, NOTED};
use super::*;
use proptest::prelude::*;

const LAMPS: &str = r#"
[loads.headlamps]
kind = "lamp"
draws = "110 W"
on = ["key-on", "idle", "running"]
feed = { from = "hot-stud", size = "2.5 mm²", length = "2 m" }
return = { to = "body/left", size = "2.5 mm²", length = "1 m" }
"#;

/// The small vehicle with every state that people speak of, and lamps.
fn with_every_state() -> Vehicle {
    let text = VEHICLE.replace(
        r#"states = ["resting", "preheat", "cranking", "running"]"#,
        r#"states = ["resting", "key-on", "preheat", "cranking", "idle", "running", "charging"]"#,
    );
    let read = file::read(format!("{text}{LAMPS}").as_bytes());
    read.vehicle.unwrap_or_else(|| panic!("{:?}", read.problems))
}

/// The state that a line is weighed in; nothing when it is asked back.
fn weighed(text: &str, vehicle: &Vehicle) -> Option<String> {
    match one_line(text, vehicle, 1) {
        Ok(Line::Reading { reading, .. }) => {
            let state = reading.state.unwrap_or_else(|| panic!("{text} has no state"));
            Some(vehicle.state(state).id.clone())
        }
        _ => None,
    }
}

/// What is said, the state that it is, and the state that its contrary is if only one comes into question.
const SAID: [(&str, &str, Option<&str>); 13] = [
    ("cranking", "cranking", None),
    ("starting", "cranking", None),
    ("running", "running", Some("resting")),
    ("engine running", "running", Some("resting")),
    ("idle", "idle", None),
    ("idling", "idle", None),
    ("key on", "key-on", Some("resting")),
    ("ignition on", "key-on", Some("resting")),
    ("preheat", "preheat", None),
    ("glowing", "preheat", None),
    ("charging", "charging", None),
    ("at rest", "resting", None),
    ("everything off", "resting", None),
];

const TURNED: [&str; 37] = [
    "not {}",
    "{} not",
    "no {}",
    "no longer {}",
    "never {}",
    "un-{}",
    "un{}",
    "non-{}",
    "{} off",
    "{} stopped",
    "{}, but not now",
    "without {}",
    "before {}",
    "after {}",
    "until {}",
    "instead of {}",
    "hardly {}",
    "isn't {}",
    "isn’t {}",
    "wasn't {}",
    "won't go on {}",
    "failed while {}",
    "supposed to be {}",
    "{} failed",
    "anything but {}",
    "rather than {}",
    "{}: no",
    "!{}",
    "{}?",
    "neither {}",
    "when {} was over",
    "in between {}",
    "up to {}",
    "through with {}",
    "then {}",
    "it has been {}",
    "ready for {}",
];

/// Each state turned by each way of denial, in front of the value and behind it.
#[test]
fn no_state_is_weighed_when_a_word_turns_it_unless_as_its_only_contrary() {
    let v = with_every_state();
    let mut tried = 0;
    for (said, own, contrary) in SAID {
        for line in [format!("main 12.5 V {said}"), format!("{said}: main 12.5 V")] {
            assert_eq!(weighed(&line, &v).as_deref(), Some(own), "{line}");
        }
        for turned in TURNED {
            let turned = turned.replace("{}", said);
            for line in [format!("main 12.5 V {turned}"), format!("{turned}: main 12.5 V")] {
                let found = weighed(&line, &v);
                let fits = found.is_none() || found.as_deref() == contrary;
                assert!(fits, "{line}: {found:?}");
                tried += 1;
            }
        }
    }
    assert!(tried > 700, "{tried}");
}

#[test]
fn what_is_off_out_or_apart_is_the_contrary_or_is_asked_back() {
    let v = with_every_state();
    for (line, state) in [
        ("main 12.5 V, everything off", Some("resting")),
        ("main 12.5 V everything switched off", Some("resting")),
        ("main 12.5 V with all loads off", Some("resting")),
        ("ignition off main 12.5 V", Some("resting")),
        ("main 12.5 V, the ignition is off", Some("resting")),
        ("main 12.5 V, ignition isn't on", Some("resting")),
        ("main 12.5 V with the key off", Some("resting")),
        ("main 12.5 V key out", Some("resting")),
        ("main 12.5 V, key not on", Some("resting")),
        ("main 12.5 V engine off", Some("resting")),
        ("main 12.5 V engine not running", Some("resting")),
        ("main 12.5 V, the engine wasn't running", Some("resting")),
        ("main 12.5 V engine stopped", Some("resting")),
        ("main 12.5 V nothing on", Some("resting")),
        ("key on, engine off: main 12.3 V", Some("key-on")),
        ("engine off, ignition on: main 12.3 V", Some("key-on")),
        ("main 12.5 V no load", Some("resting")),
        ("main 12.5 V unloaded", Some("resting")),
        ("main 12.5 V cables off", Some("resting")),
        ("main 12.5 V, not connected", Some("resting")),
        ("cranking: main 12.5 V cable off", None),
        ("main 12.5 V cable not off", None),
        ("main 12.5 V half the loads off", None),
        ("main 12.5 V nearly everything off", None),
        ("main 12.5 V everything off but the radio", None),
        ("main 12.5 V engine off overnight, then cranked", None),
        ("main 12.5 V, ignition on and then off", None),
        ("main 12.5 V ignition neither on nor off", None),
        ("running: headlamps 11.8 V unplugged", None),
        ("key on: headlamps 12.4 V not plugged in", None),
        ("key on: headlamps 12.4 V, plug off", None),
        ("key on: headlamps 12.4 V disconnected", None),
        ("cranking: starter 12.4 V with the wire off", None),
        ("cranking: block/front to main/- 0.00 V strap off", None),
        ("cranking: block/front to main/- 0.00 V, cable removed", None),
        ("preheat main-negative 38 A unplugged", None),
        ("running: main 13.9 V with the lights on", Some("running")),
        ("idle: main 13.9 V headlights on", Some("idle")),
        ("running: main 13.9 V lights off", None),
        ("running: main 13.9 V lights not on", None),
        ("running: main 13.9 V without the lights on", None),
        ("running: main 13.9 V before lights on", None),
        ("cranking: main 9.9 V lights off", Some("cranking")),
        ("resting: main 12.6 V lights on", None),
        ("resting: main 12.6 V with the lights off", Some("resting")),
        ("main 12.1 V lights on", None),
        ("running: main 13.9 V all loads on", None),
        ("running: main 13.9 V loads not on", None),
        ("running: main 13.9 V heater off", None),
        ("main 12.4 V does not crank", None),
        ("main 12.4 V would not crank", None),
        ("main 12.4 V can't crank", None),
        ("main 12.4 V refuses to crank", None),
        ("main 12.4 V quit cranking", None),
        ("main 12.4 V just cranked", None),
        ("main 12.4 V, over with cranking", None),
        ("main 12.6 V to crank", None),
        ("starting voltage of main 12.6 V", None),
        ("main 12.4 V cranking prevented", None),
        ("main 12.4 V shortly after cranking", None),
        ("main 12.4 V between two cranks", None),
        ("main 12.9 V engine just shut down", None),
        ("main 12.9 V coasting, ex-running", None),
        ("main 12.9 V running on hope", None),
        ("cranking battery main 12.5 V", None),
        ("main 12.9 V uncharging", None),
        ("main 12.9 V discharging", None),
        ("main 12.9 V charging interrupted", None),
        ("no charging, main 12.5 V", None),
        ("preheat skipped, main 12.5 V", None),
        ("main 12.5 V preheat relay pulled", None),
    ] {
        assert_eq!(weighed(line, &v).as_deref(), state, "{line}");
    }
}

#[test]
fn a_line_that_is_asked_back_says_what_was_understood_and_is_kept() {
    let v = vehicle();
    let text = "cranking: block/front to main/- 0.41 V perhaps";
    let (place, code, what) = problem(text, &v);
    assert_eq!((place, code), ("perhaps", "words-unread"));
    for part in ["cranking", "block/front to main/-", "0.41 V", "behind `#`"] {
        assert!(what.contains(part), "{part}: {what}");
    }
    let readings = read(text.as_bytes(), &v);
    assert_eq!(readings.kept.len(), 1);
    assert_eq!(readings.kept[0].text, text);
    assert_eq!(reading(&text.replace("perhaps", "# perhaps"), &v).told, Told::Value(0.41));
}

#[test]
fn a_unit_ends_its_word() {
    let v = vehicle();
    for text in ["9.1V", "9.1 V", "9.1V.", "9.1V,", "9.1 V;", "(9.1V)", "9.1 volts", "9100mV"] {
        let line = format!("cranking: main {text}");
        assert_eq!(reading(&line, &v).told, Told::Value(9.1), "{line}");
    }
    for text in [
        "9.1V-ish",
        "9.1V_old",
        "9.1V'ish",
        "9.1V8",
        "9.1Vw",
        "9.1Volvo",
        "9.1 Volga",
        "9.1 Vs",
        "9.1mVolt-ish",
        "10A-fuse",
        "12V-system",
        "24V–type",
        "6.2A.fuse",
        "9.1Ah",
        "9.1 VA",
    ] {
        for line in [
            format!("cranking: main {text}"),
            format!("cranking: block/front to main/- {text}"),
            format!("cranking: main-negative {text}"),
        ] {
            assert!(one_line(&line, &v, 1).is_err(), "{line}");
        }
    }
}

#[test]
fn a_number_without_a_unit_is_asked_back() {
    let v = vehicle();
    for line in [
        "cranking: main 9.1",
        "cranking: block/front to main/- 0.41",
        "cranking: block/front to main/- about 0.4",
        "cranking: block/front to main/- 0.3 to 0.8",
        "cranking: main-negative 38",
        "resting: main 2019",
        "cranking: main 3 times",
    ] {
        let (_, code, what) = problem(line, &v);
        assert_eq!(code, "unit-missing", "{line}: {what}");
    }
}

#[test]
fn remarks_are_no_readings() {
    let v = vehicle();
    for line in [
        "new battery changed nothing",
        "nothing new at the main battery",
        "cranking: main none",
        "cranking: main zero",
        "cranking: block/front to main/- nothing",
        "cranking: block/front to main/- none",
        "nothing found between block/front and main/-",
        "preheat body-strap nothing",
        "running: main nothing unusual",
        "cranking: no reading from block/front to main/-",
        "replaced the starter, nothing better",
        "zero luck cranking main",
    ] {
        assert!(one_line(line, &v, 1).is_err(), "{line}: {:?}", one_line(line, &v, 1));
    }
    for (line, told) in [
        ("cranking: block/front to main/- no drop", Told::Nothing),
        ("cranking: block/front to main/- zero drop", Told::Nothing),
        ("cranking: block/front to main/- drop nil", Told::Nothing),
        ("cranking: block/front to main/-: nothing, volts", Told::Nothing),
        ("cranking: no volts at starter", Told::Nothing),
        ("cranking: zero volts starter", Told::Nothing),
        ("preheat body-strap no current", Told::Nothing),
        ("preheat body-strap zero amps", Told::Nothing),
    ] {
        assert_eq!(reading(line, &v).told, told, "{line}");
    }
}

#[test]
fn a_drop_at_a_device_is_none_of_its_own_volts() {
    let v = vehicle();
    for line in [
        "cranking: main drop 0.9 V",
        "cranking: starter drops 0.9 V",
        "cranking: starter no drop",
        "cranking: main dropped by 2.9 V",
    ] {
        let (_, code, what) = problem(line, &v);
        assert_eq!(code, "which-terminal", "{line}: {what}");
    }
    let text = "cranking: main drops to 9.5 V";
    assert_eq!(reading(text, &v).measured, volts(&v, "main/+", "main/-"));
}

/// The post and the clamp on it are two places: what lies between them is the commonest bad joint.
#[test]
fn a_word_for_a_part_is_no_filling() {
    let v = vehicle();
    for line in [
        "cranking: main/- clamp to block/front 0.4 V",
        "cranking: main/- lead to block/front 0.4 V",
        "cranking: main/- to block/front lug 0.4 V",
        "cranking: block/front red main/- black 0.4 V",
        "cranking: second main 9.4 V",
        "cranking: main near block/front 0.4 V",
    ] {
        assert!(one_line(line, &v, 1).is_err(), "{line}");
    }
    for line in [
        "cranking: red lead on block/front, black lead on main/- 0.41 V",
        "cranking: block/front to main/- post 0.41 V",
        "cranking: from the block/front stud to main/- 0.41 V on my multimeter",
    ] {
        assert_eq!(reading(line, &v).measured, volts(&v, "block/front", "main/-"), "{line}");
    }
    assert_eq!(reading("preheat: clamp meter on main-negative 38 A", &v).told, Told::Value(38.0));
}

/// At rest a battery has volts too, whatever states a file lists; a loss in the metal needs a current.
#[test]
fn a_files_only_state_is_assumed_only_for_what_no_other_state_shows() {
    let text = VEHICLE.replace(
        r#"states = ["resting", "preheat", "cranking", "running"]"#,
        r#"states = ["cranking"]"#,
    );
    let text = text.replace(r#"on = ["preheat", "cranking", "running"]"#, r#"on = ["cranking"]"#);
    let text = text.replace(r#"on = ["preheat"]"#, r#"on = ["cranking"]"#);
    let read = file::read(text.as_bytes());
    let v = read.vehicle.unwrap_or_else(|| panic!("{:?}", read.problems));
    assert!(worthless("main 12.5 V", &v).why.starts_with("no state"));
    assert!(worthless("block/front to main/- 0 V", &v).why.starts_with("no state"));
    assert_eq!(warned("block/front to main/- 0.41 V", &v), ["state-assumed"]);
}

/// Words of which none is in any list, most of them such as turn a meaning.
const UNKNOWN: [&str; 40] = [
    "not",
    "no",
    "never",
    "off",
    "without",
    "before",
    "after",
    "until",
    "unless",
    "except",
    "barely",
    "isn't",
    "didn't",
    "hardly",
    "instead",
    "stopped",
    "removed",
    "loose",
    "open",
    "apart",
    "partly",
    "neither",
    "nor",
    "uncranked",
    "nothing",
    "none",
    "zero",
    "if",
    "would",
    "could",
    "perhaps",
    "later",
    "earlier",
    "old",
    "other",
    "second",
    "behind",
    "purple",
    "sans",
    "ohne",
];

static BENCH: std::sync::LazyLock<Vehicle> = std::sync::LazyLock::new(vehicle);

fn shuffled() -> impl Strategy<Value = Vec<&'static str>> {
    Just(vec!["cranking", "block/front", "main/-", "0.41 V", "from", "the", "my", "meter"])
        .prop_shuffle()
        // What is from cranking is from after it.
        .prop_filter("over", |words| !words.windows(2).any(|two| two == ["from", "cranking"]))
}

proptest! {
    #[test]
    fn a_line_with_one_unknown_word_is_asked_back(
        words in shuffled(),
        unknown in prop_oneof![
            prop::sample::select(UNKNOWN.to_vec()).prop_map(str::to_owned),
            "[a-z]{9,14}",
            "[a-z]{2,6}[’'-][a-z]{1,6}",
        ],
        at in 0_usize..9,
    ) {
        let v = &*BENCH;
        let known = words.join(" ");
        prop_assert!(weighed(&known, v).is_some(), "{}", known);
        let mut words: Vec<&str> = words.clone();
        words.insert(at.min(words.len()), &unknown);
        let line = words.join(" ");
        let asked = !matches!(one_line(&line, v, 1), Ok(Line::Reading { .. }));
        let harmless = |list: &[&str]| list.contains(&unknown.as_str());
        prop_assert!(asked || harmless(HARMLESS) || harmless(NOTED), "{}", line);
    }
}
