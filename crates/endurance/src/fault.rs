//! Whether a fault current that is cleared in time, or never, harms a conductor.

use physics::heat::{ConductorThermal, Heating, temperature_after};
use units::{Amperes, Kelvin, Seconds};

use crate::limits::{NOTICEABLE, OVERLOAD, Rule, SHORT};
use crate::thermal::Thermal;

/// What a fault does to a conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Harm {
    /// Nothing: it stays within what its insulation bears.
    None,
    /// It is held above its lasting limit for more than an hour, and ages fast.
    Ages {
        /// Where it settles, or is when the fault is cleared.
        hottest: Kelvin,
    },
    /// It passes the temperature at which the insulation is lost.
    Burns {
        /// The temperature at which that is.
        limit: Kelvin,
        /// How long after the fault began.
        after: Seconds,
        /// What that temperature is taken from.
        rule: Rule,
    },
}

impl Harm {
    /// The rule by which it is judged; nothing where there is none.
    #[must_use]
    pub fn rule(self) -> Option<Rule> {
        match self {
            Self::None => None,
            Self::Ages { .. } => Some(Rule::Lasting),
            Self::Burns { rule, .. } => Some(rule),
        }
    }
}

impl Thermal {
    /// What a current does that flows until it is cleared, or for ever.
    ///
    /// An insulated conductor begins at its lasting temperature, as the factors k of IEC 60364-4-43
    /// do; a bare one as warm as the air, as those of IEC 60364-5-54.
    #[must_use]
    pub fn harm(&self, current: Amperes, clears: Option<Seconds>) -> Harm {
        let amps = current.abs();
        if amps <= self.lasting {
            return Harm::None;
        }
        let reach = |balance: &ConductorThermal, duration: Seconds, limit: Kelvin| {
            let start = self.limits.start;
            temperature_after(balance, amps, duration, start, &self.surroundings, limit)
                .unwrap_or(Heating::Exceeds { limit, after: Seconds::ZERO })
        };
        let duration = clears.unwrap_or(Seconds(f64::INFINITY));
        let in_short = reach(&self.without_insulation(), duration.min(SHORT), self.limits.short);
        if let Heating::Exceeds { limit, after } = in_short {
            return Harm::Burns { limit, after, rule: Rule::ShortCircuit };
        }
        if duration <= SHORT {
            return Harm::None;
        }
        match reach(&self.balance, duration, self.limits.overload) {
            Heating::Exceeds { limit, after } => {
                Harm::Burns { limit, after: after.max(SHORT), rule: Rule::Overload }
            }
            Heating::Reaches(hottest)
                if duration > OVERLOAD && hottest > self.limits.lasting + NOTICEABLE =>
            {
                Harm::Ages { hottest }
            }
            Heating::Reaches(_) => Harm::None,
        }
    }
}
