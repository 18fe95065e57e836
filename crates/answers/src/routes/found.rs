//! The ways home of the current of a load, of a battery while it is charged, of a converter, or of all that flows.

use model::{BatteryId, RegulatedId, StateId, Vehicle};
use network::routes::RouteStart;
use network::{Network, OperatingPoint, Routes};

use super::Asked;
use crate::Refusal;
use crate::refusal::{Refused, load, states};
use crate::room::Watch;

/// The ways home in every state that was asked about.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    /// What they begin at; nothing for all that flows.
    pub(super) start: Option<RouteStart>,
    pub(super) states: Vec<(OperatingPoint, Routes)>,
}

impl<'v> Found<'v> {
    pub(super) fn of(vehicle: &'v Vehicle, asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let mut refused = Refused::default();
        let start = asked.load.as_deref().map(|name| begins(vehicle, name));
        let start = start.and_then(|start| refused.keep(start));
        let states: Option<Vec<StateId>> = match (&asked.state, start) {
            (None, Some(RouteStart::Load(load))) => Some(vehicle.load(load).on.clone()),
            (name, _) => refused.keep(states(vehicle, name.as_deref())),
        };
        let states = refused.unless(states)?;
        let mut network = Network::new(vehicle);
        let states = states.into_iter().map(|state| {
            let point = network.operating_point(state);
            let ways = network.routes_from(&point, |own| start.is_none_or(|start| start == own));
            (point, ways)
        });
        Ok(Self { vehicle, start, states: states.collect() })
    }

    /// Any way home is one.
    pub(super) fn wants_attention(&self) -> bool {
        false
    }
}

/// What takes current by this name: a load, a battery while it is charged, a converter.
fn begins(vehicle: &Vehicle, name: &str) -> Result<RouteStart, Refusal> {
    let battery = vehicle.batteries.iter().position(|own| own.id == name);
    let source = vehicle.regulated.iter().position(|own| own.id == name && own.input.is_some());
    if vehicle.load_named(name).is_none() {
        if let Some(at) = battery {
            return Ok(RouteStart::Charging(BatteryId::at(at)));
        }
        if let Some(at) = source {
            return Ok(RouteStart::Input(RegulatedId::at(at)));
        }
    }
    load(vehicle, name).map(RouteStart::Load)
}
