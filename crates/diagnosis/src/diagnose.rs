//! What a diagnosis says: suspects, beliefs, readings to take again.

use model::{ConductorId, JointId, Vehicle};
use units::Ohms;

use crate::agreement::Agreement;
use crate::explanation::Explanation;
use crate::judged;
use crate::suspect::{Suspect, SuspectKind};

/// What is believed of one joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointBelief {
    /// As likely more as less.
    pub median: Ohms,
    /// Less with a probability of 5 %.
    pub low: Ohms,
    /// More with a probability of 5 %.
    pub high: Ohms,
    /// Probability that it is bad.
    pub bad: f64,
}

/// From this probability on a reading is named as one to take again.
#[must_use]
pub fn take_again_from() -> f64 {
    judged::verdicts().take_again_from.0
}

/// What the readings say.
#[derive(Debug, Clone)]
pub struct Diagnosis {
    /// Suspects, the most probable first.
    pub suspects: Vec<Suspect>,
    /// Joints among the suspects that these readings cannot tell apart, the likeliest set first.
    pub sets: Vec<Vec<JointId>>,
    /// Every joint, in the vehicle's order.
    pub joints: Vec<JointBelief>,
    /// Numbers of the readings most likely wrong, with the probability, the likeliest first.
    pub take_again: Vec<(u32, f64)>,
    /// Numbers of the readings that another one repeats: same probes, same state.
    pub repeated: Vec<u32>,
    /// Probability that nothing is wrong.
    pub nothing_bad: f64,
    /// Normalised residual of each observation under the best explanation.
    pub residuals: Vec<f64>,
    /// What each observation would be in a sound vehicle, and under the best explanation.
    pub expected: Vec<(f64, f64)>,
    /// Whether readings and file fit together at all.
    pub agreement: Agreement,
    /// What the file itself states as bad: no reading found it.
    pub(crate) as_filed: Vec<SuspectKind>,
    pub(crate) explanations: Vec<Explanation>,
}

impl Diagnosis {
    /// The reading to take again before anything is blamed: the one most likely wrong, when that is
    /// likely enough and it has been taken only once.
    #[must_use]
    pub fn in_doubt(&self) -> Option<u32> {
        self.take_again
            .iter()
            .find(|(_, chance)| *chance > take_again_from())
            .map(|(number, _)| *number)
            .filter(|number| !self.repeated.contains(number))
    }

    /// The cables suspected inside of which nothing yet tells the strands from the crimps.
    #[must_use]
    pub fn suspected_inside(&self, vehicle: &Vehicle) -> Vec<ConductorId> {
        let from = judged::readings().crimps_asked_from.0;
        let likely = self.suspects.iter().filter(|own| own.probability > from);
        let inside = likely.filter_map(|own| match own.kind {
            SuspectKind::Conductor(id) => Some(id),
            _ => None,
        });
        inside.filter(|id| !vehicle.is_told_apart(*id)).collect()
    }

    /// The probability that the fault is in one of these joints.
    #[must_use]
    pub fn chance_of(&self, joints: &[JointId]) -> f64 {
        joints.iter().map(|id| self.joints[id.index()].bad).sum()
    }

    /// True when one suspect that is not the file's own, or a set that no reading has yet told apart, or nothing at all, is
    /// more probable than this, and no reading waits to be taken again.
    #[must_use]
    pub fn surer_than(&self, probability: f64) -> bool {
        if self.in_doubt().is_some() {
            return false;
        }
        let filed = |kind: SuspectKind| self.as_filed.contains(&kind);
        let of_the_file = |set: &&Vec<JointId>| set.iter().any(|id| filed(SuspectKind::Joint(*id)));
        let set = self.sets.iter().find(|set| !of_the_file(set) && set.len() <= 2);
        let found = |own: &&Suspect| !filed(own.kind);
        let first = self.suspects.iter().find(found).map_or(0.0, |suspect| suspect.probability);
        self.nothing_bad > probability
            || first > probability
            || set.is_some_and(|set| self.chance_of(set) > probability)
    }
}
