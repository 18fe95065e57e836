//! What a meter's accuracy says about a reading, as a standard uncertainty.

use std::ops::{Add, Mul, Neg};

use units::Ratio;

/// Accuracy of a digital meter as printed: ±(share of reading + counts of the last digit).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeterAccuracy {
    /// Share of the reading.
    pub of_reading: Ratio,
    /// Counts of the last digit.
    pub counts: u32,
}

impl MeterAccuracy {
    /// Half the width of the interval about a reading; `digit` is one count on its range.
    ///
    /// # Example
    ///
    /// ```
    /// # use physics::uncertainty::MeterAccuracy;
    /// # use units::{Ratio, Volts};
    /// let meter = MeterAccuracy { of_reading: Ratio(0.01), counts: 2 };
    /// let half = meter.half_width(Volts(100.0), Volts(0.1));
    /// assert!((half.0 - 1.2).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn half_width<Q>(&self, reading: Q, digit: Q) -> Q
    where
        Q: Copy + Default + PartialOrd + Neg<Output = Q> + Add<Output = Q> + Mul<f64, Output = Q>,
    {
        let size = if reading < Q::default() { -reading } else { reading };
        size * self.of_reading.0 + digit * f64::from(self.counts)
    }

    /// Standard uncertainty of a reading, the interval taken as rectangular.
    ///
    /// # Source
    ///
    /// JCGM 100:2008 (GUM) 4.3.7: u = a / √3 where nothing but the limits is known.
    #[must_use]
    pub fn standard_uncertainty<Q>(&self, reading: Q, digit: Q) -> Q
    where
        Q: Copy + Default + PartialOrd + Neg<Output = Q> + Add<Output = Q> + Mul<f64, Output = Q>,
    {
        rectangular(self.half_width(reading, digit))
    }
}

/// Standard uncertainty of equally likely values within ±a: a / √3 (GUM 4.3.7).
#[must_use]
pub fn rectangular<Q: Mul<f64, Output = Q>>(half_width: Q) -> Q {
    half_width * (1.0 / 3.0_f64.sqrt())
}

/// Standard uncertainty of values likelier towards the middle of ±a: a / √6 (GUM 4.3.9).
#[must_use]
pub fn triangular<Q: Mul<f64, Output = Q>>(half_width: Q) -> Q {
    half_width * (1.0 / 6.0_f64.sqrt())
}

/// Standard uncertainty of a normal interval ±a stated at 99 %: a / 2.58 (GUM 4.3.4).
#[must_use]
pub fn normal_99_percent<Q: Mul<f64, Output = Q>>(half_width: Q) -> Q {
    half_width * (1.0 / 2.58)
}

/// Relative uncertainty of a product or quotient of two independent readings (GUM 5.1.6).
///
/// ```text
/// (u/y)² = (u₁/x₁)² + (u₂/x₂)²
/// ```
#[must_use]
pub fn of_product(first: Ratio, second: Ratio) -> Ratio {
    Ratio(first.0.hypot(second.0))
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::{assert_close, assert_near};
    use units::Volts;

    /// Meter guide: ±(1 % + 2) at 100.0 V reads 98.8 to 101.2 V.
    #[test]
    fn one_percent_and_two_counts_at_100_volts_are_1_2_volts() {
        let meter = MeterAccuracy { of_reading: Ratio(0.01), counts: 2 };
        for reading in [Volts(100.0), Volts(-100.0)] {
            assert_near(meter.half_width(reading, Volts(0.1)).0, 1.2, 1e-9);
            assert_near(meter.standard_uncertainty(reading, Volts(0.1)).0, 0.6928, 1e-4);
        }
    }

    /// JCGM 100:2008 (GUM) 4.3.7, example 2, and 5.1.5: a digital voltmeter of 14 ppm of reading + 2 ppm of
    /// range shows 0.928 571 V on its 1 V range; u = 8.7 µV, with 12 µV of scatter 15 µV in all
    /// (values recalled; the page was not at hand).
    #[test]
    fn the_gums_voltmeter_is_sure_to_8_7_microvolts() {
        let meter = MeterAccuracy { of_reading: Ratio(14e-6), counts: 2 };
        let (reading, one_ppm_of_range) = (Volts(0.928_571), Volts(1e-6));
        assert_near(meter.half_width(reading, one_ppm_of_range).0, 15e-6, 0.05e-6);
        let own = meter.standard_uncertainty(reading, one_ppm_of_range);
        assert_near(own.0, 8.7e-6, 0.05e-6);
        assert_near(own.0.hypot(12e-6), 15e-6, 0.5e-6);
    }

    /// GUM 4.3.7, example 1: copper's expansion 16.52e-6 ± 0.40e-6 per kelvin, u² = 53.3e-15; GUM 4.3.4,
    /// example 2: 10.000 742 Ω ± 129 µΩ at 99 %, u = 50 µΩ; GUM F.2.2.1: a resolution of one, u = 0.29
    /// (values recalled; the pages were not at hand).
    #[test]
    fn limits_become_the_gums_standard_uncertainties() {
        let expansion = rectangular(0.40e-6);
        assert_close(expansion * expansion, 53.3e-15, 1e-3);
        assert_near(normal_99_percent(129e-6), 50e-6, 0.05e-6);
        assert_near(rectangular(0.5), 0.29, 0.005);
    }

    /// GUM 4.3.7 and 5.1.6: 0.200 V ±(0.5 % + 2) over 100 A ± 2 %.
    #[test]
    fn a_drop_of_200_millivolts_at_100_amperes_gives_resistance_to_1_44_percent() {
        let meter = MeterAccuracy { of_reading: Ratio(0.005), counts: 2 };
        let drop = Volts(0.200);
        let u = meter.standard_uncertainty(drop, Volts(0.001));
        assert_close(u.0, 1.732e-3, 1e-3);
        let resistance = of_product(Ratio(u / drop), rectangular(Ratio(0.02)));
        assert_close(resistance.0, 0.0144, 0.005);
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use units::Volts;

    #[test]
    fn the_less_is_known_of_an_interval_the_wider_its_uncertainty() {
        let a = Volts(1.0);
        assert!(rectangular(a) > triangular(a) && triangular(a) > normal_99_percent(a));
    }
}
