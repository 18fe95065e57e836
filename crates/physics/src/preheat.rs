//! Preheating plugs whose resistance rises as they glow, once they have settled.

use units::{Amperes, Ohms, Volts};

use crate::error::{PhysicsError, above};

/// A plug by its resistance cold and how that rises with the power it turns to heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PreheatPlug {
    cold: Ohms,
    /// Ohms for each watt.
    warming: f64,
}

impl PreheatPlug {
    /// A plug from its currents at rated voltage: at the first moment, and settled.
    ///
    /// ```text
    /// k = (R_h − R_c) / (V_r I_h),   R = R_c + k P
    /// ```
    ///
    /// # Errors
    ///
    /// [`PhysicsError`] unless voltage and settled current lie above zero and the cold current is
    /// above the settled one.
    pub fn new(rated: Volts, cold: Amperes, settled: Amperes) -> Result<Self, PhysicsError> {
        above("a rated voltage", 0.0, rated.0, Volts::SYMBOL)?;
        above("a settled current", 0.0, settled.0, Amperes::SYMBOL)?;
        above("a cold current", settled.0, cold.0, Amperes::SYMBOL)?;
        let (cold, hot) = (rated / cold, rated / settled);
        Ok(Self { cold, warming: (hot - cold).0 / (rated * settled).0 })
    }

    /// Resistance once settled at a voltage.
    ///
    /// ```text
    /// R = (R_c + √(R_c² + 4 k V²)) / 2
    /// ```
    ///
    /// # Assumes
    ///
    /// Resistance linear in temperature rise and rise proportional to power: radiation and the
    /// engine's own warmth are left out.
    ///
    /// # Source
    ///
    /// The positive root of `R = R_c + k V² / R`.
    ///
    /// # Example
    ///
    /// ```
    /// # use physics::preheat::PreheatPlug;
    /// # use units::{Amperes, Volts};
    /// let plug = PreheatPlug::new(Volts(12.0), Amperes(24.0), Amperes(8.0))?;
    /// assert!((plug.settled_resistance(Volts(12.0)).0 - 1.5).abs() < 1e-12);
    /// assert!((plug.settled_resistance(Volts(0.0)).0 - 0.5).abs() < 1e-12);
    /// # Ok::<(), physics::PhysicsError>(())
    /// ```
    #[must_use]
    pub fn settled_resistance(&self, voltage: Volts) -> Ohms {
        let cold = self.cold.0;
        let root = (cold * cold + 4.0 * self.warming * voltage.0 * voltage.0).sqrt();
        Ohms(0.5 * (cold + root))
    }

    /// Current once settled at a voltage.
    #[must_use]
    pub fn settled_current(&self, voltage: Volts) -> Amperes {
        voltage / self.settled_resistance(voltage)
    }

    /// Current in the first moment.
    #[must_use]
    pub fn cold_current(&self, voltage: Volts) -> Amperes {
        voltage / self.cold
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::close::assert_close;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_plug_draws_its_two_rated_currents_at_its_rated_voltage(
            volts in 5.0..28.0, settled in 1.0..20.0, factor in 1.05..5.0,
        ) {
            let (rated, hot) = (Volts(volts), Amperes(settled));
            let plug = PreheatPlug::new(rated, hot * factor, hot).unwrap();
            assert_close(plug.settled_current(rated).0, settled, 1e-9);
            assert_close(plug.cold_current(rated).0, settled * factor, 1e-9);
        }

        #[test]
        fn settled_current_rises_with_voltage_but_less_than_in_proportion(volts in 1.0..30.0) {
            let plug = PreheatPlug::new(Volts(12.0), Amperes(24.0), Amperes(9.0)).unwrap();
            let (now, twice) = (plug.settled_current(Volts(volts)), plug.settled_current(Volts(2.0 * volts)));
            prop_assert!(now < twice && twice < now * 2.0);
        }

        #[test]
        fn the_settled_resistance_carries_its_own_power(volts in 0.1..30.0) {
            let plug = PreheatPlug::new(Volts(12.0), Amperes(24.0), Amperes(9.0)).unwrap();
            let ohms = plug.settled_resistance(Volts(volts)).0;
            assert_close(ohms, plug.cold.0 + plug.warming * volts * volts / ohms, 1e-9);
        }
    }
}

#[cfg(test)]
mod refusals {
    use super::*;

    #[test]
    fn a_plug_that_draws_more_when_hot_is_refused() {
        assert!(PreheatPlug::new(Volts(12.0), Amperes(8.0), Amperes(9.0)).is_err());
    }
}
