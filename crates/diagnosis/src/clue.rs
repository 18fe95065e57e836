//! What was noticed without a number: a complaint, a jump lead that helped, a push that cured.

use model::{JointId, LoadId, Measured, PointId, Reading, StateId, Told, Vehicle};
use units::Volts;

use crate::judged;
use crate::suspect::{SuspectKind, conductor_of};

/// Something noticed that is no value of a meter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clue {
    /// A jump lead joined two points while a load was watched.
    JumpLead {
        /// One end of the lead.
        from: PointId,
        /// The other end.
        to: PointId,
        /// The load that was watched.
        load: LoadId,
        /// The state it was in.
        state: StateId,
        /// What the load did: better, the same, or worse.
        change: Change,
    },
    /// A joint was pushed, pulled or tapped.
    Moved {
        /// The joint.
        joint: JointId,
        /// What the fault did.
        change: Change,
    },
}

/// What something did to a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// It went away or got less.
    Better,
    /// It stayed.
    Same,
    /// It came or got more.
    Worse,
}

impl Change {
    fn of(told: Told) -> Option<Self> {
        match told {
            Told::Change(1..) => Some(Self::Better),
            Told::Change(0) => Some(Self::Same),
            Told::Change(_) => Some(Self::Worse),
            _ => None,
        }
    }
}

/// The readings that are clues.
///
/// A jump lead without a state counts in the first state in which its load is on.
#[must_use]
pub fn clues(vehicle: &Vehicle, readings: &[Reading]) -> Vec<Clue> {
    readings
        .iter()
        .filter_map(|reading| {
            let change = Change::of(reading.told)?;
            match reading.measured {
                Measured::JumpLead { from, to, load } => {
                    let state = reading.state.or_else(|| vehicle.load(load).on.first().copied())?;
                    Some(Clue::JumpLead { from, to, load, state, change })
                }
                Measured::Moved { joint } => Some(Clue::Moved { joint, change }),
                _ => None,
            }
        })
        .collect()
}

/// Logarithm of the chance of a complaint about a load that has lost so much of a 12 V vehicle's volts.
pub(crate) fn complaint_log(lost: Volts) -> f64 {
    let own = judged::symptoms();
    let noticed = logistic((lost.0 - own.complained_of.0) / own.complained_sharpness.0);
    let groundless = own.complaint_groundless.0;
    (groundless + (1.0 - groundless) * noticed).ln()
}

/// Logarithm of the chance of what a jump lead was seen to do that gains so much of a 12 V vehicle's volts.
pub(crate) fn lead_log(change: Change, gain: Volts) -> f64 {
    let own = judged::symptoms();
    let better = logistic((gain.0 - own.gain_noticed.0) / own.gain_sharpness.0);
    let better = own.gain_mistaken.0 + (1.0 - 2.0 * own.gain_mistaken.0) * better;
    match change {
        Change::Better => better.ln(),
        Change::Same => (1.0 - better).ln(),
        Change::Worse => own.worse_for_a_lead.0.ln(),
    }
}

/// Logarithm of the chance of what moving a joint was seen to do when these are the faults.
pub(crate) fn moved_log(
    vehicle: &Vehicle,
    joint: JointId,
    change: Change,
    faults: &[SuspectKind],
) -> f64 {
    let least = judged::symptoms().moved_elsewhere.0;
    let chances = faults.iter().map(|fault| moved_chance(vehicle, joint, *fault));
    let chance = chances.fold(least, f64::max);
    match change {
        Change::Same => (1.0 - chance).ln(),
        // A push may cure a fault or bring it out.
        Change::Better | Change::Worse => chance.ln(),
    }
}

fn moved_chance(vehicle: &Vehicle, moved: JointId, fault: SuspectKind) -> f64 {
    let conductor = |joint: JointId| conductor_of(vehicle, joint);
    let own = judged::symptoms();
    let chance = match fault {
        SuspectKind::Joint(id) if id == moved => own.moved_itself,
        SuspectKind::Joint(id)
            if vehicle.joint(id).point == vehicle.joint(moved).point
                || (conductor(id).is_some() && conductor(id) == conductor(moved)) =>
        {
            own.moved_beside
        }
        SuspectKind::Conductor(id) | SuspectKind::Open(id) if conductor(moved) == Some(id) => {
            own.moved_conductor
        }
        _ => own.moved_elsewhere,
    };
    chance.0
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lead_that_gains_much_is_noticed_and_one_that_gains_nothing_is_not() {
        let (much, nothing) = (Volts(1.0), Volts(0.0));
        assert!(lead_log(Change::Better, much) > lead_log(Change::Same, much) + 2.0);
        assert!(lead_log(Change::Same, nothing) > lead_log(Change::Better, nothing) + 2.0);
    }

    #[test]
    fn a_groundless_complaint_is_rare_but_not_impossible() {
        assert!(complaint_log(Volts(1.0)).abs() < 1e-3);
        let rare = judged::symptoms().complaint_groundless.0;
        assert!((complaint_log(Volts(-1.0)).exp() - rare).abs() < 1e-3);
    }
}
