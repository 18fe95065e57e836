//! Loss of metal to the open air over years, and which metals may touch.

use units::{Kelvin, Metres, Ratio, Volts};

use crate::error::{PhysicsError, above, within};
use crate::quantity::{MetresPerYear, Years};

/// Exponent of time for one metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeExponents {
    /// The mean, B1.
    pub mean: Ratio,
    /// The upper one, B2.
    pub upper: Ratio,
}

/// Carbon steel (ISO 9224:2012 Table 3).
pub const STEEL: TimeExponents = TimeExponents { mean: Ratio(0.523), upper: Ratio(0.575) };
/// Zinc (ISO 9224:2012 Table 3).
pub const ZINC: TimeExponents = TimeExponents { mean: Ratio(0.813), upper: Ratio(0.873) };
/// Copper (ISO 9224:2012 Table 3).
pub const COPPER: TimeExponents = TimeExponents { mean: Ratio(0.667), upper: Ratio(0.726) };
/// Aluminium (ISO 9224:2012 Table 3).
pub const ALUMINIUM: TimeExponents = TimeExponents { mean: Ratio(0.728), upper: Ratio(0.807) };

/// Depth of metal lost after a time outdoors.
///
/// ```text
/// D = r_corr · t^b
/// ```
///
/// `first_year` is the loss of the first year, by which ISO 9223 classes places from C1 to CX.
/// Crevices, engine spaces and rooms are outside the law.
///
/// # Errors
///
/// [`PhysicsError`] unless rate and time are not negative and the exponent lies from zero to one.
///
/// # Source
///
/// ISO 9224:2012.
///
/// # Example
///
/// ```
/// # use physics::corrosion::{STEEL, corroded_depth};
/// # use physics::quantity::{MetresPerYear, Years};
/// let depth = corroded_depth(MetresPerYear(50e-6), STEEL.mean, Years(10.0))?;
/// assert!((depth.0 - 166.7e-6).abs() < 0.1e-6);
/// # Ok::<(), physics::PhysicsError>(())
/// ```
pub fn corroded_depth(
    first_year: MetresPerYear,
    exponent: Ratio,
    time: Years,
) -> Result<Metres, PhysicsError> {
    let rate = within("a loss", 0.0, f64::MAX, first_year.0, MetresPerYear::SYMBOL)?;
    let b = within("an exponent of time", 0.0, 1.0, exponent.0, Ratio::SYMBOL)?;
    let time = within("a time", 0.0, f64::MAX, time.0, Years::SYMBOL)?;
    Ok(Metres(rate * time.powf(b)))
}

/// Time in which a depth of metal is lost; see [`corroded_depth`].
///
/// # Errors
///
/// [`PhysicsError`] unless rate and exponent lie above zero and the depth is not negative.
pub fn time_to_depth(
    first_year: MetresPerYear,
    exponent: Ratio,
    depth: Metres,
) -> Result<Years, PhysicsError> {
    let rate = above("a loss", 0.0, first_year.0, MetresPerYear::SYMBOL)?;
    let b = above("an exponent of time", 0.0, exponent.0, Ratio::SYMBOL)?;
    let depth = within("a depth", 0.0, f64::MAX, depth.0, Metres::SYMBOL)?;
    Ok(Years((depth / rate).powf(1.0 / b)))
}

/// What the air does to steel, averaged over a year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Climate {
    /// Temperature, −17.1 to 28.7 °C.
    pub temperature: Kelvin,
    /// Relative humidity, 0.34 to 0.93.
    pub humidity: Ratio,
    /// Deposit of sulphur dioxide, mg for each m² and day, 0.7 to 150.4.
    pub sulphur_dioxide: Ratio,
    /// Deposit of chloride, mg for each m² and day, 0.4 to 760.5.
    pub chloride: Ratio,
}

/// First year's loss of carbon steel from the climate.
///
/// ```text
/// r = 1.77 P^0.52 exp(0.020 RH + f) + 0.102 S^0.62 exp(0.033 RH + 0.040 T)   µm/a
/// f = 0.150 (T − 10) up to 10 °C, −0.054 (T − 10) above
/// ```
///
/// # Errors
///
/// [`PhysicsError`] when part of the climate lies outside the range of the fit.
///
/// # Source
///
/// ISO 9223:2012, dose-response function for carbon steel.
pub fn steel_first_year(climate: &Climate) -> Result<MetresPerYear, PhysicsError> {
    let coldest = Kelvin::from_celsius(-17.1).0;
    let warmest = Kelvin::from_celsius(28.7).0;
    within("a yearly temperature", coldest, warmest, climate.temperature.0, Kelvin::SYMBOL)?;
    let humidity = within("a relative humidity", 0.34, 0.93, climate.humidity.0, Ratio::SYMBOL)?;
    let sulphur =
        within("a sulphur dioxide deposit", 0.7, 150.4, climate.sulphur_dioxide.0, "mg/(m²·d)")?;
    let chloride = within("a chloride deposit", 0.4, 760.5, climate.chloride.0, "mg/(m²·d)")?;
    let celsius = climate.temperature.celsius();
    let percent = 100.0 * humidity;
    let f = if celsius <= 10.0 { 0.150 } else { -0.054 } * (celsius - 10.0);
    let industrial = 1.77 * sulphur.powf(0.52) * (0.020 * percent + f).exp();
    let marine = 0.102 * chloride.powf(0.62) * (0.033 * percent + 0.040 * celsius).exp();
    Ok(MetresPerYear((industrial + marine) * 1e-6))
}

/// How wet and salty the place is where two metals touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exposure {
    /// Outdoors, humid, salt.
    Harsh,
    /// Indoors without control of air.
    Normal,
    /// Indoors, air held warm and dry.
    Controlled,
}

impl Exposure {
    /// Largest difference of anodic index allowed: 0.15, 0.25, 0.50 V (common practice).
    #[must_use]
    pub const fn allowed_difference(self) -> Volts {
        match self {
            Self::Harsh => Volts(0.15),
            Self::Normal => Volts(0.25),
            Self::Controlled => Volts(0.50),
        }
    }
}

/// Difference between the anodic indices of two metals.
#[must_use]
pub fn anodic_difference(first: Volts, second: Volts) -> Volts {
    (first - second).abs()
}

/// Whether two metals may touch in a place, by the difference of their anodic indices.
#[must_use]
pub fn may_touch(first: Volts, second: Volts, exposure: Exposure) -> bool {
    // Indices are multiples of 0.05 V: the margin only absorbs the rounding of their difference.
    anodic_difference(first, second) <= exposure.allowed_difference() + Volts(1e-9)
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::{assert_close, assert_near};

    /// ISO 9224:2012 Table 3, t^b.
    #[test]
    fn growth_over_10_and_20_years_agrees_with_iso_9224() {
        let one = MetresPerYear(1.0);
        for (metal, mean_10, upper_20) in [
            (STEEL, 3.334, 5.599),
            (ZINC, 6.501, 13.671),
            (COPPER, 4.645, 8.801),
            (ALUMINIUM, 5.346, 11.218),
        ] {
            let ten = corroded_depth(one, metal.mean, Years(10.0)).unwrap();
            assert_close(ten.0, mean_10, 2e-4);
            let twenty = corroded_depth(one, metal.upper, Years(20.0)).unwrap();
            assert_close(twenty.0, upper_20, 2e-4);
        }
    }

    /// ISO 9223 upper ends of C3 for steel (50 µm/a) and C4 for zinc (4.2 µm/a).
    #[test]
    fn a_5_micrometre_zinc_plate_in_c4_is_gone_in_1_24_years() {
        let steel = corroded_depth(MetresPerYear(50e-6), STEEL.mean, Years(10.0)).unwrap();
        assert_close(steel.0, 166.7e-6, 1e-3);
        let rate = MetresPerYear(4.2e-6);
        let zinc = corroded_depth(rate, ZINC.mean, Years(5.0)).unwrap();
        assert_close(zinc.0, 15.5e-6, 0.01);
        let gone = time_to_depth(rate, ZINC.mean, Metres(5e-6)).unwrap();
        assert_near(gone.0, 1.24, 0.005);
    }

    /// ISO 9223:2012 dose-response, 10 °C, 75 %, SO₂ 5, chloride 60: 41.2 µm/a, category C3.
    #[test]
    fn a_mild_coastal_climate_takes_41_micrometres_of_steel_in_a_year() {
        let climate = Climate {
            temperature: Kelvin::from_celsius(10.0),
            humidity: Ratio(0.75),
            sulphur_dioxide: Ratio(5.0),
            chloride: Ratio(60.0),
        };
        assert_close(steel_first_year(&climate).unwrap().0, 41.2e-6, 0.005);
    }

    /// Anodic indices: copper 0.35 V, steel 0.85 V, tin plate 0.65 V.
    #[test]
    fn copper_on_steel_fails_indoors_where_tin_on_steel_passes() {
        let (copper, steel, tin) = (Volts(0.35), Volts(0.85), Volts(0.65));
        assert_near(anodic_difference(copper, steel).0, 0.50, 1e-12);
        assert!(!may_touch(copper, steel, Exposure::Normal));
        assert!(may_touch(copper, steel, Exposure::Controlled));
        assert_near(anodic_difference(tin, steel).0, 0.20, 1e-12);
        assert!(!may_touch(tin, steel, Exposure::Harsh));
        assert!(may_touch(tin, steel, Exposure::Normal));
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::close::assert_close;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_time_to_a_depth_has_that_depth(rate in 1e-7..1e-3, b in 0.3..1.0, time in 0.1..50.0) {
            let depth = corroded_depth(MetresPerYear(rate), Ratio(b), Years(time)).unwrap();
            let found = time_to_depth(MetresPerYear(rate), Ratio(b), depth).unwrap();
            assert_close(found.0, time, 1e-9);
        }
    }
}
