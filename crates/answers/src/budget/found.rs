//! A load's whole circuit in volts, and its ways home.

use model::{LoadId, StateId, Vehicle};
use network::{Budget, LoadStatus, Network, OperatingPoint, Routes};

use super::Asked;
use crate::Refusal;
use crate::refusal::{Refused, load, state};
use crate::room::Watch;

/// A load's budget in every state that was asked about.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) load: LoadId,
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
        let of = refused.keep(load(vehicle, &asked.load));
        let at = asked.state.as_deref().map(|name| state(vehicle, name));
        let at = at.and_then(|at| refused.keep(at));
        let of = refused.unless(of)?;
        let states: Vec<StateId> =
            at.map_or_else(|| vehicle.load(of).on.clone(), |state| vec![state]);
        if states.is_empty() {
            return Err(Refusal::new(
                format!("`{}` is on in none of the states that are solved", asked.load),
                "a state for it in its `on`",
            )
            .into());
        }
        let mut network = Network::new(vehicle);
        let states = states.into_iter().map(|at| {
            let point = network.operating_point(at);
            let budget = network.budget(&point, of).ok_or_else(|| {
                Refusal::new(
                    format!(
                        "no source is joined to both terminals of `{}` in the state `{}`",
                        asked.load,
                        vehicle.state(at).id
                    ),
                    "a state in which the switches between them are closed",
                )
            })?;
            let routes = network.routes(&point, of);
            Ok(InState { point, budget, routes })
        });
        let states = states.collect::<Result<_, Refusal>>()?;
        Ok(Self { vehicle, load: of, states })
    }

    /// True when the load is not fed in some state.
    pub(super) fn wants_attention(&self) -> bool {
        let fed = |own: &InState| own.point.load(own.budget.load).status == LoadStatus::Fed;
        !self.states.iter().all(fed)
    }
}
