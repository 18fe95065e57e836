//! The operating points of the states that were asked about.

use model::Vehicle;
use network::{AsSolved, Convergence, LoadStatus, Network, OperatingPoint, SourceMode};

use super::Asked;
use super::cold::{Cranked, cranked};
use super::in_line;
use crate::refusal::{Refused, states};
use crate::room::Watch;
use crate::stray;

/// The operating points of the states that were asked about.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) points: Vec<OperatingPoint>,
    pub(super) cold: Option<Vec<Cranked>>,
    /// The network of each, where it was asked for.
    pub(super) networks: Option<Vec<AsSolved>>,
}

impl<'v> Found<'v> {
    pub(super) fn of(vehicle: &'v Vehicle, asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let states = states(vehicle, asked.state.as_deref())?;
        let cold = asked.cold.then(|| cranked(vehicle, &states));
        let mut network = Network::new(vehicle);
        let points: Vec<OperatingPoint> =
            states.into_iter().map(|state| network.operating_point(state)).collect();
        let networks =
            asked.network.then(|| points.iter().map(|own| network.as_solved(own)).collect());
        Ok(Self { vehicle, points, cold, networks })
    }

    /// True when something in the answer wants attention.
    pub(super) fn wants_attention(&self) -> bool {
        self.points.iter().any(|point| wants_attention(self.vehicle, point))
    }
}

fn wants_attention(vehicle: &Vehicle, point: &OperatingPoint) -> bool {
    let starved = |mode| matches!(mode, SourceMode::Starved | SourceMode::DroppedOut);
    point.convergence != Convergence::Reached
        || point.regulated.iter().any(|source| starved(source.mode))
        || in_line::overloaded(vehicle, point).iter().any(in_line::Overloaded::wants_attention)
        || !stray::paths(vehicle, point).is_empty()
        || point
            .loads
            .iter()
            .any(|load| load.stalled || !matches!(load.status, LoadStatus::Off | LoadStatus::Fed))
        || vehicle.conductors.iter().enumerate().any(|(at, conductor)| {
            let temperature = point.pieces[at].temperature;
            conductor.insulation_limit.zip(temperature).is_some_and(|(limit, now)| now > limit)
        })
}
