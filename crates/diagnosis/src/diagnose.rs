//! What a diagnosis says: suspects, beliefs, readings to take again.

use model::{BatteryId, ConductorId, InlineId, JointId, LoadId, PointId, RegulatedId, StateId};
use units::Ohms;

use crate::agreement::Agreement;
use crate::fit::{Belief, Fit};

/// What somebody complains of: a load that does not do its job in a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Complaint {
    /// The load.
    pub load: LoadId,
    /// The state.
    pub state: StateId,
}

/// What may be at fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SuspectKind {
    /// A joint with too much resistance.
    Joint(JointId),
    /// A conductor rotten inside.
    Conductor(ConductorId),
    /// A conductor that the file shows and that is not there, or is open.
    Open(ConductorId),
    /// A fuse or switch with too much resistance.
    Inline(InlineId),
    /// A load that draws too much.
    LoadDrags(LoadId),
    /// A load that draws next to nothing.
    LoadOpen(LoadId),
    /// A battery with too little voltage.
    BatteryLow(BatteryId),
    /// A battery with too much resistance.
    BatteryWorn(BatteryId),
    /// An alternator, charger or converter that holds too low a voltage, or delivers nothing.
    SourceLow(RegulatedId),
    /// A path between two bodies of metal that the file does not show.
    ExtraPath {
        /// A point of the one.
        from: PointId,
        /// A point of the other.
        to: PointId,
    },
}

/// A suspect and how probable it is that it is at fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// Who.
    pub kind: SuspectKind,
    /// Probability, zero to one.
    pub probability: f64,
    /// Its most probable resistance, for what has one.
    pub ohms: Option<Ohms>,
}

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
pub const TAKE_AGAIN: f64 = 0.3;

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
    pub(crate) explanations: Vec<Explanation>,
}

impl Diagnosis {
    /// The reading to take again before anything is blamed: the one most likely wrong, when that is
    /// likely enough and it has been taken only once.
    #[must_use]
    pub fn in_doubt(&self) -> Option<u32> {
        self.take_again
            .iter()
            .find(|(_, chance)| *chance > TAKE_AGAIN)
            .map(|(number, _)| *number)
            .filter(|number| !self.repeated.contains(number))
    }

    /// The probability that the fault is in one of these joints.
    #[must_use]
    pub fn chance_of(&self, joints: &[JointId]) -> f64 {
        joints.iter().map(|id| self.joints[id.index()].bad).sum()
    }

    /// True when one suspect, or a set that no reading has yet told apart, or nothing at all, is
    /// more probable than this, and no reading waits to be taken again.
    #[must_use]
    pub fn surer_than(&self, probability: f64) -> bool {
        if self.in_doubt().is_some() {
            return false;
        }
        let set: f64 = self
            .sets
            .first()
            .map_or(0.0, |set| set.iter().map(|id| self.joints[id.index()].bad).sum());
        let first = self.suspects.first().map_or(0.0, |suspect| suspect.probability);
        self.nothing_bad > probability
            || first > probability
            || (set > probability && self.sets[0].len() <= 2)
    }
}

/// One explanation of the readings, with its weight.
#[derive(Debug, Clone)]
pub(crate) struct Explanation {
    pub faults: Vec<SuspectKind>,
    pub weight: f64,
    /// Logarithm of the chance of its faults before any reading, against nothing being wrong.
    pub odds: f64,
    pub belief: Belief,
    /// The most probable vehicle if it is so: fitted, or roughly.
    pub unknowns: Vec<f64>,
    pub fit: Option<Fit>,
    /// The observation that is taken for wrong.
    pub without: Option<usize>,
    /// True when its only fault is a way home that nobody has seen and that nobody would miss here.
    pub idle: bool,
}
