//! What people say of a car that cranks slowly, and how each line is taken.
//!
//! `corpus.txt` has a line and behind ` => ` how it is taken: the reading in full, what was seen, or by which
//! problem it is asked back. Who adds a line says what it means before running it.

use diagnosis::Symptom;

use super::super::story::{Outcome, Said};
use super::super::{Setup, Story};
use crate::sights;

const CORPUS: &str = include_str!("corpus.txt");

/// How a line was taken, in short.
fn taken(story: &Story<'_>, own: &Said) -> String {
    match &own.outcome {
        Outcome::Reading(reading) => format!("reading {}", story.line_of(reading)),
        Outcome::Seen(all) => sights::understood(story.vehicle, all),
        Outcome::Worthless(_) => "proves nothing".to_owned(),
        Outcome::WhichState { problem, .. }
        | Outcome::WhichVoltage(_, problem)
        | Outcome::NotUnderstood(problem) => format!("asked {}", problem.code.word()),
    }
}

#[test]
fn every_line_of_the_corpus_is_taken_as_it_was_meant() {
    let setup = Setup::of_layout("front-engine");
    let vehicle = setup.vehicle().expect("a rough vehicle is sound");
    let mut story = Story::new(&vehicle, &setup, Symptom::SlowCrank);
    let mut wrong = Vec::new();
    let (mut understood, mut asked) = (0, 0);
    for entry in CORPUS.lines().filter(|own| !own.is_empty() && !own.starts_with('#')) {
        let (line, expected) = entry.split_once(" => ").expect("each has ` => `");
        story.told.clear();
        for part in story.parts(line) {
            let _ = story.take(&part);
        }
        let own: Vec<String> = story.told.iter().map(|own| taken(&story, own)).collect();
        let own = own.join(" + ");
        if own.contains("asked") {
            asked += 1
        } else {
            understood += 1
        }
        if own != expected.trim() {
            wrong.push(format!("{line} => {own}"));
        }
    }
    assert!(
        wrong.is_empty(),
        "{understood} understood, {asked} asked back, otherwise than meant:\n{}",
        wrong.join("\n")
    );
}
