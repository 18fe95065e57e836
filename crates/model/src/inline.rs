//! Protection and switching in a conductor's way: fuses, breakers, switches, relays, diodes.

use units::{Amperes, Ohms, Seconds, Volts};

use crate::id::{PointId, StateId};

/// What an in-line part does.
#[derive(Debug, Clone, PartialEq)]
pub enum InlineKind {
    /// A fuse, fusible link or breaker.
    Fuse {
        /// Marked current, if known.
        rating: Option<Amperes>,
        /// Opening times that the file states: current and time.
        curve: Vec<(Amperes, Seconds)>,
    },
    /// A switch, relay, contactor or isolator, closed in these states.
    Switch {
        /// States in which it is closed.
        closed: Vec<StateId>,
    },
    /// A diode that passes current from `from` to `to`.
    Diode {
        /// Forward voltage at which it begins to conduct.
        drop: Volts,
    },
}

/// A fuse, switch or diode between two points.
#[derive(Debug, Clone, PartialEq)]
pub struct Inline {
    /// The name used in the file.
    pub id: String,
    /// What it is called in the trade: `blade fuse`, `relay`, `battery switch`.
    pub make: String,
    /// What it does.
    pub kind: InlineKind,
    /// The point on the source's side (the anode of a diode).
    pub from: PointId,
    /// The point on the load's side (the cathode of a diode).
    pub to: PointId,
    /// Resistance when conducting, its own contacts included.
    pub resistance: Ohms,
    /// A remark for people.
    pub note: Option<String>,
}
