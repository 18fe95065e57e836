//! Lines as people talk, written by somebody who had not seen the reader: how many it understands.
//!
//! `apart/lines.jsonl` holds what was said and what it means, invented for this; `apart/counts.txt` what comes of
//! it. The lines are a measure, not a list to be worked through: what they refuse is to be mended in general.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

use model::{Told, Vehicle};
use readings::{Kind, Statement, Vocabulary, What, statements};
use serde_json::Value;

const LINES: &str = include_str!("apart/lines.jsonl");
const VEHICLE: &str = include_str!("../../../layouts/front-engine.toml");

/// What a line weighs: how many readings, sights and trials.
type Count = [usize; 3];

fn meant(line: &Value) -> Count {
    let all = line["means"].as_array().expect("a list");
    ["reading", "seen", "tried"].map(|key| all.iter().filter(|own| own.get(key).is_some()).count())
}

fn understood(all: &[Statement]) -> Count {
    [Kind::Reading, Kind::Observation, Kind::Trial]
        .map(|kind| all.iter().filter(|own| own.kind() == kind).count())
}

/// The volts and amperes that were meant, ranges left out.
fn meant_values(line: &Value) -> Vec<f64> {
    let all = line["means"].as_array().expect("a list").iter();
    let reading = all.filter_map(|own| own.get("reading"));
    reading.filter_map(|own| own.get("volts").or(own.get("amps"))?.as_f64()).collect()
}

fn values(all: &[Statement]) -> Vec<f64> {
    let reading = all.iter().filter_map(|own| match &own.what {
        What::Reading { reading, .. } => Some(reading.told),
        _ => None,
    });
    reading
        .filter_map(|told| match told {
            Told::Value(own) | Told::About(own) | Told::Held(own) | Told::AtLeast(own) => Some(own),
            Told::Nothing => Some(0.0),
            _ => None,
        })
        .collect()
}

/// What comes of a line.
fn outcome(line: &Value, vehicle: &Vehicle, words: &Vocabulary) -> &'static str {
    let said = line["said"].as_str().expect("text");
    let all = statements(said, vehicle, words, 1);
    let (meant, found) = (meant(line), understood(&all));
    let near = |a: f64, b: f64| (a.abs() - b.abs()).abs() < 1e-6 + 1e-3 * b.abs();
    let values = values(&all);
    let known = |value: &f64| meant_values(line).iter().any(|own| near(*value, *own));
    let to_ask = line.get("ask").is_some_and(|own| !own.is_null());
    match (meant == found, found == [0; 3]) {
        (true, true) if to_ask => "to be asked back: nothing is weighed",
        (true, true) => "nothing to weigh: nothing is weighed",
        (_, true) => "something to weigh: nothing is",
        (true, false) if values.iter().all(known) => "something to weigh: all of it is",
        (false, false) if values.iter().all(known) && (0..3).all(|at| found[at] <= meant[at]) => {
            "something to weigh: a part is"
        }
        _ => "something else is weighed than was meant",
    }
}

#[test]
fn so_many_lines_of_somebody_who_has_not_seen_the_reader_are_understood() {
    let vehicle = file::read(VEHICLE.as_bytes()).vehicle.expect("a layout is sound");
    let words = Vocabulary::of(&vehicle);
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for line in LINES.lines() {
        let line: Value = serde_json::from_str(line).expect("JSON");
        *counts.entry(outcome(&line, &vehicle, &words)).or_default() += 1;
    }
    let mut text = String::new();
    for (outcome, number) in counts {
        writeln!(text, "{number:4} {outcome}").expect("text");
    }
    assert_eq!(text, recorded(&text), "`UPDATE=1` records what is understood now");
}

/// What is recorded, or this where it is to be recorded.
#[expect(clippy::disallowed_methods, reason = "the counts are a file, and `UPDATE` is asked for")]
fn recorded(text: &str) -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/apart/counts.txt");
    if std::env::var("UPDATE").is_ok() {
        std::fs::write(&file, text).expect("the counts may be written");
    }
    std::fs::read_to_string(&file).expect("the counts are there")
}
