//! The word of a state that is part of a name, or says what is over, is no state; what is asked back says
//! what was understood.

use super::*;
use model::Problem;
use proptest::prelude::*;

fn asked(text: &str, vehicle: &Vehicle) -> Problem {
    match one_line(text, vehicle, 1) {
        Err(problem) => problem,
        other => panic!("{text}: {other:?}"),
    }
}

const STATES: [&str; 5] = ["cranking", "starting", "running", "preheat", "glow"];
const THINGS: [&str; 6] = ["battery", "batteries", "lights", "lamps", "headlights", "light"];
const OVER: [&str; 6] = ["from", "was", "were", "after", "has been", "after it had been"];

static BENCH: std::sync::LazyLock<Vehicle> = std::sync::LazyLock::new(vehicle);

proptest! {
    #[test]
    fn a_state_in_the_name_of_a_thing_is_no_state(
        state in prop::sample::select(STATES.to_vec()),
        thing in prop::sample::select(THINGS.to_vec()),
        on in prop::sample::select(vec!["", " on"]),
        behind in any::<bool>(),
        volts in 60_u32..140,
    ) {
        let volts = f64::from(volts) / 10.0;
        let line = if behind {
            format!("main {volts} V {state} {thing}{on}")
        } else {
            format!("{state} {thing}{on} main {volts} V")
        };
        prop_assert!(!matches!(one_line(&line, &BENCH, 1), Ok(Line::Reading { .. })), "{}", line);
    }

    #[test]
    fn a_state_that_is_over_is_no_state(
        state in prop::sample::select(STATES.to_vec()),
        over in prop::sample::select(OVER.to_vec()),
        volts in 60_u32..140,
    ) {
        let volts = f64::from(volts) / 10.0;
        let line = format!("main {volts} V {over} {state}");
        prop_assert!(!matches!(one_line(&line, &BENCH, 1), Ok(Line::Reading { .. })), "{}", line);
    }
}

#[test]
fn a_state_beside_its_thing_is_one_all_the_same() {
    let v = vehicle();
    for line in [
        "cranking: main 9.1 V",
        "cranking, battery main 9.1 V",
        "main 9.1 V when it was cranking",
        "main 9.1 V while it was cranking",
        "resting battery main 12.6 V",
    ] {
        assert!(reading(line, &v).state.is_some(), "{line}");
    }
}

#[test]
fn what_is_asked_back_says_what_was_understood_and_names_the_word_that_was_not() {
    let v = vehicle();
    for (line, word, understood) in [
        ("resting: main 12.6 V, block/front cold", "cold", "resting, main to block/front, 12.6 V"),
        ("main 12.6 V block/front warm", "warm", "no state, main to block/front, 12.6 V"),
        ("barely cranking battery main 9.0 V", "barely", "no state, main, 9.0 V"),
        ("cranking: main 9.0 V noblock", "noblock", "cranking, main, 9.0 V"),
        ("cranking: main 9.0 V anymain", "anymain", "cranking, main, 9.0 V"),
        ("resting: main 12.6 V cranking", "cranking", "resting, main, 12.6 V"),
        ("preheat: main 11.8 V key off", "key off", "preheat, main, 11.8 V"),
    ] {
        let problem = asked(line, &v);
        let hint = problem.hint.clone().unwrap_or_default();
        assert!(problem.what.contains(word), "{line}: {}", problem.what);
        assert!(hint.contains(understood), "{line}: {hint}");
        assert!(!hint.contains("did you mean"), "{line}: {hint}");
    }
    // A slip of the finger has its nearest word, and what was understood beside it.
    let hint = asked("crankng: main 9.0 V", &v).hint.unwrap_or_default();
    assert!(hint.contains("did you mean `cranking`?") && hint.contains("main, 9.0 V"), "{hint}");
}

#[test]
fn at_most_is_from_nothing_to_that() {
    let v = vehicle();
    for words in ["at most", "less than", "<", "under", "below", "≤"] {
        let line = format!("cranking: block/front to main/- {words} 0.3 V");
        assert_eq!(reading(&line, &v).told, Told::Between(0.0, 0.3), "{line}");
    }
    assert!(one_line("cranking: block/front to main/- most 0.3 V", &v, 1).is_err());
}
