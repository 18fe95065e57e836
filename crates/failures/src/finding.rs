//! What goes wrong after a failure, and how much harm that is.

use catalogue::Judgements;
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
    /// How much harm it is: 10 a fire, 5 a vital load lost, 1 a comfort lost twice, by the catalogue's judgements.
    #[must_use]
    pub fn harm(&self, vehicle: &Vehicle) -> f64 {
        let judged = Judgements::standard();
        let harm = match *self {
            Self::Load { load, status, dead, .. } => {
                let low = matches!(status, LoadStatus::BelowMinimum | LoadStatus::BelowUsual);
                let part = if dead || !low { Ratio(1.0) } else { judged.harm_load_low_part };
                Ratio(part.0 * harm_of_losing(vehicle.load(load).importance).0)
            }
            Self::Conductor { endurance, .. } => match endurance {
                _ if endurance.melts() => judged.harm_conductor_melts,
                _ if endurance.passes_limit() => judged.harm_conductor_past_limit,
                _ => judged.harm_conductor_near_limit,
            },
            Self::Path { amps, damage, .. } => {
                let times = (amps.0.abs() / damage.0).clamp(1.0, judged.harm_path_at_most_times.0);
                Ratio(judged.harm_path.0 * times)
            }
            Self::Joint { contact, watts, .. } => {
                let least = judged.harm_joint_least_part.0;
                let part = (watts.0 / HOT_JOINT.0).clamp(least, 1.0);
                let harm = match contact {
                    Contact::Softens => judged.harm_joint_hot,
                    Contact::Melts => judged.harm_joint_melts,
                };
                Ratio(harm.0 * part)
            }
            Self::Fuse { .. } => judged.harm_fuse_over_rating,
            Self::Battery { .. } => judged.harm_battery_unfair,
            Self::Unsettled => judged.harm_unsettled,
        };
        harm.0
    }
}

/// Harm of a load that is lost altogether.
fn harm_of_losing(importance: Importance) -> Ratio {
    let judged = Judgements::standard();
    match importance {
        Importance::Vital => judged.harm_load_vital,
        Importance::Ordinary => judged.harm_load_ordinary,
        Importance::Comfort => judged.harm_load_comfort,
    }
}
