//! Loss of metal to the open air over years, and which metals may touch.

use units::{Metres, Ratio, Volts};

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

/// Time in which a depth of metal is lost outdoors.
///
/// ```text
/// t = (D / r_corr)^(1/b),   from   D = r_corr · t^b
/// ```
///
/// `first_year` is the loss of the first year, by which ISO 9223 classes places from C1 to CX.
/// Crevices, engine spaces and rooms are outside the law.
///
/// # Errors
///
/// [`PhysicsError`] unless rate and exponent lie above zero and the depth is not negative.
///
/// # Source
///
/// ISO 9224:2012.
///
/// # Example
///
/// ```
/// # use physics::corrosion::{STEEL, time_to_depth};
/// # use physics::quantity::MetresPerYear;
/// # use units::Metres;
/// let time = time_to_depth(MetresPerYear(50e-6), STEEL.mean, Metres(166.7e-6))?;
/// assert!((time.0 - 10.0).abs() < 0.01);
/// # Ok::<(), physics::PhysicsError>(())
/// ```
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

/// Difference between the anodic indices of two metals.
#[must_use]
pub fn anodic_difference(first: Volts, second: Volts) -> Volts {
    (first - second).abs()
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::{assert_close, assert_near};

    /// ISO 9224:2012 Table 3, t^b: the depth that it prints for ten and twenty years takes as long.
    #[test]
    fn growth_over_10_and_20_years_agrees_with_iso_9224() {
        let one = MetresPerYear(1.0);
        for (metal, mean_10, upper_20) in [
            (STEEL, 3.334, 5.599),
            (ZINC, 6.501, 13.671),
            (COPPER, 4.645, 8.801),
            (ALUMINIUM, 5.346, 11.218),
        ] {
            let ten = time_to_depth(one, metal.mean, Metres(mean_10)).unwrap();
            assert_close(ten.0, 10.0, 4e-4);
            let twenty = time_to_depth(one, metal.upper, Metres(upper_20)).unwrap();
            assert_close(twenty.0, 20.0, 4e-4);
        }
    }

    /// ISO 9223 upper ends of C3 for steel (50 µm/a) and C4 for zinc (4.2 µm/a).
    #[test]
    fn a_5_micrometre_zinc_plate_in_c4_is_gone_in_1_24_years() {
        let rate = MetresPerYear(4.2e-6);
        let gone = time_to_depth(rate, ZINC.mean, Metres(5e-6)).unwrap();
        assert_near(gone.0, 1.24, 0.005);
    }

    /// Anodic indices: copper 0.35 V, steel 0.85 V, tin plate 0.65 V.
    #[test]
    fn copper_lies_half_a_volt_from_steel_and_tin_a_fifth() {
        let (copper, steel, tin) = (Volts(0.35), Volts(0.85), Volts(0.65));
        assert_near(anodic_difference(copper, steel).0, 0.50, 1e-12);
        assert_near(anodic_difference(tin, steel).0, 0.20, 1e-12);
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::close::assert_close;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn in_the_time_to_a_depth_the_growth_law_reaches_it(rate in 1e-7..1e-3, b in 0.3..1.0, depth in 1e-7..1e-2) {
            let time = time_to_depth(MetresPerYear(rate), Ratio(b), Metres(depth)).unwrap();
            assert_close(rate * time.0.powf(b), depth, 1e-9);
        }
    }
}
