//! Joints that the readings cannot tell apart, and the reading that would.

use diagnosis::{Diagnosis, Observation, Proposal, Session};
use model::{JointId, Measured, Vehicle};
use serde_json::{Value, json};

use crate::commands::next;
use crate::measuring;
use crate::style::wrapped;

/// Sets told at most, and the least probability that the fault is in one.
const MOST_SETS: usize = 2;
const LEAST_PROBABLE: f64 = 0.2;
/// Joints named of one set.
const MOST_NAMED: usize = 6;

/// A set of joints, with the reading that best tells them apart, if there is one in reach.
pub(super) struct Apart {
    joints: Vec<JointId>,
    reading: Option<Proposal>,
}

pub(super) fn of(
    session: &mut Session<'_>,
    diagnosis: &Diagnosis,
    seen: &[Observation],
) -> Vec<Apart> {
    diagnosis
        .sets
        .iter()
        .filter(|set| {
            let sum: f64 = set.iter().map(|id| diagnosis.joints[id.index()].bad).sum();
            set.len() > 1 && sum > LEAST_PROBABLE
        })
        .take(MOST_SETS)
        .map(|set| Apart { joints: set.clone(), reading: session.separating(diagnosis, set, seen) })
        .collect()
}

pub(super) fn text(vehicle: &Vehicle, apart: &[Apart], asked: &crate::answer::Asked) -> String {
    let mut text = String::new();
    for Apart { joints, reading } in apart {
        let names: Vec<&str> =
            joints.iter().take(MOST_NAMED).map(|id| vehicle.joint(*id).id.as_str()).collect();
        let more = joints.len().saturating_sub(MOST_NAMED);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let mut words = format!("These readings cannot tell {}{more} apart", names.join(", "));
        match reading {
            Some(own) => {
                let place = match own.measured {
                    Measured::Volts { high, low } => format!(
                        "red on {}, black on {}",
                        measuring::probe(vehicle, high),
                        measuring::probe(vehicle, low)
                    ),
                    other => measuring::measured(vehicle, other),
                };
                words.push_str(&format!(
                    ". What would: {place}, in the state `{}`.",
                    vehicle.state(own.state).id
                ));
            }
            None => words.push_str(", and no reading in reach can."),
        }
        text.push_str(&wrapped(&words, asked.width, 0));
        text.push_str("\n\n");
    }
    text
}

pub(super) fn json(vehicle: &Vehicle, apart: &[Apart]) -> Value {
    apart
        .iter()
        .map(|own| {
            let joints: Vec<&str> =
                own.joints.iter().map(|id| vehicle.joint(*id).id.as_str()).collect();
            let reading = own.reading.as_ref().map(|own| next::proposal_json(vehicle, own));
            json!({ "joints": joints, "reading": reading })
        })
        .collect()
}
