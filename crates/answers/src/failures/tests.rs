//! What is asked and refused, and what is told of work that was stopped.

use clap::Parser;

use super::*;
use crate::room::Question as _;

const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");

#[derive(Parser)]
struct Typed {
    #[command(flatten)]
    own: Asked,
}

fn vehicle() -> Vehicle {
    file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors")
}

#[test]
fn a_request_that_says_nothing_is_what_is_typed_without_options() {
    let typed = Typed::try_parse_from(["failures"]).expect("no option is needed").own;
    let sent: Asked = serde_json::from_str("{}").expect("no key is needed");
    assert_eq!((&typed, &sent), (&Asked::default(), &Asked::default()));
}

#[test]
fn pairs_of_what_has_not_happened_and_what_has_happened_are_two_questions() {
    let asked = Asked { pairs: true, after: Some("main-negativ".to_owned()), ..Asked::default() };
    let refused = asked.find(&vehicle(), &mut |_| true).expect_err("refused").0;
    assert!(refused[0].what.contains("`pairs` and `after`"), "{refused:?}");
    assert_eq!(refused[1].hint.as_deref(), Some("did you mean `main-negative`?"));
}

#[test]
fn work_that_is_stopped_tells_what_was_found_so_far() {
    let (vehicle, asked) = (vehicle(), Asked { pairs: true, ..Asked::default() });
    let mut told = Vec::new();
    let mut watch = |progress| {
        told.push(progress);
        told.len() < 3
    };
    let found = asked.find(&vehicle, &mut watch).expect("a question").expect("an answer");
    assert!(!found.complete());
    assert!(told.iter().all(|own| own.what == "single failures"), "{told:?}");
    assert!(told.is_sorted_by(|a, b| a.share < b.share), "{told:?}");
    let Failures::Survey(survey) = asked.shape(&found) else { panic!("nothing has happened") };
    assert!(!survey.complete && survey.pairs.is_none() && survey.tried > 0, "{survey:?}");
    let told = asked.told(&found);
    let stopped = |own: &crate::told::Block| format!("{own:?}").contains("stopped before the end");
    assert_eq!(told.blocks.iter().filter(|own| stopped(own)).count(), 1);
}
