//! Who lifts whose ground.

use model::{LoadId, Vehicle};
use network::{Network, Offsets, OperatingPoint};

use super::Asked;
use crate::Refusal;
use crate::refusal::{Refused, load, states};
use crate::room::Watch;
use crate::unsettled;

/// Beyond this many pairs the whole matrix is no answer for anybody.
pub const MOST_PAIRS: usize = 250_000;

/// The lifts of every state that was asked about.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) states: Vec<(OperatingPoint, Offsets)>,
}

impl<'v> Found<'v> {
    pub(super) fn of(vehicle: &'v Vehicle, asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let mut refused = Refused::default();
        let states = refused.keep(states(vehicle, asked.state.as_deref()));
        let victims: Vec<LoadId> =
            asked.loads.iter().filter_map(|name| refused.keep(load(vehicle, name))).collect();
        let states = refused.unless(states)?;
        let lifted = if victims.is_empty() { vehicle.loads.len() } else { victims.len() };
        let pairs = lifted.saturating_mul(vehicle.loads.len());
        if pairs > MOST_PAIRS {
            return Err(Refusal::new(
                format!("{} loads make {pairs} pairs", vehicle.loads.len()),
                "the loads that matter, each with `--load NAME`",
            )
            .into());
        }
        let mut network = Network::new(vehicle);
        let states = states.into_iter().map(|state| {
            let point = network.operating_point(state);
            let offsets = network.offsets(&point, &[], &victims);
            (point, offsets)
        });
        Ok(Self { vehicle, states: states.collect() })
    }

    /// True when some state has no operating point.
    pub(super) fn wants_attention(&self) -> bool {
        !self.states.iter().all(|(point, _)| unsettled::is_found(point))
    }
}
