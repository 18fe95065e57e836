//! A question asked from the command line: the file is opened, the answer is written for the terminal or as JSON.

use std::path::PathBuf;

use answers::room::{Question, Refused};
use answers::{Refusal, refusal};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::render;
use crate::style::dim;
use crate::vehicle_file;

// A question about a vehicle file. Its help is the question's own, so it has none here.
#[derive(clap::Args, Debug)]
pub(crate) struct OfVehicle<Q: clap::Args> {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    #[command(flatten)]
    question: Q,
}

/// Asks about a vehicle on which nothing was measured.
pub(crate) fn ask<Q>(arguments: &OfVehicle<Q>, asked: &Asked) -> Result<Answer, Failure>
where
    Q: Question + clap::Args,
{
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let question = &arguments.question;
    let found = question.find(vehicle, &mut |_| true).map_err(failure)?;
    // Nobody stops it here.
    let Some(found) = found else { return Err(failure(Refused::default())) };
    let exit = if question.wants_attention(&found) { Exit::Finding } else { Exit::Well };
    if asked.json {
        let json = json(&question.shape(&found));
        return Ok(Answer { text: String::new(), json, exit });
    }
    let mut text = render::text(&question.told(&found), asked);
    if let Some(line) = opened.warnings_line().filter(|_| Q::WARNS) {
        text.push_str(&format!("{}\n", dim(line)));
    }
    Ok(Answer { text, json: serde_json::Value::Null, exit })
}

/// Everything that was wrong with a question, as a person is told.
pub(crate) fn failure(refused: Refused) -> Failure {
    let each: Vec<String> = refused.0.iter().map(words).collect();
    // Whoever tells a failure writes `error: ` before the first.
    Failure(each.join("\nerror: "))
}

fn words(own: &Refusal) -> String {
    match &own.place {
        Some(place) => placed(own, place.as_ref()),
        None => {
            let hint = own.hint.as_ref().map_or_else(String::new, |hint| format!("; {hint}"));
            format!("{}{hint}\n  expected {}", own.what, own.expected)
        }
    }
}

/// With the words that are meant underlined.
fn placed(own: &Refusal, refusal::Place { key, text, within }: &refusal::Place) -> String {
    let caret = text.get(..within.start).map_or(0, |before| before.chars().count());
    let length = text.get(within.clone()).map_or(1, |at| at.chars().count().max(1));
    let indent = "--".len() + key.len() + 1 + caret;
    let hint = own.hint.as_ref().map_or_else(String::new, |hint| format!("\n  hint: {hint}"));
    format!(
        "{}\n  --{key} {text}\n  {}{}\n  expected {}{hint}",
        own.what,
        " ".repeat(indent),
        "^".repeat(length),
        own.expected
    )
}
