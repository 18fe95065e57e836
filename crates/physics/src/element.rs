//! What a two-terminal element does at a voltage, and the simplest one: a diode.
//!
//! Currents count from the plus terminal through the element to the minus terminal, so that a source
//! which delivers has a negative current.

use units::{Amperes, Ohms, Siemens, Volts};

/// Current through an element at one voltage, and how it changes there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurrentAndSlope {
    /// The current.
    pub current: Amperes,
    /// Its slope over voltage; at a corner that of one side.
    pub slope: Siemens,
}

impl CurrentAndSlope {
    /// Neither current nor slope.
    pub const NOTHING: Self = Self { current: Amperes::ZERO, slope: Siemens(0.0) };

    /// A straight line: a voltage above some other one over a resistance.
    #[inline]
    pub(crate) fn ohmic(excess: Volts, resistance: Ohms) -> Self {
        Self { current: excess / resistance, slope: Siemens(1.0 / resistance.0) }
    }
}

/// A diode: nothing up to its forward voltage, a resistance beyond it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diode {
    /// Forward voltage at which it begins to conduct.
    pub drop: Volts,
    /// Resistance beyond it.
    pub resistance: Ohms,
}

impl Diode {
    /// What it does at a voltage.
    ///
    /// ```text
    /// I = (V − U_d) / R  above U_d,   0  up to it
    /// ```
    ///
    /// # Source
    ///
    /// The piecewise linear model of textbooks on electronics; leakage is left out.
    #[inline]
    #[must_use]
    pub fn at(self, volts: Volts) -> CurrentAndSlope {
        if volts > self.drop {
            CurrentAndSlope::ohmic(volts - self.drop, self.resistance)
        } else {
            CurrentAndSlope::NOTHING
        }
    }
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::assert_close;

    /// The textbook silicon diode of 0.7 V, on 12 V behind 1 kΩ of its own: 11.3 mA.
    #[test]
    fn a_silicon_diode_behind_a_kiloohm_on_12_volts_passes_11_3_milliamperes() {
        let diode = Diode { drop: Volts(0.7), resistance: Ohms(1000.0) };
        assert_close(diode.at(Volts(12.0)).current.0, 11.3e-3, 1e-12);
        assert_eq!(diode.at(Volts(-12.0)), CurrentAndSlope::NOTHING);
    }
}
