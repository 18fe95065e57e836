//! What the engine does in a state.

use crate::id::StateId;
use crate::load::{Load, LoadKind};
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
