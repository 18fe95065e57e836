//! Whether faults lie where something was seen, and what the current does there.

use model::{
    Condition, IncidentalId, JointId, Measured, Piece, Pieces, Probe, Spot, StateId, Vehicle,
};

use crate::forward::{Forward, Guess};
use crate::side::not_switched_on;
use crate::suspect::{SuspectKind, conductor_of};

/// Watts below which nobody speaks of heat, whatever a sound vehicle has there.
const LEAST_WATTS: f64 = 1.0;

/// How far one of the faults lies at a spot: one for a fault of the thing itself.
pub(super) fn at_fault(vehicle: &Vehicle, spot: &Spot, faults: &[SuspectKind]) -> f64 {
    faults.iter().map(|kind| one_at(vehicle, spot, *kind)).fold(0.0, f64::max)
}

/// How far a condition in which a spot was found is that of one of the faults: what is loose is there.
pub(super) fn found_at(
    vehicle: &Vehicle,
    (spot, condition): (&Spot, Condition),
    faults: &[SuspectKind],
) -> f64 {
    let one = |kind: &SuspectKind| {
        let unseen = is_unseen(vehicle, *kind);
        one_at(vehicle, spot, *kind) * share_of(*kind, condition, unseen)
    };
    faults.iter().map(one).fold(0.0, f64::max)
}

/// How far a fault is seen as such a condition (our judgement).
fn share_of(kind: SuspectKind, condition: Condition, unseen: bool) -> f64 {
    match (kind, condition) {
        (SuspectKind::Open(_), Condition::Loose | Condition::Corroded) if unseen => 0.0,
        (SuspectKind::Open(_), Condition::Loose | Condition::Corroded)
        | (SuspectKind::Joint(_), Condition::Broken) => 0.3,
        (SuspectKind::Joint(_), Condition::Missing)
        | (SuspectKind::Conductor(_), Condition::Corroded | Condition::Fine) => 0.6,
        (SuspectKind::Conductor(_), Condition::Loose | Condition::Missing) => 0.2,
        _ => 1.0,
    }
}

fn one_at(vehicle: &Vehicle, spot: &Spot, kind: SuspectKind) -> f64 {
    let at = |yes: bool| f64::from(u8::from(yes));
    match (spot, kind) {
        (Spot::Pieces(own), kind) => at(in_pieces(vehicle, own, kind)),
        (Spot::Load(own), SuspectKind::LoadDrags(id)) => at(*own == id),
        (Spot::Load(own), SuspectKind::LoadOpen(id)) if *own == id => {
            let controlled = vehicle.load(id).control.is_some();
            if controlled { 1.0 - not_switched_on().0 } else { 1.0 }
        }
        (Spot::Control, SuspectKind::LoadOpen(id)) => {
            if vehicle.load(id).control.is_some() {
                not_switched_on().0
            } else {
                // A coil that something else hangs by is part of the control.
                at(vehicle.loads.iter().any(|own| own.control == Some(id)))
            }
        }
        (Spot::Battery, SuspectKind::BatteryLow(_) | SuspectKind::BatteryWorn(_))
        | (Spot::Charger, SuspectKind::SourceLow(_)) => 1.0,
        _ => 0.0,
    }
}

fn in_pieces(vehicle: &Vehicle, own: &Pieces, kind: SuspectKind) -> bool {
    match kind {
        SuspectKind::Joint(id) => {
            own.joints.contains(&id)
                || conductor_of(vehicle, id).is_some_and(|of| own.conductors.contains(&of))
        }
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => own.conductors.contains(&id),
        SuspectKind::Inline(id) => own.inlines.contains(&id),
        _ => false,
    }
}

/// True where a fault lies right beside a spot: at the same stud, or in the cable that ends there.
pub(super) fn beside(vehicle: &Vehicle, spot: &Spot, faults: &[SuspectKind]) -> bool {
    let Spot::Pieces(own) = spot else { return false };
    let ends = own.conductors.iter().flat_map(|id| {
        let conductor = vehicle.conductor(*id);
        [conductor.from, conductor.to]
    });
    let joints: Vec<JointId> = ends.chain(own.joints.iter().copied()).collect();
    faults.iter().any(|kind| match kind {
        SuspectKind::Joint(id) => {
            let point = vehicle.joint(*id).point;
            joints.iter().any(|own| vehicle.joint(*own).point == point)
        }
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => {
            joints.iter().any(|own| conductor_of(vehicle, *own) == Some(*id))
        }
        _ => false,
    })
}

/// The largest current in metal that was never meant to carry any; nothing where the file shows none.
pub(super) fn through_incidental(
    forward: &Forward<'_>,
    guess: &Guess,
    state: StateId,
) -> Option<f64> {
    let all = (0..forward.vehicle().incidentals.len()).map(IncidentalId::at);
    let amps = all.filter_map(|id| forward.amps(guess, state, Piece::Incidental(id)));
    amps.map(|own| own.0.abs()).max_by(f64::total_cmp)
}

/// How many times as much heat a place has as in a sound vehicle: the most of its pieces.
pub(super) fn heat_times(forward: &Forward<'_>, guess: &Guess, state: StateId, spot: &Spot) -> f64 {
    let Spot::Pieces(own) = spot else { return 1.0 };
    let vehicle = forward.vehicle();
    let of_joints = own.joints.iter().filter_map(|id| conductor_of(vehicle, *id));
    let conductors = own.conductors.iter().copied().chain(of_joints);
    let times = conductors.map(|id| {
        let now = forward.amps(guess, state, Piece::Conductor(id)).map_or(0.0, |own| own.0);
        let then = forward.sound_value(state, Measured::Amps { conductor: id }).unwrap_or(0.0);
        let ends = vehicle.conductor(id);
        let volts = Measured::Volts { high: Probe::Lug(ends.from), low: Probe::Lug(ends.to) };
        let lost = forward.sound_value(state, volts).unwrap_or(0.0);
        // A conductor heats as the square of its current.
        let sound = (then * lost).abs();
        let ohms = if then.abs() > 1e-6 { lost / then } else { 0.0 };
        (now * now * ohms).abs().max(LEAST_WATTS) / sound.max(LEAST_WATTS)
    });
    times.fold(1.0, f64::max)
}

/// True for the absence of a conductor that nobody has seen.
pub(super) fn is_unseen(vehicle: &Vehicle, kind: SuspectKind) -> bool {
    matches!(kind, SuspectKind::Open(id) if vehicle.conductor(id).missing.is_some())
}
