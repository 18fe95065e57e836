//! What a story of sights alone leaves of a rough vehicle.

use diagnosis::{Side, Standing, Symptom};

use super::super::{Found, Setup, Story};

fn found(symptom: Symptom, lines: &[&str]) -> Found {
    let setup = Setup::of_layout("front-engine");
    let vehicle = setup.vehicle().expect("a rough vehicle is sound");
    let mut story = Story::new(&vehicle, &setup, symptom);
    for line in lines {
        let _ = story.take(line);
    }
    story.weigh()
}

fn of(found: &Found, side: Side) -> f64 {
    found.weighed.account.sides.probability(side).0
}

#[test]
fn a_hot_control_cable_sends_whoever_tells_of_it_to_the_way_home() {
    let before = found(Symptom::SlowCrank, &[]);
    let after = found(Symptom::SlowCrank, &["the choke cable smokes while cranking"]);
    assert!(of(&after, Side::Return) > 0.5, "{}", of(&after, Side::Return));
    assert!(of(&after, Side::Return) > 2.0 * of(&before, Side::Return));
    assert_eq!(after.weighed.account.sides.sides[0].side, Side::Return);
    assert!(!after.weighed.next.is_empty());
}

#[test]
fn what_was_seen_alone_clears_no_side_and_makes_none_certain() {
    let lines = [
        "the choke cable smokes while cranking",
        "new battery changed nothing",
        "new starter, no change",
        "the engine strap gets hot while cranking",
        "found the negative clamp loose",
    ];
    for count in 1..=lines.len() {
        let own = found(Symptom::SlowCrank, &lines[..count]);
        for side in &own.weighed.account.sides.sides {
            assert!(side.probability.0 < 0.901, "{side:?}");
            assert_ne!(own.weighed.standing(side), Standing::Cleared, "{side:?}");
        }
    }
}

#[test]
fn a_denial_moves_belief_the_other_way() {
    let none = of(&found(Symptom::SlowCrank, &[]), Side::Return);
    let hot =
        of(&found(Symptom::SlowCrank, &["earth strap gets hot while cranking"]), Side::Return);
    let cool = of(
        &found(Symptom::SlowCrank, &["earth strap does not get hot while cranking"]),
        Side::Return,
    );
    assert!(hot > none && cool < none, "{hot} {none} {cool}");
}

#[test]
fn a_line_that_is_asked_back_weighs_nothing() {
    let before = found(Symptom::SlowCrank, &[]);
    for line in ["the hot lead is loose", "the cable gets hot", "the earth strap may be hot"] {
        let own = found(Symptom::SlowCrank, &[line]);
        assert!(own.told[0].outcome.problem().is_some(), "{line}");
        assert!((of(&own, Side::Return) - of(&before, Side::Return)).abs() < 1e-12, "{line}");
    }
}

#[test]
fn a_starter_replaced_in_vain_leaves_its_control_under_suspicion() {
    let before = found(Symptom::NoCrank, &[]);
    let after = found(Symptom::NoCrank, &["new starter, no change"]);
    assert!(of(&after, Side::Load) < 0.5 * of(&before, Side::Load));
    assert!(of(&after, Side::Control) > of(&before, Side::Control));
}

#[test]
fn what_was_seen_is_kept_in_the_file_of_readings_and_read_there_again() {
    let own =
        found(Symptom::SlowCrank, &["choke cable hot while cranking", "battery minus clamp loose"]);
    let vehicle = file::read(own.file().as_bytes()).vehicle.expect("the rough file is sound");
    let text = own.readings_file().expect("lines were told");
    let read = readings::read(text.as_bytes(), &vehicle);
    assert!(read.problems.is_empty(), "{:?}", read.problems);
    assert_eq!(read.seen.len(), 2);
}

#[test]
fn amperes_of_the_starter_are_those_in_its_cable() {
    let own = found(Symptom::SlowCrank, &["cranking: starter more than 600 A"]);
    assert!(of(&own, Side::Load) > 0.8, "{}", of(&own, Side::Load));
}

#[test]
fn two_readings_of_one_thing_that_contradict_each_other_are_taken_again_first() {
    let lines = [
        "cranking: engine block to battery minus 0.1 V",
        "battery 10.2 V cranking",
        "cranking: battery minus to engine block 1.3 V",
    ];
    let own = found(Symptom::SlowCrank, &lines);
    let (first, second) = own.weighed.again.as_ref().expect("they contradict each other");
    assert_eq!((first.number, second.number), (1, 3));
    let next = own.weighed.next.first().expect("something is proposed");
    assert_eq!(next.measured, second.measured);
    // From one go to the next a battery falls a little.
    let alike = ["battery 10.2 V cranking", "battery 9.7 V cranking"];
    assert!(found(Symptom::SlowCrank, &alike).weighed.again.is_none());
}

#[test]
fn a_hot_cable_that_loses_next_to_nothing_is_asked_back() {
    let hot = "the red cable to the starter gets hot while cranking";
    let sound = "cranking: battery plus to starter stud 5 mV";
    for lines in [[hot, sound], [sound, hot]] {
        let own = found(Symptom::SlowCrank, &lines);
        assert!(own.told[0].outcome.problem().is_none(), "{:?}", own.told[0]);
        assert!(own.told[1].outcome.problem().is_some(), "{:?}", own.told[1]);
    }
    let lossy = "cranking: battery plus to starter stud 0.8 V";
    assert!(found(Symptom::SlowCrank, &[hot, lossy]).told[1].outcome.problem().is_none());
}
