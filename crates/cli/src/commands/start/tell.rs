//! What `groundloom start` says: the five sides, what each reading is worth, what to measure next.

mod json;
mod next;
mod verdict;
mod worth;

use std::fmt::Write;
use std::path::Path;

use diagnosis::{Side, SideBelief, Standing, SuspectKind};
use units::Ratio;

use self::next::next;
use self::verdict::{acquittals, again_first};
use self::worth::worth;
use super::Written;
use super::story::{Story, Weighed};
use super::symptom::{SYMPTOMS, symptom_word};
use crate::answer::Asked;
use crate::commands::next::caution;
use crate::measuring;
use crate::sides::{chance, meaning};
use crate::style::{bold, dim, wrapped};

pub(crate) use self::json::json;

/// A side that a reading moves by less than this is not spoken of.
const MOVED: f64 = 0.02;

fn line(text: &mut String, words: &str, width: usize, indent: usize) {
    let begin = " ".repeat(indent);
    let _ = writeln!(text, "{begin}{}", wrapped(words, width.saturating_sub(indent), indent));
}

/// What is said between two readings.
pub(crate) fn in_between(story: &Story<'_>, weighed: &Weighed, asked: &Asked) -> String {
    let mut text = String::from("\n");
    again_first(&mut text, weighed, asked);
    sides(&mut text, story, weighed, asked);
    text.push('\n');
    next(&mut text, story, weighed, asked);
    text
}

/// The whole answer.
pub(crate) fn text(
    story: &Story<'_>,
    weighed: &Weighed,
    written: Option<&Written>,
    file: &str,
    asked: &Asked,
) -> String {
    let setup = story.setup;
    let mut text = String::new();
    let what = SYMPTOMS
        .iter()
        .find(|(word, _)| *word == symptom_word(story.symptom))
        .map_or("", |(_, what)| *what);
    let first: String = what.chars().take(1).flat_map(char::to_uppercase).collect();
    let title = format!("{first}{}", what.chars().skip(1).collect::<String>());
    let _ = writeln!(text, "{}", bold(wrapped(&title, asked.width, 0)));
    let earth = if setup.earth == model::Earth::Negative { "negative" } else { "positive" };
    let facts = format!(
        "taken as: {} layout, {} V, {earth} earth, {}; a rough vehicle that nobody measured",
        setup.layout, setup.nominal.0, setup.surroundings
    );
    let _ = writeln!(text, "{}\n", dim(wrapped(&facts, asked.width, 0)));
    again_first(&mut text, weighed, asked);
    sides(&mut text, story, weighed, asked);
    text.push('\n');
    acquittals(&mut text, story, weighed, asked);
    worth(&mut text, story, weighed, asked);
    next(&mut text, story, weighed, asked);
    caution(&mut text, story.vehicle, weighed.next.get(..1).unwrap_or_default(), asked);
    text.push('\n');
    ending(&mut text, story, weighed, written, file, asked);
    text
}

/// The five sides, the likeliest first.
fn sides(text: &mut String, story: &Story<'_>, weighed: &Weighed, asked: &Asked) {
    let load = weighed.heard.load.map(|id| story.vehicle.load(id).name.as_str());
    let _ = writeln!(text, "{}", bold("Where it may be"));
    let row = |text: &mut String, word: &str, probability: Ratio, words: &str| {
        let head = format!("  {word:<8} {:>11}  ", chance(probability));
        let indent = head.chars().count();
        let body = wrapped(words, asked.width.saturating_sub(indent), indent);
        let _ = writeln!(text, "{head}{body}");
    };
    for own in &weighed.account.sides.sides {
        let mut words = match (own.side, load) {
            (Side::Load, Some(name)) => format!("the load itself, {name}"),
            _ => meaning(own.side).to_owned(),
        };
        match weighed.standing(own) {
            Standing::Suspect => {
                let _ = write!(words, "; {}", first_of(story, weighed, own));
            }
            Standing::Cleared => words.push_str(": cleared"),
            Standing::UnlikelySoFar => words.push_str(": unlikely so far, not cleared"),
            Standing::Unlikely => words.push_str(": unlikely from the start"),
            Standing::Open => {}
        }
        row(text, own.side.word(), own.probability, &words);
    }
    if weighed.account.sides.elsewhere.0 >= 0.01 {
        row(text, "elsewhere", weighed.account.sides.elsewhere, "outside this circuit");
    }
    row(text, "nothing", weighed.account.sides.nothing, "no fault in this circuit at all");
}

/// The likeliest suspects of a side in words: a whole cable when its pieces share the suspicion.
fn first_of(story: &Story<'_>, weighed: &Weighed, own: &SideBelief) -> String {
    let vehicle = story.vehicle;
    let Some(first) = own.first else { return String::new() };
    let cable = |kind: SuspectKind| match kind {
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => Some(id),
        SuspectKind::Joint(id) => match vehicle.joint(id).of {
            model::JointOf::From(id) | model::JointOf::To(id) => Some(id),
            model::JointOf::LoadCase(_) | model::JointOf::SourceCase(_) => None,
        },
        _ => None,
    };
    let mut sums: Vec<(model::ConductorId, f64)> = Vec::new();
    for suspect in &weighed.account.diagnosis.suspects {
        let side = diagnosis::sides::side_of(
            vehicle,
            weighed.heard.load,
            weighed.account.control,
            suspect.kind,
        );
        let Some(id) = cable(suspect.kind).filter(|_| side == Some(own.side)) else { continue };
        match sums.iter_mut().find(|(known, _)| *known == id) {
            Some((_, sum)) => *sum += suspect.probability,
            None => sums.push((id, suspect.probability)),
        }
    }
    let best = sums.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    match best.filter(|_| cable(first).is_some()) {
        Some((id, _)) => {
            let conductor = vehicle.conductor(id);
            let end = |joint| &vehicle.point(vehicle.joint(joint).point).id;
            format!(
                "first of all {}: its end at {}, its end at {}, or the cable itself",
                conductor.id,
                end(conductor.from),
                end(conductor.to)
            )
        }
        None => format!("first of all {}", place(story, own.side, first)),
    }
}

/// The suspect of a side in words.
fn place(story: &Story<'_>, side: Side, kind: SuspectKind) -> String {
    match (side, kind) {
        (Side::Control, SuspectKind::LoadOpen(_)) => {
            "key switch, interlock, relay or trigger wire".to_owned()
        }
        (Side::Load, SuspectKind::LoadOpen(_)) => {
            "it draws next to nothing though it is switched on".to_owned()
        }
        _ => measuring::suspect(story.vehicle, kind),
    }
}

/// The commands that go on from here.
fn commands(
    story: &Story<'_>,
    weighed: &Weighed,
    path: &Path,
    readings: Option<&Path>,
) -> Vec<String> {
    let quoted = |path: &Path| {
        let shown = path.display().to_string();
        if shown.contains([' ', '\'', '"']) { format!("'{shown}'") } else { shown }
    };
    let files =
        readings.map_or_else(|| quoted(path), |own| format!("{} {}", quoted(path), quoted(own)));
    let complaint = weighed.heard.load.map_or_else(String::new, |load| {
        format!(
            " --complaint {}@{}",
            story.vehicle.load(load).id,
            story.vehicle.state(weighed.heard.state).id
        )
    });
    vec![
        format!("groundloom check {} --defaults", quoted(path)),
        format!("groundloom next {files}{complaint}"),
        format!("groundloom diagnose {files}{complaint}"),
    ]
}

fn ending(
    text: &mut String,
    story: &Story<'_>,
    weighed: &Weighed,
    written: Option<&Written>,
    file: &str,
    asked: &Asked,
) {
    match written {
        Some(Ok((path, readings))) => {
            let beside = readings
                .as_ref()
                .map_or_else(String::new, |own| format!(", the readings in {}", own.display()));
            let words = format!(
                "The rough vehicle is in {}{beside}. Put what you know in its place, then:",
                path.display()
            );
            line(text, &words, asked.width, 0);
            for command in commands(story, weighed, path, readings.as_deref()) {
                let _ = writeln!(text, "  {command}");
            }
        }
        Some(Err(why)) => {
            line(
                text,
                &format!("The rough vehicle could not be written: {why}. Here it is:"),
                asked.width,
                0,
            );
            let _ = writeln!(text, "\n{file}");
            if let Some(readings) = story.file() {
                text.push_str(&readings);
            }
        }
        None => line(
            text,
            "`--output my-vehicle.toml` writes the rough vehicle to refine, with the readings beside it.",
            asked.width,
            0,
        ),
    }
}
