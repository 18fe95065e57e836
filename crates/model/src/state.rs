//! Operating states: what is on, what the alternator does, how warm things are.

use units::{Kelvin, Seconds};

/// What the engine lets the alternators do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AlternatorMode {
    /// The engine stands, or turns too slowly.
    Off,
    /// The engine idles: the idle output is the limit.
    Idle,
    /// The engine runs: the rated output is the limit.
    Full,
}

/// One operating state.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The name used in the file, such as `cranking`.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// What the alternators can do.
    pub alternators: AlternatorMode,
    /// Temperature of the air inside and around the vehicle.
    pub air: Kelvin,
    /// Temperature beside the engine, and of the engine.
    pub engine_space: Kelvin,
    /// Temperature of the batteries.
    pub batteries: Kelvin,
    /// True for the first moment, before lamps and plugs have warmed and motors turn.
    pub first_moment: bool,
    /// How long it usually lasts; nothing for hours.
    pub duration: Option<Seconds>,
}
