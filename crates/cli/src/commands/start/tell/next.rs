//! The reading that splits best what is left: where each probe goes, what to hold, what it would say.

use std::fmt::Write;

use diagnosis::{Proposal, Side, SuspectKind, Symptom};
use model::{Measured, Probe};

use super::line;
use crate::answer::Asked;
use crate::commands::next::{line_to_type, short};
use crate::commands::start::rough::where_is;
use crate::commands::start::story::{Story, Weighed};
use crate::measuring;
use crate::style::{bold, dim, wrapped};

/// Outcomes shown of the next reading.
const MOST_OUTCOMES: usize = 4;
/// A reading that is expected to tell less than this is not worth its minute.
pub(super) const WORTH_TAKING: f64 = 0.05;

/// The reading that splits best what is left.
pub(super) fn next(text: &mut String, story: &Story<'_>, weighed: &Weighed, asked: &Asked) {
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
        _ => line(text, &measuring::placed(vehicle, own), asked.width, 2),
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
pub(super) fn outcomes(
    story: &Story<'_>,
    weighed: &Weighed,
    own: &Proposal,
) -> Vec<(String, String)> {
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
                // What draws nothing may be dead or not switched on; see the sides.
                let side = match kind {
                    SuspectKind::LoadOpen(id) if story.vehicle.load(*id).control.is_some() => {
                        "load or control"
                    }
                    _ => side.map_or("elsewhere", Side::word),
                };
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
