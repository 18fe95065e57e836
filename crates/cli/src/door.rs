//! A question asked from the command line: what it is about is opened, the answer is written for the terminal or as
//! JSON.

use std::path::{Path, PathBuf};

use answers::refusal::Refused;
use answers::room::{About, AtHand, File, Needs, Question};
use answers::taken::Taken;
use answers::{Refusal, refusal};
use model::Vehicle;

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::problems::rendered;
use crate::render;
use crate::style::dim;
use crate::vehicle_file::{self, Opened};
use crate::watching::Watcher;

// A question about a vehicle file. Its help is the question's own, so it has none here.
#[derive(clap::Args, Debug)]
pub(crate) struct OfVehicle<Q: clap::Args> {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    #[command(flatten)]
    pub question: Q,
}

// A question that may be about a vehicle file.
#[derive(clap::Args, Debug)]
pub(crate) struct PerhapsOfVehicle<Q: clap::Args> {
    /// A vehicle file, or `-` for standard input: it is then tried in that network.
    file: Option<PathBuf>,
    #[command(flatten)]
    pub question: Q,
}

// A question about a vehicle file and what was measured on it.
#[derive(clap::Args, Debug)]
pub(crate) struct OfMeasured<Q: clap::Args> {
    /// The vehicle file.
    file: PathBuf,
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    pub question: Q,
}

// A question about nothing but what it says itself.
#[derive(clap::Args, Debug)]
pub(crate) struct OfNothing<Q: clap::Args> {
    #[command(flatten)]
    pub question: Q,
}

/// Where the readings and the complaint come from.
#[derive(clap::Args, Debug)]
pub(crate) struct Source {
    /// The readings file: TOML, CSV or one reading a line.
    readings: Option<PathBuf>,
    /// One reading as a person would write it: `cranking: block/front to main/- 0.41 V`. May be repeated.
    #[arg(long = "reading", value_name = "WORDS")]
    lines: Vec<String>,
    /// The load that does not do its job, and the state: `starter@cranking`.
    #[arg(long, value_name = "LOAD@STATE")]
    complaint: Option<String>,
}

/// What a question is about, as the command line names it.
pub(crate) trait Subject {
    /// The question.
    type Question: Question;

    /// The question, its vehicle file and its readings.
    fn parts(&self) -> (&Self::Question, Option<&Path>, Option<&Source>);
}

macro_rules! subjects {
    ($($subject:ident: $own:ident => $file:expr, $source:expr;)*) => {$(
        impl<Q: Question + clap::Args> Subject for $subject<Q> {
            type Question = Q;

            fn parts(&self) -> (&Q, Option<&Path>, Option<&Source>) {
                let $own = self;
                (&$own.question, $file, $source)
            }
        }
    )*};
}

subjects! {
    OfVehicle: own => Some(&own.file), None;
    PerhapsOfVehicle: own => own.file.as_deref(), None;
    OfMeasured: own => Some(&own.file), Some(&own.source);
    OfNothing: own => None, None;
}

// A question about a vehicle file that may have errors.
pub(crate) type OfFile<Q> = OfVehicle<Q>;

/// A command that answers a question.
pub(crate) trait Command {
    /// Answers it.
    fn run(&self, asked: &Asked) -> Result<Answer, Failure>;
}

impl<S: Subject> Command for S {
    fn run(&self, asked: &Asked) -> Result<Answer, Failure> {
        ask(self, asked)
    }
}

/// Asks, and writes the answer.
pub(crate) fn ask<S: Subject>(subject: &S, asked: &Asked) -> Result<Answer, Failure> {
    ask_with(subject, asked, |_| Ok(()))
}

/// The same, with something done with what was found before it is written.
pub(crate) fn ask_with<S: Subject>(
    subject: &S,
    asked: &Asked,
    also: impl FnOnce(&<S::Question as Question>::Found<'_>) -> Result<(), Failure>,
) -> Result<Answer, Failure> {
    let (question, path, source) = subject.parts();
    let opened = path.map(vehicle_file::open).transpose()?;
    let needs = <<S::Question as Question>::About<'static> as About>::NEEDS;
    let mut text = String::new();
    let vehicle = match &opened {
        Some(opened) if needs == Needs::File => {
            text.push_str(&opened.problems(asked.width));
            None
        }
        Some(opened) => Some(opened.vehicle(asked.width)?),
        None => None,
    };
    let taken = match (source, vehicle) {
        (Some(source), Some(vehicle)) => Some(taken(source, vehicle, &mut text, asked)?),
        _ => None,
    };
    let file = opened.as_ref().map(|own| File { reading: &own.reading, text: &own.text });
    let at_hand = AtHand { file, taken: taken.as_ref() };
    // A subject brings whatever its question needs.
    let about = <S::Question as Question>::About::of(at_hand);
    let about =
        about.ok_or_else(|| Failure::new("no vehicle is named", vehicle_file::VEHICLE_FILE))?;
    let found = find(question, about)?;
    also(&found)?;
    let warnings = opened.as_ref().and_then(Opened::warnings_line);
    Ok(written(question, &found, text, warnings, asked))
}

/// What was found, as JSON or for the terminal, there after what is to be read first.
fn written<Q: Question>(
    question: &Q,
    found: &Q::Found<'_>,
    mut text: String,
    warnings: Option<String>,
    asked: &Asked,
) -> Answer {
    let exit = if question.wants_attention(found) { Exit::Finding } else { Exit::Well };
    if asked.json {
        let json = json(&question.shape(found));
        return Answer { text: String::new(), json, exit };
    }
    text.push_str(&render::text(&question.told(found), asked));
    if let Some(line) = warnings.filter(|_| Q::WARNS) {
        text.push_str(&format!("{}\n", dim(line)));
    }
    Answer { text, json: serde_json::Value::Null, exit }
}

/// What a question finds, unless somebody stops it.
pub(crate) fn find<'v, Q: Question>(
    question: &Q,
    about: Q::About<'v>,
) -> Result<Q::Found<'v>, Failure> {
    // Only once it tells how far it is can it be stopped; until then Ctrl-C ends the program as ever.
    let mut watcher: Option<Watcher> = None;
    let mut watch = |progress| watcher.get_or_insert_with(Watcher::new).tell(progress);
    let found = question.find(about, &mut watch).map_err(failure)?;
    drop(watcher);
    let stopped =
        || Failure::new("it was stopped before there was an answer", "the same with more time");
    found.ok_or_else(stopped)
}

/// Reads everything that was given; problems of it are added to the text.
fn taken(
    source: &Source,
    vehicle: &Vehicle,
    text: &mut String,
    asked: &Asked,
) -> Result<Taken, Failure> {
    let mut taken = Taken::default();
    let mut take = |bytes: &[u8], path: &str| {
        let read = readings::read(bytes, vehicle);
        let written = String::from_utf8_lossy(bytes);
        text.push_str(&rendered(&read.problems, path, &written, asked.width));
        taken.take(read, &written, vehicle);
    };
    if let Some(path) = &source.readings {
        let bytes = vehicle_file::read_bytes(path, "a file with one reading a line")?;
        take(&bytes, &path.display().to_string());
    }
    if !source.lines.is_empty() {
        // Typed lines are a small file of their own.
        take(source.lines.join("\n").as_bytes(), "--reading");
    }
    if let Some(words) = &source.complaint {
        taken.complain(words, vehicle).map_err(failure)?;
    }
    Ok(taken)
}

/// Everything that was wrong with a question, as a person is told.
pub(crate) fn failure(refused: Refused) -> Failure {
    let each: Vec<String> = refused.0.iter().map(words).collect();
    // Whoever tells a failure writes `error: ` before the first.
    Failure(each.join("\nerror: "))
}

fn words(own: &Refusal) -> String {
    let hint = own.hint.as_ref().map_or_else(String::new, |hint| format!("; {hint}"));
    match own.place.as_deref() {
        Some(refusal::Place { key, text, within: Some(within) }) => {
            placed(own, &option(key), text, within)
        }
        Some(refusal::Place { key, text, within: None }) => {
            let space = if own.what.starts_with(':') { "" } else { " " };
            let option = option(key);
            format!("`{option} {text}`{space}{}{hint}\n  expected {}", own.what, own.expected)
        }
        None => format!("{}{hint}\n  expected {}", own.what, own.expected),
    }
}

/// A key as an option of the command line.
fn option(key: &str) -> String {
    format!("--{}", key.replace('_', "-"))
}

/// With the words that are meant underlined.
fn placed(own: &Refusal, option: &str, text: &str, within: &std::ops::Range<usize>) -> String {
    let caret = text.get(..within.start).map_or(0, |before| before.chars().count());
    let length = text.get(within.clone()).map_or(1, |at| at.chars().count().max(1));
    let indent = option.len() + 1 + caret;
    let hint = own.hint.as_ref().map_or_else(String::new, |hint| format!("\n  hint: {hint}"));
    format!(
        "{}\n  {option} {text}\n  {}{}\n  expected {}{hint}",
        own.what,
        " ".repeat(indent),
        "^".repeat(length),
        own.expected
    )
}
