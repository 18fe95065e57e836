//! A load's whole circuit in volts, and its ways home.

use model::{RegulatedId, StateId, Vehicle};
use network::{Budget, LoadStatus, Network, OperatingPoint, RouteEnd, RouteStart, Routes, Subject};
use units::Amperes;

use super::Asked;
use crate::Refusal;
use crate::refusal::{Named, Refused, load_or_source, state};
use crate::room::Watch;
use crate::routes::ending;
use crate::unsettled;

/// Amperes of an input that takes nothing.
const NOTHING: Amperes = Amperes(1e-3);

/// A load's budget in every state that was asked about.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    /// What was asked about, by its name.
    pub(super) load: String,
    pub(super) states: Vec<InState>,
}

/// One state's budget.
#[derive(Debug)]
pub(super) struct InState {
    pub point: OperatingPoint,
    pub budget: Budget,
    pub routes: Routes,
}

impl<'v> Found<'v> {
    pub(super) fn of(vehicle: &'v Vehicle, asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let mut refused = Refused::default();
        let of = refused.keep(load_or_source(vehicle, &asked.load));
        let at = asked.state.as_deref().map(|name| state(vehicle, name));
        let at = at.and_then(|at| refused.keep(at));
        let of = refused.unless(of)?;
        let states: Vec<StateId> = match (at, of) {
            (Some(at), _) => vec![at],
            (None, Named::Load(load)) => vehicle.load(load).on.clone(),
            (None, _) => (0..vehicle.states.len()).map(StateId::at).collect(),
        };
        let mut network = Network::new(vehicle);
        let (mut all, mut none) = (Vec::new(), None);
        for state in states {
            let point = network.operating_point(state);
            match in_state(&network, &point, of) {
                Some((budget, routes)) => all.push(InState { point, budget, routes }),
                None => {
                    none.get_or_insert_with(|| none_there(vehicle, &asked.load, of, &point));
                }
            }
        }
        // Without a state asked for, those in which it has none are left out.
        if all.is_empty() {
            let told = none.filter(|_| at.is_some() || matches!(of, Named::Load(_)));
            return Err(told.unwrap_or_else(|| in_no_state(&asked.load, of)).into());
        }
        Ok(Self { vehicle, load: asked.load.clone(), states: all })
    }

    /// True when the load is not fed in some state.
    pub(super) fn wants_attention(&self) -> bool {
        let fed = |own: &InState| match own.budget.subject {
            Subject::Load(load) => own.point.load(load).status == LoadStatus::Fed,
            Subject::Charging(_) | Subject::Input(_) => true,
        };
        !self.states.iter().all(|own| fed(own) && unsettled::is_found(&own.point))
    }
}

/// The circuit of a load or source in a state, and the ways home of its current.
fn in_state(network: &Network<'_>, point: &OperatingPoint, of: Named) -> Option<(Budget, Routes)> {
    let vehicle = network.vehicle();
    let mut budget = match of {
        Named::Load(load) => network.budget(point, load),
        Named::Battery(id) => network.budget_of_charge(point, id),
        Named::Source(id) if vehicle.regulated_source(id).input.is_some() => {
            input(network, point, id)
        }
        Named::Source(id) => network.budget_of_charger(point, id),
        Named::Equaliser(id) => {
            let twin = vehicle.regulated_source(id).follows.map(|bank| bank.twin);
            input(network, point, id).or_else(|| input(network, point, twin?))
        }
    }?;
    let from = |start: RouteStart| network.routes_from(point, |own| own == start);
    let routes = match (of, &budget.subject) {
        // Batteries in series may be charged by different currents: that of the one that was asked about.
        (Named::Battery(id), _) => {
            budget.load_amps = -point.battery(id).amps;
            from(RouteStart::Charging(id))
        }
        (Named::Source(id), Subject::Charging(_)) => ending(network, point, RouteEnd::Source(id)),
        (_, Subject::Load(id)) => from(RouteStart::Load(*id)),
        (_, Subject::Input(id)) => from(RouteStart::Input(*id)),
        (_, Subject::Charging(_)) => return None,
    };
    Some((budget, routes))
}

/// The circuit of an input that takes something.
fn input(network: &Network<'_>, point: &OperatingPoint, id: RegulatedId) -> Option<Budget> {
    network.budget_of_input(point, id).filter(|own| own.load_amps > NOTHING)
}

/// Why there is no circuit in a state.
fn none_there(vehicle: &Vehicle, name: &str, of: Named, point: &OperatingPoint) -> Refusal {
    let state = &vehicle.state(point.state).id;
    match of {
        Named::Load(_) => Refusal::new(
            format!("no source is joined to both terminals of `{name}` in the state `{state}`"),
            "a state in which the switches between them are closed",
        ),
        Named::Battery(_) => Refusal::new(
            format!("`{name}` is not charged in the state `{state}`"),
            "a state in which an alternator, charger or converter charges it",
        ),
        Named::Source(id) if vehicle.regulated_source(id).input.is_none() => Refusal::new(
            format!("`{name}` charges no battery in the state `{state}`"),
            "a state in which it runs and a battery takes what it gives",
        ),
        Named::Source(_) | Named::Equaliser(_) => Refusal::new(
            format!("`{name}` takes nothing in the state `{state}`"),
            "a state in which it works",
        ),
    }
}

/// Why there is none at all.
fn in_no_state(name: &str, of: Named) -> Refusal {
    match of {
        Named::Load(_) => Refusal::new(
            format!("`{name}` is on in none of the states that are solved"),
            "a state for it in its `on`",
        ),
        Named::Battery(_) => Refusal::new(
            format!("`{name}` is charged in none of the states that are solved"),
            "a state in which an alternator, charger or converter charges it",
        ),
        Named::Source(_) | Named::Equaliser(_) => Refusal::new(
            format!(
                "`{name}` charges nothing and takes nothing in any of the states that are solved"
            ),
            "a state in which it works",
        ),
    }
}
