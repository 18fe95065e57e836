//! Joints that the readings cannot tell apart, and the reading that would.

use diagnosis::{Complaint, Diagnosis, Observation, Proposal, Session};
use model::{JointId, Vehicle};

use crate::next::ProposedReading;

/// Sets told at most, and the least probability that the fault is in one.
const MOST_SETS: usize = 2;
const LEAST_PROBABLE: f64 = 0.2;

shape! {
    /// Joints that look alike so far.
    pub struct Separating from pub (vehicle: &Vehicle, own: &Apart) {
        /// The joints.
        pub joints: Vec<String> =
            own.joints.iter().map(|id| vehicle.joint(*id).id.clone()).collect(),
        /// The reading that best tells them apart; null when none in reach does.
        pub reading: Option<ProposedReading> =
            own.reading.as_ref().map(|own| ProposedReading::of(vehicle, own)),
    }
}

/// A set of joints, with the reading that best tells them apart, if there is one in reach.
#[derive(Debug)]
pub struct Apart {
    /// The joints.
    pub joints: Vec<JointId>,
    /// The reading.
    pub reading: Option<Proposal>,
}

/// The likeliest sets of joints that look alike, each with what would tell them apart: the reading that is
/// to be taken next anyway, where that does it as well as any.
#[must_use]
pub fn apart(
    session: &mut Session<'_>,
    diagnosis: &Diagnosis,
    seen: &[Observation],
    complaint: Option<Complaint>,
) -> Vec<Apart> {
    let alike = |set: &&Vec<JointId>| set.len() > 1 && diagnosis.chance_of(set) > LEAST_PROBABLE;
    let sets: Vec<&Vec<JointId>> = diagnosis.sets.iter().filter(alike).take(MOST_SETS).collect();
    if sets.is_empty() {
        return Vec::new();
    }
    let next = session.next(diagnosis, seen, complaint);
    let first = (complaint, next.first());
    sets.into_iter()
        .map(|set| Apart {
            joints: set.clone(),
            reading: session.separating(diagnosis, set, seen, first),
        })
        .collect()
}
