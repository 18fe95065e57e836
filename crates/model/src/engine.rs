//! What the engine does in a state.

use crate::id::StateId;
use crate::load::{Load, LoadKind};
use crate::point::PointOwner;
use crate::source::RegulatedKind;
use crate::state::AlternatorMode;
use crate::vehicle::Vehicle;

/// What the engine does in a state, for whoever holds a probe there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Engine {
    /// It stands, or the vehicle has none that turns then.
    Stands,
    /// A starter turns it.
    Cranks,
    /// It runs by itself: belts and fans turn.
    Runs,
}

impl Vehicle {
    /// The bodies of metal that carry the case of a starter or an alternator, as their positions in
    /// [`Vehicle::structures`].
    #[must_use]
    pub fn engine_bodies(&self) -> Vec<u32> {
        let starters = self.loads.iter().filter(|own| own.kind == LoadKind::Starter);
        let driven = self.regulated.iter().filter(|own| own.kind == RegulatedKind::Alternator);
        let cases = starters.filter_map(|own| own.case).chain(driven.filter_map(|own| own.case));
        let metal = cases.filter_map(|case| match self.point(self.joint(case).point).owner {
            PointOwner::Structure(body) => Some(body),
            _ => None,
        });
        metal.collect()
    }

    /// What the engine does in a state.
    #[must_use]
    pub fn engine_in(&self, state: StateId) -> Engine {
        let cranks = |load: &Load| load.kind == LoadKind::Starter && load.is_on_in(state);
        if self.loads.iter().any(cranks) {
            Engine::Cranks
        } else if self.state(state).alternators == AlternatorMode::Off {
            Engine::Stands
        } else {
            Engine::Runs
        }
    }
}
