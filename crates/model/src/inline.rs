//! Protection, switching and measuring in a conductor's way: fuses, breakers, switches, relays, shunts, diodes.

use units::{Amperes, Ohms, Seconds, Volts};

use crate::id::{PointId, StateId};

/// When a fuse or breaker opens at one current. At least one of the two times is there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// The current.
    pub current: Amperes,
    /// It does not open sooner than this.
    pub not_before: Option<Seconds>,
    /// It has opened by then.
    pub not_after: Option<Seconds>,
}

/// Opening times of a fuse or breaker: at rising currents, none later than at less current.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Its points, by rising current.
    pub points: Vec<CurvePoint>,
    /// Where they come from, in words.
    pub source: String,
}

/// What an in-line part does.
#[derive(Debug, Clone, PartialEq)]
pub enum InlineKind {
    /// A fuse, fusible link or breaker.
    Fuse {
        /// Marked current, if known.
        rating: Option<Amperes>,
        /// Opening times, where somebody has stated them.
        curve: Option<Curve>,
        /// The most current it can break.
        breaking_capacity: Option<Amperes>,
    },
    /// A switch, relay, contactor or isolator, closed in these states.
    Switch {
        /// States in which it is closed.
        closed: Vec<StateId>,
    },
    /// A measuring shunt or a battery's sensor.
    Shunt,
    /// A diode that passes current from `from` to `to`.
    Diode {
        /// Forward voltage at which it begins to conduct.
        drop: Volts,
    },
}

/// A fuse, switch, shunt or diode between two points.
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
