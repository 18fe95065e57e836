//! The ways home of the current of a load, of a battery while it is charged, of a converter, or of all that flows.

use model::{StateId, Vehicle};
use network::{Network, OperatingPoint, RouteEnd, RouteStart, Routes};
use units::Amperes;

use super::Asked;
use crate::refusal::{Named, Refused, load_or_source, states};
use crate::room::Watch;
use crate::unsettled;

/// The ways home in every state that was asked about.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    /// What they are of; nothing for all that flows.
    pub(super) of: Option<Named>,
    /// The same by its name.
    pub(super) load: Option<String>,
    pub(super) states: Vec<(OperatingPoint, Routes)>,
}

impl<'v> Found<'v> {
    pub(super) fn of(vehicle: &'v Vehicle, asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let mut refused = Refused::default();
        let of = asked.load.as_deref().map(|name| load_or_source(vehicle, name));
        let of = of.and_then(|of| refused.keep(of));
        let states: Option<Vec<StateId>> = match (&asked.state, of) {
            (None, Some(Named::Load(load))) => Some(vehicle.load(load).on.clone()),
            (name, _) => refused.keep(states(vehicle, name.as_deref())),
        };
        let states = refused.unless(states)?;
        let mut network = Network::new(vehicle);
        let states = states.into_iter().map(|state| {
            let point = network.operating_point(state);
            let ways = ways(&network, &point, of);
            (point, ways)
        });
        Ok(Self { vehicle, of, load: asked.load.clone(), states: states.collect() })
    }

    /// True when some state has no operating point.
    pub(super) fn wants_attention(&self) -> bool {
        !self.states.iter().all(|(point, _)| unsettled::is_found(point))
    }
}

/// The ways home of what takes current, and to what gives it.
fn ways(network: &Network<'_>, point: &OperatingPoint, of: Option<Named>) -> Routes {
    let vehicle = network.vehicle();
    let starts = |wanted: RouteStart| network.routes_from(point, |own| own == wanted);
    let Some(of) = of else { return network.routes_from(point, |_| true) };
    match of {
        Named::Load(id) => starts(RouteStart::Load(id)),
        // What charges a battery comes home from it, what it delivers comes home to it.
        Named::Battery(id) if point.battery(id).amps > Amperes::ZERO => {
            ending(network, point, RouteEnd::Battery(id))
        }
        Named::Battery(id) => starts(RouteStart::Charging(id)),
        Named::Source(id) if vehicle.regulated_source(id).input.is_some() => {
            starts(RouteStart::Input(id))
        }
        Named::Source(id) => ending(network, point, RouteEnd::Source(id)),
        Named::Equaliser(id) => {
            let twin = vehicle.regulated_source(id).follows.map(|bank| bank.twin);
            let halves = [Some(id), twin].map(|own| own.map(RouteStart::Input));
            network.routes_from(point, |own| halves.contains(&Some(own)))
        }
    }
}

/// The ways of all that flows that end at one source, as shares of what comes home to it.
pub(crate) fn ending(network: &Network<'_>, point: &OperatingPoint, end: RouteEnd) -> Routes {
    let mut all = network.routes_from(point, |_| true);
    all.routes.retain(|route| route.end == end);
    all.total = all.routes.iter().map(|route| route.amps).sum();
    for route in &mut all.routes {
        route.share = units::Ratio(route.amps.0 / all.total.0);
    }
    all
}
