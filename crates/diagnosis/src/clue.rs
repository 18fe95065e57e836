//! What was noticed without a number: a complaint, a jump lead that helped, a push that cured.

use model::{JointId, JointOf, LoadId, Measured, PointId, Reading, StateId, Told, Vehicle};
use units::Volts;

use crate::suspect::SuspectKind;

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

/// A jump lead of 25 mm² and two metres with its clamps, in ohms: ours, from the copper table and
/// two millohms for each clamp's jaws.
pub(crate) const LEAD_OHMS: f64 = 5.5e-3;
/// Gain of a 12 V load that half of people notice, and how sharply (our judgement).
const NOTICED: (f64, f64) = (0.2, 0.07);
/// Chance of noticing what is not there, and of missing what is.
const MISTAKEN: f64 = 0.03;
/// Chance of a change that no explanation foretells: a load worse for a lead.
const ODD: f64 = 0.02;
/// Chance that moving a bad joint changes its fault; that moving it changes one at the same stud or
/// at the other end of the same cable; that anything else changes then (our judgement).
const MOVED: (f64, f64, f64) = (0.5, 0.15, 0.02);

/// Loss of a 12 V load that half of people complain about, and how sharply.
const COMPLAINED: (f64, f64) = (0.15, 0.04);
/// Chance of a complaint about a load that gets what it should.
const GROUNDLESS: f64 = 0.02;

/// Logarithm of the chance of a complaint about a load that has lost so much of a 12 V vehicle's volts.
pub(crate) fn complaint_log(lost: Volts) -> f64 {
    (GROUNDLESS + (1.0 - GROUNDLESS) * logistic((lost.0 - COMPLAINED.0) / COMPLAINED.1)).ln()
}

/// Logarithm of the chance of what a jump lead was seen to do that gains so much of a 12 V vehicle's volts.
pub(crate) fn lead_log(change: Change, gain: Volts) -> f64 {
    let better = logistic((gain.0 - NOTICED.0) / NOTICED.1);
    let better = MISTAKEN + (1.0 - 2.0 * MISTAKEN) * better;
    match change {
        Change::Better => better.ln(),
        Change::Same => (1.0 - better).ln(),
        Change::Worse => ODD.ln(),
    }
}

/// Logarithm of the chance of what moving a joint was seen to do when these are the faults.
pub(crate) fn moved_log(
    vehicle: &Vehicle,
    joint: JointId,
    change: Change,
    faults: &[SuspectKind],
) -> f64 {
    let chance =
        faults.iter().map(|fault| moved_chance(vehicle, joint, *fault)).fold(MOVED.2, f64::max);
    match change {
        Change::Same => (1.0 - chance).ln(),
        // A push may cure a fault or bring it out.
        Change::Better | Change::Worse => chance.ln(),
    }
}

fn moved_chance(vehicle: &Vehicle, moved: JointId, fault: SuspectKind) -> f64 {
    let conductor = |joint: JointId| match vehicle.joint(joint).of {
        JointOf::From(id) | JointOf::To(id) => Some(id),
        JointOf::LoadCase(_) | JointOf::SourceCase(_) => None,
    };
    match fault {
        SuspectKind::Joint(id) if id == moved => MOVED.0,
        SuspectKind::Joint(id)
            if vehicle.joint(id).point == vehicle.joint(moved).point
                || (conductor(id).is_some() && conductor(id) == conductor(moved)) =>
        {
            MOVED.1
        }
        // Strands that are rotten under the insulation, or broken at the crimp, move with the end.
        SuspectKind::Conductor(id) | SuspectKind::Open(id) if conductor(moved) == Some(id) => {
            MOVED.0.min(2.0 * MOVED.1)
        }
        _ => MOVED.2,
    }
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
        assert!((complaint_log(Volts(-1.0)).exp() - GROUNDLESS).abs() < 1e-3);
    }
}
