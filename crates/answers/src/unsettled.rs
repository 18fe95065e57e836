//! States that have no operating point, said before anything else is said of them.

use model::{StateId, Vehicle};
use network::{Convergence, Network, OperatingPoint};
use serde::Serialize;
use utoipa::ToSchema;

use crate::told::quantity::amperes;
use crate::told::{Told, joined, name, names, warning};

/// The device that fits worst.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Miss {
    /// Its name.
    pub at: String,
    /// By how much.
    pub amps: f64,
}

/// True when the state has an operating point.
pub(crate) fn is_found(point: &OperatingPoint) -> bool {
    point.convergence == Convergence::Reached
}

/// The device that fits worst, when no operating point was found.
pub(crate) fn miss(point: &OperatingPoint) -> Option<Miss> {
    match &point.convergence {
        Convergence::Reached => None,
        Convergence::NotReached { at, amps } => Some(Miss { at: at.clone(), amps: amps.0 }),
    }
}

/// Says that what follows is no answer, where it is none.
pub(crate) fn told(told: &mut Told, point: &OperatingPoint) {
    if let Convergence::NotReached { at, amps } = &point.convergence {
        told.line(say!(
            "{} no operating point was found; `{}` misses its law by {}. What follows is \
             the last attempt.",
            warning("warning:"),
            name(at),
            amperes(*amps)
        ));
        told.gap();
    }
}

/// The states of a vehicle that have no operating point.
pub(crate) fn states(vehicle: &Vehicle) -> Vec<StateId> {
    let points = Network::new(vehicle).operating_points();
    points.iter().filter(|point| !is_found(point)).map(|point| point.state).collect()
}

/// Those states as programs read them.
pub(crate) fn ids(vehicle: &Vehicle, states: &[StateId]) -> Vec<String> {
    states.iter().map(|own| vehicle.state(*own).id.clone()).collect()
}

/// Says which states an answer over all of them knows nothing of.
pub(crate) fn told_states(told: &mut Told, vehicle: &Vehicle, states: &[StateId]) {
    if states.is_empty() {
        return;
    }
    let all = joined(states.iter().map(|own| say!("{}", names::state(vehicle, *own))), ", ");
    told.line(say!(
        "{} no operating point was found in {}; what is said of it rests on the last attempt.",
        warning("warning:"),
        all
    ));
    told.gap();
}
