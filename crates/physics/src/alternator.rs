//! Alternators: output against speed, regulated voltage against temperature, power from the shaft.

use units::{Amperes, Kelvin, Ratio, Volts, Watts};

use crate::error::{PhysicsError, above, within};
use crate::quantity::{RadiansPerSecond, VoltsPerKelvin};

/// Highest current that an alternator can give at each speed; speeds are the alternator's own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutputCurve {
    /// I = I∞ (1 − e^(−(n − n₀)/s)): a fit through three printed points.
    Exponential {
        /// The current it tends to.
        limit: Amperes,
        /// The speed below which it gives nothing.
        cut_in: RadiansPerSecond,
        /// The speed over which the shortfall falls to 37 %.
        scale: RadiansPerSecond,
    },
    /// I = I∞ √(1 − (n₀/n)²): a machine of constant field against a constant voltage.
    Root {
        /// The current it tends to.
        limit: Amperes,
        /// The speed below which it gives nothing.
        cut_in: RadiansPerSecond,
    },
}

impl OutputCurve {
    /// The root law through two points, such as those of the rating plate.
    ///
    /// ```text
    /// I² = I∞² − (I∞ n₀)² / n²
    /// ```
    ///
    /// # Errors
    ///
    /// [`PhysicsError`] unless current and speed of the second point lie above those of the first,
    /// all above zero, and the current grows less than in proportion to speed.
    ///
    /// # Source
    ///
    /// Caliskan, Perreault, Jahns & Kassakian, IEEE Trans. Circuits Syst. I, 2003, from memory;
    /// plate speeds 1500 and 6000 min⁻¹: ISO 8854, from memory.
    pub fn root_through(
        slow: (RadiansPerSecond, Amperes),
        fast: (RadiansPerSecond, Amperes),
    ) -> Result<Self, PhysicsError> {
        let slow_speed = above("a speed", 0.0, slow.0.0, RadiansPerSecond::SYMBOL)?;
        let fast_speed = above("a higher speed", slow_speed, fast.0.0, RadiansPerSecond::SYMBOL)?;
        let slow_current = above("a current", 0.0, slow.1.0, Amperes::SYMBOL)?;
        let most = slow_current * fast_speed / slow_speed;
        let fast_current =
            within("a current at the higher speed", slow_current, most, fast.1.0, Amperes::SYMBOL)?;
        let (slow_inverse, fast_inverse) = (slow_speed.powi(-2), fast_speed.powi(-2));
        let fall = (fast_current.powi(2) - slow_current.powi(2)) / (slow_inverse - fast_inverse);
        let limit = (slow_current.powi(2) + fall * slow_inverse).sqrt();
        Ok(Self::Root { limit: Amperes(limit), cut_in: RadiansPerSecond(fall.sqrt() / limit) })
    }

    /// Highest current at a speed, never below zero.
    ///
    /// # Example
    ///
    /// ```
    /// # use physics::alternator::OutputCurve;
    /// # use physics::quantity::RadiansPerSecond;
    /// # use units::Amperes;
    /// let rpm = RadiansPerSecond::from_rpm;
    /// let curve = OutputCurve::Root { limit: Amperes(50.0), cut_in: rpm(1200.0) };
    /// assert!((curve.current(rpm(1500.0)).0 - 30.0).abs() < 1e-9);
    /// assert_eq!(curve.current(rpm(1000.0)), Amperes(0.0));
    /// ```
    #[must_use]
    pub fn current(&self, speed: RadiansPerSecond) -> Amperes {
        match *self {
            Self::Exponential { limit, cut_in, scale } if cut_in < speed => {
                limit * (1.0 - (-(speed.0 - cut_in.0) / scale.0).exp())
            }
            Self::Root { limit, cut_in } if cut_in < speed => {
                limit * (1.0 - (cut_in.0 / speed.0).powi(2)).sqrt()
            }
            Self::Exponential { .. } | Self::Root { .. } => Amperes::ZERO,
        }
    }
}

/// Voltage that a regulator holds, by its own temperature: a straight line about 25 °C.
///
/// Slopes in print run from −3.5 to −18 mV/K for 12 V.
#[must_use]
pub fn regulated_voltage(
    at_25_celsius: Volts,
    slope: VoltsPerKelvin,
    temperature: Kelvin,
) -> Volts {
    at_25_celsius + Volts(slope.0 * (temperature - Kelvin::from_celsius(25.0)).0)
}

/// Power that an alternator takes from its shaft: U I / η.
///
/// η is about 0.5 to 0.75; the best in type approval reach 0.76 (Decision (EU) 2016/588).
///
/// # Errors
///
/// [`PhysicsError`] unless the efficiency lies above zero and at most at one.
pub fn shaft_power(
    voltage: Volts,
    current: Amperes,
    efficiency: Ratio,
) -> Result<Watts, PhysicsError> {
    above("an efficiency", 0.0, efficiency.0, Ratio::SYMBOL)?;
    let efficiency = within("an efficiency", 0.0, 1.0, efficiency.0, Ratio::SYMBOL)?;
    Ok(voltage * current / efficiency)
}

/// Efficiency over a driving cycle, from those at 1800, 3000, 6000 and 10 000 min⁻¹.
///
/// ```text
/// η = 0.25 η₁₈₀₀ + 0.40 η₃₀₀₀ + 0.25 η₆₀₀₀ + 0.10 η₁₀₀₀₀
/// ```
///
/// # Source
///
/// Commission Implementing Decision 2013/341/EU, annex, from memory.
#[must_use]
pub fn cycle_efficiency(at_rising_speeds: [Ratio; 4]) -> Ratio {
    let weights = [0.25, 0.40, 0.25, 0.10];
    at_rising_speeds.into_iter().zip(weights).map(|(efficiency, weight)| efficiency * weight).sum()
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::{assert_close, assert_near};

    const RPM: fn(f64) -> RadiansPerSecond = RadiansPerSecond::from_rpm;

    /// Printed hot output of a 50 A alternator at 13.5 V: 16, 41 and 48 A.
    #[test]
    fn both_curves_agree_with_a_printed_50_ampere_alternator() {
        let fit = OutputCurve::Exponential {
            limit: Amperes(48.333),
            cut_in: RPM(974.8),
            scale: RPM(808.8),
        };
        let root = OutputCurve::Root { limit: Amperes(48.44), cut_in: RPM(1228.0) };
        for (speed, amperes) in [(1300.0, 16.0), (2500.0, 41.0), (5000.0, 48.0)] {
            assert_near(fit.current(RPM(speed)).0, amperes, 0.01);
            assert_near(root.current(RPM(speed)).0, amperes, 1.3);
        }
    }

    /// TM 10-3930-621-12, middle of the regulator's band by temperature, °F.
    #[test]
    fn regulator_voltages_agree_with_the_technical_manual() {
        for (fahrenheit, middle) in
            [(65.0, 14.5), (86.0, 14.3), (105.0, 14.1), (125.0, 13.9), (145.0, 13.8)]
        {
            let temperature = Kelvin::from_celsius((fahrenheit - 32.0) / 1.8);
            let volts = regulated_voltage(Volts(14.375), VoltsPerKelvin(-0.0163), temperature);
            assert_near(volts.0, middle, 0.05);
        }
    }

    /// Decision 2013/341/EU: weights sum to one, so a flat 67 % stays 67 %.
    #[test]
    fn a_baseline_of_67_percent_at_every_speed_is_67_percent() {
        assert_close(cycle_efficiency([Ratio(0.67); 4]).0, 0.67, 1e-12);
        let power = shaft_power(Volts(14.0), Amperes(100.0), Ratio(0.5)).unwrap();
        assert_close(power.0, 2800.0, 1e-12);
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::close::assert_close;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_root_law_meets_both_points_and_rises(
            slow in 10.0..100.0, share in 0.05..0.95, speed in 100.0..1000.0,
        ) {
            let fast = slow * (1.0 + share * 3.0);
            let speeds = (RadiansPerSecond(157.0), RadiansPerSecond(628.0));
            let curve = OutputCurve::root_through(
                (speeds.0, Amperes(slow)),
                (speeds.1, Amperes(fast)),
            ).unwrap();
            assert_close(curve.current(speeds.0).0, slow, 1e-6);
            assert_close(curve.current(speeds.1).0, fast, 1e-6);
            let (now, later) = (RadiansPerSecond(speed), RadiansPerSecond(speed + 1.0));
            prop_assert!(curve.current(now) <= curve.current(later));
        }
    }
}
