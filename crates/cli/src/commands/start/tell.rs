//! What `groundloom start` says: the five sides, what each reading is worth, what to measure next.

use std::fmt::Write;
use std::path::Path;

use diagnosis::sides::NOT_SWITCHED_ON;
use diagnosis::{Proposal, Side, SideBelief, Standing, SuspectKind, Symptom};
use model::{Measured, Probe, Vehicle};
use serde_json::{Value, json};
use units::Ratio;

use super::Written;
use super::rough::where_is;
use super::setup::{Isolator, Metal, Place};
use super::story::{Outcome, SYMPTOMS, Story, Weighed, symptom_word};
use crate::answer::Asked;
use crate::commands::diagnose::suspect_json;
use crate::commands::next::{caution, line_to_type, proposal_json, short};
use crate::measuring;
use crate::problems;
use crate::sides::{chance, meaning, side_json};
use crate::style::{bold, dim, warning, wrapped};

/// A side that a reading moves by less than this is not spoken of.
const MOVED: f64 = 0.02;
/// Outcomes shown of the next reading.
const MOST_OUTCOMES: usize = 4;
/// From this probability on a reading is named as one to take again.
const TAKE_AGAIN: f64 = 0.3;
/// A reading that is expected to tell less than this is not worth its minute.
const WORTH_TAKING: f64 = 0.05;

fn line(text: &mut String, words: &str, width: usize, indent: usize) {
    let begin = " ".repeat(indent);
    let _ = writeln!(text, "{begin}{}", wrapped(words, width.saturating_sub(indent), indent));
}

/// What is said between two readings.
pub(crate) fn in_between(story: &Story<'_>, weighed: &Weighed, asked: &Asked) -> String {
    let mut text = String::from("\n");
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
        "taken as: {} layout, {}, {earth} earth, {}; a rough vehicle that nobody measured",
        setup.layout,
        format!("{} V", setup.nominal.0),
        setup.surroundings
    );
    let _ = writeln!(text, "{}\n", dim(wrapped(&facts, asked.width, 0)));
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

/// What the readings took the suspicion from, in plain words.
fn acquittals(text: &mut String, story: &Story<'_>, weighed: &Weighed, asked: &Asked) {
    for own in &weighed.account.sides.sides {
        let before = weighed.first(own.side);
        let words = match weighed.standing(own) {
            Standing::Cleared => format!(
                "The {} is cleared{}: {} are at fault with a probability of {}, against {} before the readings.",
                own.side.word(),
                by(weighed, own.side),
                cleared(own.side),
                chance(own.probability),
                chance(before)
            ),
            _ => continue,
        };
        line(text, &words, asked.width, 0);
    }
    let of = |side| weighed.account.sides.probability(side).0;
    if story.symptom == Symptom::NoCrank && of(Side::Load) + of(Side::Control) > 0.5 {
        line(text, &control_words(story, weighed), asked.width, 0);
    }
    let again = weighed.account.diagnosis.take_again.first().filter(|own| own.1 > TAKE_AGAIN);
    if let Some((number, probability)) = again {
        let words = format!(
            "Take reading {number} again: with {} it is wrong, a probe on another point, a slipped decimal or crossed probes.",
            chance(Ratio(*probability))
        );
        let _ = writeln!(text, "{}", warning(wrapped(&words, asked.width, 0)));
    }
    if weighed.account.sides.sides.iter().all(|own| own.probability.0 < 0.5)
        && weighed.account.sides.nothing.0 < 0.5
    {
        line(text, "No side stands out yet: the next reading decides.", asked.width, 0);
    }
    text.push('\n');
}

/// The reading that took most of the suspicion from a side.
fn by(weighed: &Weighed, side: Side) -> String {
    let falls = weighed.steps.iter().filter_map(|(number, step)| {
        step.iter().find(|own| own.0 == side).map(|own| (*number, own.1.0 - own.2.0))
    });
    let most = falls.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|own| own.1 > MOVED);
    most.map_or_else(String::new, |(number, _)| format!(", mostly by reading {number}"))
}

fn cleared(side: Side) -> &'static str {
    match side {
        Side::Source => "the battery and what charges it",
        Side::Feed => "the cables and joints from the battery to the load",
        Side::Return => "the earth cables, straps and metal on the way home",
        Side::Load => "the load's own insides",
        Side::Control => "the switch, relay and wire that switch it on",
    }
}

/// What readings can and cannot say of the control.
fn control_words(story: &Story<'_>, weighed: &Weighed) -> String {
    if weighed.account.control != NOT_SWITCHED_ON {
        let words = if weighed.account.control > NOT_SWITCHED_ON {
            "The trigger lacks its volts: the fault lies before it, in key switch, interlock, relay or wire."
        } else {
            "The trigger has its volts: what is left is the starter with its solenoid. An interlock in the earth of the coil would look the same."
        };
        return words.to_owned();
    }
    let coil = story.vehicle.load_named("starter-coil").map(|id| {
        let (live, back) = story.vehicle.load_terminals(id);
        format!("{} to {}", story.vehicle.point(live).id, story.vehicle.point(back).id)
    });
    format!(
        "Volts at the starter that does not draw cannot tell a dead starter from one that is not switched on; only the volts at its trigger can ({}).",
        coil.unwrap_or_default()
    )
}

/// What each line was worth.
fn worth(text: &mut String, story: &Story<'_>, weighed: &Weighed, asked: &Asked) {
    if story.told.is_empty() {
        return;
    }
    let _ = writeln!(text, "{}", bold("What the readings are worth"));
    for own in &story.told {
        let head = format!("  {:>2}  ", own.number);
        let said = wrapped(&own.read, asked.width.saturating_sub(6), 6);
        let _ = writeln!(text, "{head}{said}");
        line(text, &worth_words(story, weighed, own), asked.width, 6);
    }
    text.push('\n');
}

fn worth_words(story: &Story<'_>, weighed: &Weighed, own: &super::story::Told) -> String {
    let words = match &own.outcome {
        Outcome::NotUnderstood(problem) => {
            let hint = problem.hint.as_ref().map_or_else(String::new, |hint| format!("; {hint}"));
            return format!(
                "not understood, kept as a note: {}; expected {}{hint}",
                problem.what, problem.expected
            );
        }
        Outcome::Worthless(worthless) => {
            return format!("proves nothing: {}. Instead: {}", worthless.why, worthless.instead);
        }
        Outcome::Reading(_) => match weighed.steps.iter().find(|step| step.0 == own.number) {
            None => "kept beside the others; only volts and amperes in a state are weighed here"
                .to_owned(),
            Some((_, step)) => {
                let mut moved: Vec<&(Side, Ratio, Ratio)> =
                    step.iter().filter(|(_, a, b)| (a.0 - b.0).abs() >= MOVED).collect();
                moved.sort_by(|a, b| (b.1.0 - b.2.0).abs().total_cmp(&(a.1.0 - a.2.0).abs()));
                let words: Vec<String> = moved
                    .iter()
                    .take(3)
                    .map(|(side, a, b)| {
                        let verb = if b > a { "up" } else { "down" };
                        format!("{} {verb} from {} to {}", side.word(), chance(*a), chance(*b))
                    })
                    .collect();
                if words.is_empty() {
                    "fits what was believed and moves no side by two points".to_owned()
                } else {
                    words.join(", ")
                }
            }
        },
    };
    let words = match own.assumed {
        Some(state) => {
            format!("{words} (no state was told: {} is taken)", story.vehicle.state(state).id)
        }
        None => words,
    };
    if own.turned {
        format!("{words} (told without a sign: the probes are taken as the current flows)")
    } else {
        words
    }
}

/// The reading that splits best what is left.
fn next(text: &mut String, story: &Story<'_>, weighed: &Weighed, asked: &Asked) {
    let vehicle = story.vehicle;
    let Some(own) = weighed.next.first().filter(|own| own.gain > WORTH_TAKING) else {
        line(
            text,
            "No further reading would tell much: what is left is to look, and to repair.",
            asked.width,
            0,
        );
        text.push('\n');
        return;
    };
    let state = &vehicle.state(own.state);
    let _ = writeln!(text, "{}", bold("Measure next"));
    match own.measured {
        Measured::Volts { high, low } => {
            for (colour, probe) in [("red  ", high), ("black", low)] {
                line(text, &format!("{colour} on {}", probe_words(story, probe)), asked.width, 2);
            }
        }
        other => line(text, &measuring::measured(vehicle, other), asked.width, 2),
    }
    let hold = match state.id.as_str() {
        "cranking" if story.symptom == Symptom::NoCrank => {
            "while a helper holds the key at start, whether it turns or not".to_owned()
        }
        "cranking" => "while a helper cranks, two or three seconds".to_owned(),
        "key-on" => "with the key on, the engine off, and the lamp or accessory on".to_owned(),
        "idle" | "running" => format!(
            "with the engine {}, and the lamp or accessory on",
            if state.id == "idle" { "idling" } else { "running" }
        ),
        _ => format!("while {}", state.name),
    };
    line(text, &hold, asked.width, 2);
    for (value, words) in outcomes(story, weighed, own) {
        line(text, &format!("near {value}: {words}"), asked.width, 2);
    }
    let as_reading = line_to_type(vehicle, own);
    if !as_reading.is_empty() {
        let _ = writeln!(
            text,
            "  {}",
            dim(wrapped(&format!("as a reading: {as_reading}"), asked.width.saturating_sub(2), 2))
        );
    }
    text.push('\n');
}

fn probe_words(story: &Story<'_>, probe: Probe) -> String {
    let vehicle = story.vehicle;
    match probe {
        Probe::Point(id) => {
            let name = &vehicle.point(id).id;
            match where_is(name, story.setup) {
                Some(words) => format!("{name}: {words}"),
                None => name.clone(),
            }
        }
        Probe::Lug(id) => {
            let joint = vehicle.joint(id);
            format!(
                "{}: the cable's eye or clamp itself, at {}",
                joint.id,
                vehicle.point(joint.point).id
            )
        }
    }
}

/// Values to expect and what each would point to.
fn outcomes(story: &Story<'_>, weighed: &Weighed, own: &Proposal) -> Vec<(String, String)> {
    let show = |value: f64| match own.measured {
        Measured::Volts { .. } if value.abs() < 0.000_5 => "0 mV".to_owned(),
        _ => measuring::value(own.measured, value),
    };
    if own.outcomes.is_empty() {
        // The coil's reading: the network does not know of it.
        return vec![
            (show(own.sound), "it is switched on; the starter itself".to_owned()),
            (
                "nothing".to_owned(),
                "control: key switch, interlock, relay or trigger wire".to_owned(),
            ),
        ];
    }
    let mut groups: Vec<(f64, f64, Vec<String>)> = Vec::new();
    for (faults, value, weight) in &own.outcomes {
        let words = if faults.is_empty() {
            "nothing wrong here".to_owned()
        } else {
            let each = faults.iter().map(|kind| {
                let side = diagnosis::sides::side_of(
                    story.vehicle,
                    weighed.heard.load,
                    weighed.account.control,
                    *kind,
                );
                let side = side.map_or("elsewhere", Side::word);
                format!("{side}, {}", short(story.vehicle, *kind))
            });
            each.collect::<Vec<_>>().join(" and ")
        };
        let near = |known: f64| (known - value).abs() < 0.15 * value.abs() + 0.03;
        match groups.iter_mut().find(|(known, ..)| near(*known)) {
            Some((_, sum, known)) => {
                *sum += weight;
                if known.len() < 3 && !known.contains(&words) {
                    known.push(words);
                }
            }
            None => groups.push((*value, *weight, vec![words])),
        }
    }
    groups.sort_by(|a, b| b.1.total_cmp(&a.1));
    groups.truncate(MOST_OUTCOMES);
    groups.into_iter().map(|(value, _, words)| (show(value), words.join("; or "))).collect()
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

/// The same for programs.
pub(crate) fn json(
    story: &Story<'_>,
    weighed: &Weighed,
    written: Option<&Written>,
    file: &str,
    remarks: &[String],
) -> Value {
    let vehicle: &Vehicle = story.vehicle;
    let setup = story.setup;
    let side = |own: &SideBelief| {
        let mut value = side_json(vehicle, own);
        if let Some(object) = value.as_object_mut() {
            object.insert("before".to_owned(), json!(weighed.first(own.side).0));
            let standing = match weighed.standing(own) {
                Standing::Suspect => "suspect",
                Standing::Open => "open",
                Standing::Cleared => "cleared",
                Standing::Unlikely => "unlikely",
            };
            object.insert("standing".to_owned(), json!(standing));
        }
        value
    };
    let told: Vec<Value> = story
        .told
        .iter()
        .map(|own| {
            let (worth, problem) = match &own.outcome {
                Outcome::Reading(_) => ("weighed", Value::Null),
                Outcome::Worthless(_) => ("nothing", Value::Null),
                Outcome::NotUnderstood(problem) => (
                    "kept",
                    problems::json(std::slice::from_ref(problem), &own.read).pop().unwrap_or_default(),
                ),
            };
            let moved: Value = weighed.steps.iter().find(|step| step.0 == own.number).map_or(Value::Null, |step| {
                json!(step.1.iter().map(|(side, a, b)| json!({ "side": side.word(), "before": a.0, "after": b.0 })).collect::<Vec<_>>())
            });
            json!({
                "number": own.number,
                "said": own.said,
                "read": own.read,
                "assumed_state": own.assumed.map(|state| vehicle.state(state).id.clone()),
                "worth": worth,
                "words": worth_words(story, weighed, own),
                "moved": moved,
                "problem": problem,
            })
        })
        .collect();
    let next = weighed.next.first().filter(|own| own.gain > WORTH_TAKING).map(|own| {
        let mut value = proposal_json(vehicle, own);
        if let Some(object) = value.as_object_mut() {
            let outcomes: Vec<Value> = outcomes(story, weighed, own)
                .into_iter()
                .map(|(near, points_to)| json!({ "near": near, "points_to": points_to }))
                .collect();
            object.insert("outcomes".to_owned(), json!(outcomes));
        }
        value
    });
    let (path, readings, failed) = match written {
        Some(Ok((path, readings))) => (Some(path), readings.as_ref(), None),
        Some(Err(why)) => (None, None, Some(why)),
        None => (None, None, None),
    };
    json!({
        "format": 1,
        "setup": {
            "layout": setup.layout,
            "nominal_volts": setup.nominal.0,
            "batteries": setup.batteries,
            "battery_place": if setup.place == Place::Far { "far" } else { "near" },
            "metal": match setup.metal {
                Metal::Engine => "engine",
                Metal::EngineBody => "engine-body",
                Metal::EngineFrame => "engine-frame",
                Metal::EngineFrameBody => "engine-frame-body",
            },
            "battery_switch": match setup.isolator {
                Isolator::None => "none",
                Isolator::Live => "live",
                Isolator::Earthed => "earthed",
            },
            "earth": if setup.earth == model::Earth::Negative { "negative" } else { "positive" },
            "surroundings": setup.surroundings,
        },
        "symptom": symptom_word(story.symptom),
        "load": weighed.heard.load.map(|load| vehicle.load(load).id.clone()),
        "state": vehicle.state(weighed.heard.state).id,
        "sides": weighed.account.sides.sides.iter().map(side).collect::<Vec<_>>(),
        "elsewhere": weighed.account.sides.elsewhere.0,
        "nothing_bad": weighed.account.sides.nothing.0,
        "suspects": weighed.account.diagnosis.suspects.iter().take(10).map(|own| {
            let mut value = suspect_json(vehicle, own.kind);
            if let Some(object) = value.as_object_mut() {
                object.insert("probability".to_owned(), json!(own.probability));
            }
            value
        }).collect::<Vec<_>>(),
        "take_again": weighed.account.diagnosis.take_again.iter().map(|(number, chance)| json!({ "number": number, "probability": chance })).collect::<Vec<_>>(),
        "told": told,
        "next": next,
        "notes": remarks,
        "written": path,
        "readings_written": readings,
        "not_written": failed,
        "file": if path.is_some() { Value::Null } else { json!(file) },
        "readings_file": if path.is_some() { Value::Null } else { json!(story.file()) },
        "commands": path.map(|path| commands(story, weighed, path, readings.map(std::path::PathBuf::as_path))),
    })
}
