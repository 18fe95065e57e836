//! What goes wrong after a failure, and how much harm that is.

use endurance::Endurance;
use model::{BatteryId, ConductorId, Importance, IncidentalId, InlineId, JointId, LoadId, Vehicle};
use network::LoadStatus;
use physics::protection::Opening;
use units::{Amperes, Kelvin, Ratio, Volts, Watts};

/// Heat that makes a lug too hot to touch within minutes (common practice).
const HOT_JOINT: Watts = Watts(10.0);

/// What its heat does to a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contact {
    /// Its softest metal softens, or the insulation beside it is past what it bears.
    Softens,
    /// Its softest metal melts.
    Melts,
}

/// One thing that goes wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// A load is no longer fed as it needs.
    Load {
        /// The load.
        load: LoadId,
        /// How it fares.
        status: LoadStatus,
        /// Volts across it.
        volts: Volts,
        /// True when next to nothing reaches it.
        dead: bool,
    },
    /// A conductor carries more than it bears.
    Conductor {
        /// The conductor.
        conductor: ConductorId,
        /// Its current before.
        before: Amperes,
        /// What the current now does to it, and when.
        endurance: Endurance,
    },
    /// Metal that was never meant to carry current carries enough to be damaged.
    Path {
        /// The incidental path.
        path: IncidentalId,
        /// Its current.
        amps: Amperes,
        /// Current from which damage is to be feared.
        damage: Amperes,
    },
    /// A joint makes so much heat that its metal softens or melts, or the insulation beside it suffers.
    Joint {
        /// The joint.
        joint: JointId,
        /// Volts across it.
        volts: Volts,
        /// Heat made in it.
        watts: Watts,
        /// How hot that makes it at the end of the state: an estimate.
        reaches: Kelvin,
        /// What becomes of it.
        contact: Contact,
    },
    /// A fuse carries more than it is marked for.
    Fuse {
        /// The fuse.
        fuse: InlineId,
        /// Its current.
        amps: Amperes,
        /// What it is marked with.
        rating: Amperes,
        /// When it opens, where that is known.
        opening: Option<Opening>,
    },
    /// A battery gives more than its part.
    Battery {
        /// The battery.
        battery: BatteryId,
        /// Its share of what all batteries give.
        share: Ratio,
        /// Its share of their capacity.
        fair: Ratio,
    },
    /// No operating point was found: the network cannot settle.
    Unsettled,
}

impl Finding {
    /// How much harm it is: 10 a fire, 5 a vital load lost, 1 a comfort lost twice. Our judgement.
    #[must_use]
    pub fn harm(&self, vehicle: &Vehicle) -> f64 {
        match *self {
            Self::Load { load, status, dead, .. } => {
                let matters = match vehicle.load(load).importance {
                    Importance::Vital => 5.0,
                    Importance::Ordinary => 2.0,
                    Importance::Comfort => 0.5,
                };
                let low = matches!(status, LoadStatus::BelowMinimum | LoadStatus::BelowUsual);
                let gone = dead || !low;
                if gone { matters } else { 0.6 * matters }
            }
            Self::Conductor { endurance, .. } => match endurance {
                _ if endurance.melts() => 10.0,
                _ if endurance.passes_limit() => 6.0,
                _ => 1.0,
            },
            Self::Path { amps, damage, .. } => 3.0 * (amps.0.abs() / damage.0).clamp(1.0, 2.0),
            Self::Joint { contact, watts, .. } => {
                // A spot that melts in a milliwatt contact sets nothing on fire.
                let heat = (watts.0 / HOT_JOINT.0).clamp(0.1, 1.0);
                match contact {
                    Contact::Softens => heat,
                    Contact::Melts => 3.0 * heat,
                }
            }
            Self::Fuse { .. } | Self::Battery { .. } => 1.0,
            Self::Unsettled => 3.0,
        }
    }
}
