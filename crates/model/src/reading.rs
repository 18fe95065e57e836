//! Readings: what a person measured or noticed, where, in which state, with what, and how surely.

use units::{Amperes, Ohms, Ratio, Volts};

use crate::id::{ConductorId, JointId, LoadId, PointId, StateId};

/// Where a meter's probe touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Probe {
    /// The metal of a point: the stud, the post, the pin.
    Point(PointId),
    /// The conductor's side of a joint: the lug or eye itself, not the stud under it.
    Lug(JointId),
    /// The bare strand behind the crimp of the lug of this joint, which is that of a conductor's end.
    Strand(JointId),
}

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// Voltage of `high` against `low`.
    Volts {
        /// The red probe.
        high: Probe,
        /// The black probe.
        low: Probe,
    },
    /// Current in a conductor, counted from its beginning to its end.
    Amps {
        /// The conductor under the clamp.
        conductor: ConductorId,
    },
    /// Ohms between two places with nothing switched on, by a hand meter.
    Ohms {
        /// One probe.
        from: Probe,
        /// The other probe.
        to: Probe,
    },
    /// Volts across a load rose by nothing, a little or much when a jump lead joined two points.
    JumpLead {
        /// One end of the lead.
        from: PointId,
        /// The other end.
        to: PointId,
        /// The load that was watched.
        load: LoadId,
    },
    /// A fault went away, or came, when a joint was pushed, pulled or tapped.
    Moved {
        /// The joint.
        joint: JointId,
    },
}

/// The value as it was told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Told {
    /// One number from the display.
    Value(f64),
    /// It moved between two numbers.
    Between(f64, f64),
    /// Roughly so much.
    About(f64),
    /// Nothing to see, "no drop".
    Nothing,
    /// A minimum or maximum hold caught this.
    Held(f64),
    /// More than so much: the meter was over its range, or only a bound was told. A negative one is as
    /// much the other way.
    AtLeast(f64),
    /// A dashboard gauge showed it.
    Gauge(f64),
    /// Better, worse or the same: plus one, minus one, zero.
    Change(i8),
}

/// A meter's accuracy as its maker prints it: ±(share of reading + counts of the last digit).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Share of the reading.
    pub share: Ratio,
    /// Counts of the last digit.
    pub counts: u32,
    /// One count, in volts, amperes or ohms.
    pub resolution: f64,
}

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Its number among the readings, from one, as a person counts them.
    pub number: u32,
    /// The state in which it was taken; nothing when it was not told or matters not.
    pub state: Option<StateId>,
    /// What was measured.
    pub measured: Measured,
    /// The value, in volts, amperes or ohms.
    pub told: Told,
    /// True when a sign was told with it, be it a minus or a plus; without one a value above zero may
    /// have stood behind a minus that nobody wrote down.
    pub signed: bool,
    /// The meter's accuracy for this reading.
    pub accuracy: Accuracy,
    /// When, as written.
    pub time: Option<String>,
    /// A remark for people.
    pub note: Option<String>,
}

impl Told {
    /// The value as the meter shows it with its leads, or the clamp, the other way round.
    #[must_use]
    pub fn turned(self) -> Self {
        match self {
            Self::Value(value) => Self::Value(-value),
            Self::Between(low, high) => Self::Between(-high, -low),
            Self::About(value) => Self::About(-value),
            Self::Held(value) => Self::Held(-value),
            Self::AtLeast(value) => Self::AtLeast(-value),
            Self::Gauge(value) => Self::Gauge(-value),
            Self::Nothing | Self::Change(_) => self,
        }
    }
}

impl Accuracy {
    /// What is taken for a meter about which nothing is said: ±(1 % + 3 counts), 10 mV a count on
    /// ranges of volts and 1 mV below 2 V (common practice for hand meters).
    #[must_use]
    pub fn some_voltmeter(volts: Volts) -> Self {
        let resolution = if volts.0.abs() < 2.0 { 0.001 } else { 0.01 };
        Self { share: Ratio(0.01), counts: 3, resolution }
    }

    /// What is taken for a clamp meter about which nothing is said: ±(3 % + 5 counts), 0.1 A a count
    /// (from memory: ±(2 % + 5) typical when zeroed first).
    #[must_use]
    pub fn some_clamp(amps: Amperes) -> Self {
        let resolution = if amps.0.abs() < 40.0 { 0.01 } else { 0.1 };
        Self { share: Ratio(0.03), counts: 5, resolution }
    }

    /// What is taken for a hand meter's ohms: ±(0.8 % + 2 counts) of 0.1 Ω, and its leads besides.
    #[must_use]
    pub fn some_ohmmeter(_ohms: Ohms) -> Self {
        Self { share: Ratio(0.008), counts: 2, resolution: 0.1 }
    }

    /// Half-width of the interval that the maker promises about a value.
    #[must_use]
    pub fn limit(self, value: f64) -> f64 {
        self.share.0 * value.abs() + f64::from(self.counts) * self.resolution
    }
}
