//! The temperatures that a conductor may have, for how long, and where each comes from.

use model::Conductor;
use units::{Kelvin, Seconds};

/// Bare metal where there is a risk of fire: 150 °C (IEC 60364-5-54 table A.54.6).
pub const BARE_LIMIT: Kelvin = Kelvin::from_celsius(150.0);

/// Longest fault for which the short-circuit temperature of an insulation holds, and no heat is
/// taken to reach it (IEC 60364-4-43).
pub const SHORT: Seconds = Seconds(5.0);

/// Longest overload above the lasting temperature that is not counted as harm: the thermal overload
/// test of ISO 6722-1 holds 50 K above the class for 6 h (from memory); a sixth of its time is taken.
pub const OVERLOAD: Seconds = Seconds(3600.0);
/// Rise above the lasting temperature that is allowed for it.
pub const OVERLOAD_RISE: Kelvin = Kelvin(50.0);

/// An excess over the lasting temperature that says nothing: the heat balance agrees with published
/// current ratings within about 12 %, which is far more than this.
pub(crate) const NOTICEABLE: Kelvin = Kelvin(5.0);

/// What a limit belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitOf {
    /// The insulation's class.
    Insulation,
    /// Bare metal beside things that burn.
    BareMetal,
}

/// By which temperature, and for how long, a current is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// What it bears for ever, at any time.
    Lasting,
    /// What it bears for an hour.
    Overload,
    /// What it bears at the end of a fault of five seconds at most.
    ShortCircuit,
}

impl Rule {
    /// Its word in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Lasting => "lasting temperature",
            Self::Overload => "overload temperature",
            Self::ShortCircuit => "short-circuit temperature",
        }
    }
}

/// Temperatures that a conductor may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// For ever.
    pub lasting: Kelvin,
    /// For an hour at most.
    pub overload: Kelvin,
    /// For five seconds at most.
    pub short: Kelvin,
    /// At the beginning of a fault: what an insulated conductor may be as warm as for ever; for bare
    /// metal the air, as the tables of factors k have it.
    pub start: Kelvin,
    /// What bears no more than that.
    pub of: LimitOf,
    /// True when the insulation has no published short-circuit temperature.
    pub short_assumed: bool,
}

impl Limits {
    /// Those of a conductor in air of some temperature.
    #[must_use]
    pub fn of(conductor: &Conductor, air: Kelvin) -> Self {
        let row = conductor.insulation;
        let lasting = row.map(|row| row.limit).or(conductor.insulation_limit);
        let Some(lasting) = lasting else { return Self::of_bare_metal(air) };
        let overload = lasting + OVERLOAD_RISE;
        let published = row.and_then(|row| row.short_circuit);
        Self {
            lasting,
            overload: published.map_or(overload, |short| overload.min(short)),
            short: published.unwrap_or(overload),
            start: lasting.max(air),
            of: LimitOf::Insulation,
            short_assumed: published.is_none(),
        }
    }

    fn of_bare_metal(air: Kelvin) -> Self {
        Self {
            lasting: BARE_LIMIT,
            overload: BARE_LIMIT,
            short: BARE_LIMIT,
            start: air,
            of: LimitOf::BareMetal,
            short_assumed: false,
        }
    }
}
