//! `groundloom diagnose`: which joint is bad, how sure that is, and what the readings are worth.

use std::fmt::Write;
use std::path::PathBuf;

use answers::diagnose::Found;
use diagnosis::agreement::AT_ODDS;
use diagnosis::{
    Crowded, Diagnosis, Hold, Observation, Question, Suspect, SuspectKind, TAKE_AGAIN,
};
use model::{ConductorId, Vehicle};
use units::{Ratio, print};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::measuring::{self, Source, Taken, Weighed};
use crate::sides;
use crate::style::{bold, dim, warning, wrapped};
use crate::table::{Column, table};
use crate::vehicle_file;

mod account;
mod apart;
mod believed;
mod agreement;
mod proof;
mod taught;

/// Suspects shown when not everything is asked for, and the least probability of one.
const MOST_SUSPECTS: usize = 6;
const LEAST_PROBABLE: f64 = 0.01;
/// From this probability on a suspect stands in the finding.
const LIKELY: f64 = 0.5;
/// Below this probability even the likeliest suspect is no finding.
const STANDS_OUT: f64 = 0.1;

/// Which joint is bad, from a few readings with an ordinary meter.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file.
    file: PathBuf,
    #[command(flatten)]
    source: Source,
    /// Show every suspect and what is believed of every joint, conductor, structure, load and source.
    #[arg(long)]
    all: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let Weighed { vehicle, taken, seen, questions, mut session, diagnosis } =
        measuring::weighed(&opened, &arguments.source, asked)?;
    let found = Found::of(&mut session, diagnosis, (seen, questions), taken.complaint);
    let Found { seen, questions, diagnosis, findings, sides, holds, apart, beliefs } = &found;
    let mut text = String::new();
    if !taken.problems.is_empty() {
        text.push_str(&taken.problems);
        text.push('\n');
    }
    let _ = writeln!(text, "{}", bold(&vehicle.name));
    if let Some(complaint) = taken.complaint {
        let _ = writeln!(
            text,
            "complaint: {} while {}",
            vehicle.load(complaint.load).id,
            vehicle.state(complaint.state).name
        );
    }
    text.push('\n');
    text.push_str(&measuring::questions(vehicle, questions, asked));
    readings_text(&mut text, vehicle, (&taken, questions), seen, diagnosis, asked);
    text.push_str(&proof::text(vehicle, &taken, asked));
    text.push_str(&taught::text(vehicle, seen, asked));
    text.push_str(&agreement::text(vehicle, diagnosis, seen, asked));
    if seen.is_empty() && !diagnosis::clues(vehicle, &taken.readings.readings).is_empty() {
        let words =
            "No meter reading counts; what follows rests on what jump leads and pushes did.";
        let _ = writeln!(text, "{}\n", wrapped(words, asked.width, 0));
    } else {
        verdict(&mut text, vehicle, diagnosis, seen, holds, asked);
    }
    text.push_str(&apart::text(vehicle, apart, asked));
    let account = account::text(vehicle, findings, asked);
    if account.is_empty() {
        explanation(&mut text, vehicle, diagnosis, seen, asked);
    }
    text.push_str(&account);
    let _ = writeln!(text, "{}\n", wrapped(&sides::summary(sides), asked.width, 0));
    suspects_text(&mut text, vehicle, diagnosis, arguments.all, asked);
    if arguments.all {
        text.push_str(&believed::text(vehicle, diagnosis, beliefs, asked));
    }
    let exit = if diagnosis.nothing_bad < 0.5 { Exit::Finding } else { taken.exit() };
    let Taken { readings, earlier, told, .. } = taken;
    let json = json(&answers::diagnose::of(vehicle, &readings, &earlier, told, &found));
    Ok(Answer { text, json, exit })
}

/// What each reading says beside what was expected, and what proves nothing.
fn readings_text(
    text: &mut String,
    vehicle: &Vehicle,
    (taken, questions): (&Taken, &[Question]),
    seen: &[Observation],
    diagnosis: &Diagnosis,
    asked: &Asked,
) {
    let mut rows = Vec::new();
    for reading in &taken.readings.readings {
        let at = seen.iter().position(|own| own.number == reading.number);
        let (sound, now) = at.map_or((f64::NAN, f64::NAN), |at| diagnosis.expected[at]);
        let odd =
            at.is_some_and(|at| diagnosis.residuals.get(at).is_some_and(|z| z.abs() > AT_ODDS));
        rows.push(vec![
            reading.number.to_string(),
            reading.state.map_or_else(String::new, |state| vehicle.state(state).id.clone()),
            measuring::measured(vehicle, reading.measured),
            measuring::told(reading),
            if at.is_some() { measuring::value(reading.measured, sound) } else { String::new() },
            if at.is_some() { measuring::value(reading.measured, now) } else { String::new() },
            match questions.iter().find(|own| own.number == reading.number) {
                Some(own) if own.doubt.is_weighed() => "? minus".to_owned(),
                Some(_) => "? not weighed".to_owned(),
                None if odd => "! at odds".to_owned(),
                None => String::new(),
            },
        ]);
    }
    let nothing = taken.readings.worthless.is_empty() && taken.readings.kept.is_empty();
    if rows.is_empty() && nothing {
        text.push_str("no readings yet; `groundloom next` says what to measure first\n\n");
        return;
    }
    if !rows.is_empty() {
        let columns = [
            Column::Right("no."),
            Column::Left("state"),
            Column::Left("measured"),
            Column::Right("reading"),
            Column::Right("sound"),
            Column::Right("explained"),
            Column::Left(""),
        ];
        let _ = writeln!(text, "{}", table(&columns, rows, asked.width));
    }
    crowded_text(text, diagnosis::crowded(vehicle, &taken.readings.readings), asked);
    for worthless in &taken.readings.worthless {
        let words = format!(
            "reading {} proves nothing: {}. Instead: {}",
            worthless.number, worthless.why, worthless.instead
        );
        let _ = writeln!(text, "{}", wrapped(&words, asked.width, 2));
    }
    for kept in &taken.readings.kept {
        let _ = writeln!(
            text,
            "{}",
            wrapped(
                &format!("entry {} is kept as written: {}", kept.number, kept.text),
                asked.width,
                2
            )
        );
    }
    if !taken.readings.worthless.is_empty() || !taken.readings.kept.is_empty() {
        text.push('\n');
    }
}

/// Readings too many to be weighed one by one.
fn crowded_text(text: &mut String, crowded: Crowded, asked: &Asked) {
    if crowded.together > 0 {
        let words = format!(
            "{} count in the mean of an earlier reading of the same thing in the same state.",
            readings_number(crowded.together)
        );
        let _ = writeln!(text, "{}\n", wrapped(&words, asked.width, 0));
    }
    if crowded.left_out > 0 {
        let words = format!(
            "{} are shown but not weighed: so many different ones came before them. Put first in the file those that matter.",
            readings_number(crowded.left_out)
        );
        let _ = writeln!(text, "{}\n", warning(wrapped(&words, asked.width, 0)));
    }
}

fn readings_number(number: usize) -> String {
    format!("{number} reading{}", if number == 1 { "" } else { "s" })
}

/// Contradictions first, then the finding in a sentence or two.
fn verdict(
    text: &mut String,
    vehicle: &Vehicle,
    diagnosis: &Diagnosis,
    seen: &[Observation],
    holds: &[Hold],
    asked: &Asked,
) {
    for (number, probability) in
        diagnosis.take_again.iter().take(2).filter(|(_, chance)| *chance > TAKE_AGAIN)
    {
        let words = format!(
            "take reading {number} again: with a probability of {} it is wrong, a probe on another point, a slipped decimal or crossed probes. Without it the others agree.",
            sides::chance(Ratio(*probability))
        );
        let _ = writeln!(text, "{}\n", warning(wrapped(&words, asked.width, 0)));
    }
    let words = match diagnosis.suspects.first() {
        _ if seen.is_empty() => {
            "Nothing was measured that counts; what follows is believed before any reading."
                .to_owned()
        }
        _ if diagnosis.nothing_bad > 0.5
            && diagnosis.take_again.first().is_some_and(|own| own.1 > TAKE_AGAIN) =>
        {
            format!(
                "Until then these readings clear nothing for sure: as they stand, nothing is wrong with a probability of {}.",
                sides::chance(Ratio(diagnosis.nothing_bad))
            )
        }
        _ if diagnosis.nothing_bad > 0.5 && !holds.is_empty() => {
            let words: Vec<String> =
                holds.iter().map(|own| answers::holds::words(vehicle, seen, *own)).collect();
            format!(
                "Unlikely so far that something is wrong, not cleared: as they stand, nothing is wrong with a probability of {}. But {}.",
                sides::chance(Ratio(diagnosis.nothing_bad)),
                words.join("; and ")
            )
        }
        _ if diagnosis.nothing_bad > 0.5 => format!(
            "These readings clear the vehicle as far as they reach: nothing is wrong with a probability of {}.",
            sides::chance(Ratio(diagnosis.nothing_bad))
        ),
        Some(first) => {
            let lacks = |own: &&Suspect| matches!(own.kind, SuspectKind::ExtraPath { .. });
            let chance = |own: &Suspect| {
                let pieces = pieces(vehicle, diagnosis, own);
                pieces.iter().map(|own| own.probability).sum::<f64>().max(own.probability)
            };
            let likely = || diagnosis.suspects.iter().filter(|own| chance(own) > LIKELY);
            match (likely().find(|own| !lacks(own)), likely().find(lacks)) {
                (Some(bad), Some(path)) => format!(
                    "{} {}",
                    finding(vehicle, diagnosis, bad),
                    finding(vehicle, diagnosis, path)
                ),
                (Some(bad), None) => finding(vehicle, diagnosis, bad),
                (None, Some(path)) => finding(vehicle, diagnosis, path),
                (None, None) if chance(first) > STANDS_OUT => finding(vehicle, diagnosis, first),
                (None, None) => format!(
                    "No single part stands out. That nothing is wrong has a probability of {}; the rest is spread over parts that these readings hardly reach (`groundloom next` says which to take).",
                    sides::chance(Ratio(diagnosis.nothing_bad))
                ),
            }
        }
        None => "Nothing can be said.".to_owned(),
    };
    let _ = writeln!(text, "{}\n", wrapped(&words, asked.width, 0));
}

/// The conductor that a fault is in.
fn conductor_of(vehicle: &Vehicle, kind: SuspectKind) -> Option<ConductorId> {
    match kind {
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => Some(id),
        SuspectKind::Joint(id) => match vehicle.joint(id).of {
            model::JointOf::From(id) | model::JointOf::To(id) => Some(id),
            model::JointOf::LoadCase(_) | model::JointOf::SourceCase(_) => None,
        },
        _ => None,
    }
}

/// The suspects in the same conductor that share the suspicion, itself included.
fn pieces<'d>(vehicle: &Vehicle, diagnosis: &'d Diagnosis, first: &Suspect) -> Vec<&'d Suspect> {
    let of = |own: &Suspect| conductor_of(vehicle, own.kind);
    let same = |own: &&Suspect| own.probability > 0.05 && of(own).is_some() && of(own) == of(first);
    diagnosis.suspects.iter().filter(same).collect()
}

/// The finding in a sentence: a whole conductor when its pieces share the suspicion.
fn finding(vehicle: &Vehicle, diagnosis: &Diagnosis, first: &Suspect) -> String {
    let pieces = pieces(vehicle, diagnosis, first);
    if pieces.len() > 1 {
        let sum: f64 = pieces.iter().map(|own| own.probability).sum();
        let names: Vec<String> =
            pieces.iter().map(|own| measuring::suspect(vehicle, own.kind)).collect();
        return format!(
            "It lies in {} with a probability of {}: {}.",
            conductor_of(vehicle, first.kind)
                .map_or_else(String::new, |id| vehicle.conductor(id).id.clone()),
            sides::chance(Ratio(sum.min(1.0))),
            names.join("; or ")
        );
    }
    let ohms = first.ohms.filter(|ohms| ohms.0 < 1e3);
    let ohms = ohms.map_or_else(String::new, |ohms| format!(", about {}", print::ohms(ohms)));
    if let SuspectKind::ExtraPath { from, to } = first.kind {
        return format!(
            "There with a probability of {}: a path between {} and {} that the file does not show{ohms}.",
            sides::chance(Ratio(first.probability)),
            measuring::body(vehicle, from),
            measuring::body(vehicle, to)
        );
    }
    format!(
        "Bad with a probability of {}: {}{ohms}.",
        sides::chance(Ratio(first.probability)),
        measuring::suspect(vehicle, first.kind)
    )
}

/// The reading that says most, in words a person can follow.
fn explanation(
    text: &mut String,
    vehicle: &Vehicle,
    diagnosis: &Diagnosis,
    seen: &[Observation],
    asked: &Asked,
) {
    let telling = seen.iter().enumerate().max_by(|a, b| {
        let surprise = |(at, own): &(usize, &Observation)| {
            ((own.value - diagnosis.expected[*at].0) / own.sigma.max(0.02 * own.value.abs())).abs()
        };
        surprise(a).total_cmp(&surprise(b))
    });
    if let Some((at, own)) = telling {
        let (sound, _) = diagnosis.expected[at];
        let more = own.value.abs() - sound.abs();
        let direction = if more >= 0.0 { "more" } else { "less" };
        let words = format!(
            "Most telling is reading {}: {} while {} shows {}, {} {direction} than a sound vehicle would.",
            own.number,
            measuring::measured(vehicle, own.measured),
            vehicle.state(own.state).name,
            measuring::value(own.measured, own.value),
            measuring::value(own.measured, more.abs()),
        );
        let _ = writeln!(text, "{}\n", wrapped(&words, asked.width, 0));
    }
}

fn suspects_text(
    text: &mut String,
    vehicle: &Vehicle,
    diagnosis: &Diagnosis,
    all: bool,
    asked: &Asked,
) {
    let shown: Vec<&Suspect> = diagnosis
        .suspects
        .iter()
        .filter(|suspect| all || suspect.probability > LEAST_PROBABLE)
        .take(if all { usize::MAX } else { MOST_SUSPECTS })
        .collect();
    let mut rows: Vec<Vec<String>> = shown
        .iter()
        .map(|suspect| {
            vec![
                sides::chance(Ratio(suspect.probability)),
                measuring::suspect(vehicle, suspect.kind),
                suspect.ohms.filter(|ohms| ohms.0 < 1e3).map_or_else(String::new, print::ohms),
            ]
        })
        .collect();
    rows.push(vec![
        sides::chance(Ratio(diagnosis.nothing_bad)),
        "nothing is wrong".to_owned(),
        String::new(),
    ]);
    let columns = [Column::Right("probability"), Column::Left("suspect"), Column::Right("if so")];
    let _ = writeln!(text, "{}", table(&columns, rows, asked.width));
    let _ = writeln!(
        text,
        "{}",
        dim(wrapped(
            "Bad means: costs 0.1 V of 12 V at the largest current it carries in any state, or stated as bad by the file. Before any reading a joint is bad with a probability that follows its kind, place and protection (our judgement, docs/diagnosis.md).",
            asked.width,
            0
        ))
    );
}
