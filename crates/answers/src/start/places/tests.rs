//! What people say of a car that cranks slowly, and how each line is taken.
//!
//! `corpus.txt` has a line and behind ` => ` how it is taken: the reading in full, what was seen, or by which
//! problem it is asked back. Who adds a line says what it means before running it.

use diagnosis::Symptom;
use model::{Accuracy, Measured, PointId, Probe, Reading, StateId, Told};
use units::Ratio;

use super::super::story::{Outcome, Said};
use super::super::{Setup, Story};
use crate::sights;
use crate::told::measuring;

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

/// Lines of the corpus that are readings of a meter, each with its line as it is printed.
fn printed() -> Vec<String> {
    let entries = CORPUS.lines().filter_map(|own| own.split_once(" => "));
    let readings = entries
        .flat_map(|own| own.1.split(" + "))
        .filter_map(|own| own.trim().strip_prefix("reading "));
    readings.map(str::to_owned).collect()
}

#[test]
fn a_reading_as_it_is_printed_reads_the_same() {
    let setup = Setup::of_layout("front-engine");
    let vehicle = setup.vehicle().expect("a rough vehicle is sound");
    let mut story = Story::new(&vehicle, &setup, Symptom::SlowCrank);
    let all = printed();
    assert!(all.len() > 60, "{}", all.len());
    for line in all {
        story.told.clear();
        let _ = story.take(&line);
        let own: Vec<String> = story.told.iter().map(|own| taken(&story, own)).collect();
        assert_eq!(own, [format!("reading {line}")], "{line}");
    }
}

/// Volts between two points of the rough vehicle.
fn volts(at: (usize, usize), state: usize, told: Told, signed: bool) -> Reading {
    let [high, low] = [at.0, at.1].map(|at| Probe::Point(PointId::at(at)));
    Reading {
        number: 1,
        state: Some(StateId::at(state)),
        measured: Measured::Volts { high, low },
        told,
        signed,
        accuracy: Accuracy { share: Ratio(0.01), counts: 3, resolution: 0.001 },
        time: None,
        note: None,
    }
}

/// Between every two places, in every state and however the value is told.
#[test]
fn any_reading_printed_and_read_back_is_the_same() {
    let setup = Setup::of_layout("front-engine");
    let vehicle = setup.vehicle().expect("a rough vehicle is sound");
    let words = readings::Vocabulary::of(&vehicle);
    let forms = [
        |own| Told::Value(own),
        |own| Told::About(own),
        |own| Told::Between(own, own + 1.0),
        |own| Told::Held(own),
    ];
    let mut read_back = 0;
    for turn in 0..600 {
        // Steps that share no factor with the counts go through all of them.
        let (high, low) = (turn * 7 % 11, turn * 5 % 12);
        if high == low {
            continue;
        }
        let own = forms[turn % 4](0.013 + 0.137 * (turn % 89) as f64);
        let reading = volts((high, low), turn % 5, own, turn % 3 == 0);
        let line = measuring::line(&vehicle, &reading);
        match readings::statement(&line, &vehicle, &words, 1).what {
            readings::What::Reading { reading: again, .. } => {
                read_back += 1;
                let of = |own: &Reading| (own.state, own.measured, own.signed);
                assert_eq!(of(&again), of(&reading), "{line}");
                assert_eq!(measuring::line(&vehicle, &again), line);
            }
            // Next to nothing where nothing flows proves nothing; a battery's slip is asked back.
            readings::What::Worthless(_) => {}
            readings::What::Question(own) => assert!(!own.meanings.is_empty(), "{line}: {own:?}"),
            other => panic!("{line}: {other:?}"),
        }
    }
    assert!(read_back > 400, "{read_back}");
}
