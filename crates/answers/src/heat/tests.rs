//! The two ways of asking mean the same, and what contradicts itself is refused.

use clap::Parser;
use serde_json::{Value, json};

use super::*;
use crate::room::{Question as _, shape_of};

const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");

#[derive(Parser)]
struct Typed {
    #[command(flatten)]
    own: Asked,
}

fn vehicle() -> Vehicle {
    file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors")
}

fn read(asked: Value) -> Asked {
    serde_json::from_value(asked).expect("known keys")
}

/// All that is refused of a question.
fn refused(asked: Value) -> Vec<String> {
    let refused = read(asked).find(&vehicle(), &mut |_| true).expect_err("refused");
    refused.0.into_iter().map(|own| own.what).collect()
}

#[test]
fn what_is_typed_is_what_a_request_says() {
    let words = "heat --state winching --for 2min --duty 20% --period 5min";
    let typed = Typed::try_parse_from(words.split(' ')).expect("known options").own;
    let texts = json!({ "state": "winching", "for": "2min", "duty": "20%", "period": "5min" });
    assert_eq!(typed, read(texts));
    let again = serde_json::to_value(&typed).expect("keys of text");
    assert_eq!(typed, read(again));
    let least = Typed::try_parse_from(["heat", "--state", ""]).expect("known options").own;
    assert_eq!(least, Asked::default());
}

#[test]
fn texts_and_numbers_are_answered_alike() {
    let vehicle = vehicle();
    let texts = json!({ "state": "winching", "for": "2 min", "duty": "20 %", "period": "5 min" });
    let duty = json!({ "share": 0.2, "period_seconds": 300 });
    let numbers = json!({ "state": "winching", "seconds": 120, "duty": duty });
    let [texts, numbers] = [texts, numbers].map(|asked| shape_of(&read(asked), &vehicle));
    assert!(texts.is_ok(), "{texts:?}");
    assert_eq!(texts, numbers);
}

#[test]
fn all_that_is_wrong_is_told_at_once() {
    let duty = json!({ "share": 2.0, "period_seconds": 0 });
    let asked = json!({ "state": "nowhere", "for": "x", "seconds": 3, "duty": duty });
    let all = refused(asked);
    let told = ["no state `nowhere`", "for twice", "no number", "`share`", "`period_seconds`"];
    assert_eq!(all.len(), told.len(), "{all:?}");
    for (own, told) in all.iter().zip(told) {
        assert!(own.contains(told), "{own}");
    }
}

#[test]
fn half_a_duty_is_none() {
    let duty = json!({ "share": 0.2, "period_seconds": 300 });
    for (asked, told) in [
        (json!({ "state": "winching", "duty": "20 %" }), "has no period"),
        (json!({ "state": "winching", "period": "5 min" }), "has no duty"),
        (json!({ "state": "winching", "duty": duty, "period": "5 min" }), "stands in the duty too"),
        (json!({ "state": "winching", "seconds": -1 }), "`seconds` is -1"),
    ] {
        assert_eq!(refused(asked), [told]);
    }
}
