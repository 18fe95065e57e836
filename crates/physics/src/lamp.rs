//! Filament lamps away from the voltage they are rated at.

use units::{Amperes, Ratio, Volts, Watts};

use crate::error::{PhysicsError, above, within};

/// Exponent of current in the ratio of voltages: 0.55 (Standard Handbook for Electrical Engineers,
/// 11th ed., p. 22-8).
pub const CURRENT_EXPONENT: Ratio = Ratio(0.55);
/// Exponent of luminous flux: 3.4 (the same source; 3.4 to 3.5).
pub const FLUX_EXPONENT: Ratio = Ratio(3.4);
/// Exponent of life: −13 (the same source gives −12 to −16; −13 from memory).
pub const LIFE_EXPONENT: Ratio = Ratio(-13.0);
/// Exponent of colour temperature: 0.42 (the same source).
pub const COLOUR_TEMPERATURE_EXPONENT: Ratio = Ratio(0.42);

/// A lamp as its maker or its standard rates it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LampRating {
    /// Voltage at which the power is stated.
    pub voltage: Volts,
    /// Power at that voltage.
    pub power: Watts,
}

/// What a lamp does at another voltage, against its rating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rerated {
    /// Current over rated current.
    pub current: Ratio,
    /// Power over rated power.
    pub power: Ratio,
    /// Luminous flux over rated flux.
    pub flux: Ratio,
    /// Life over rated life; endless without voltage.
    pub life: Ratio,
}

/// Rerates a filament lamp.
///
/// ```text
/// I ∝ V^0.55,  P ∝ V^1.55,  Φ ∝ V^3.4,  life ∝ V^−13
/// ```
///
/// Good from about half to 1.2 times the rated voltage.
///
/// # Errors
///
/// [`PhysicsError`] unless the ratio of voltages lies from zero to two.
///
/// # Source
///
/// Standard Handbook for Electrical Engineers, 11th ed., p. 22-8.
///
/// # Example
///
/// ```
/// # use physics::lamp::rerated;
/// # use units::Ratio;
/// let dim = rerated(Ratio(11.5 / 13.5))?;
/// assert!((dim.flux.0 - 0.58).abs() < 0.001);
/// # Ok::<(), physics::PhysicsError>(())
/// ```
pub fn rerated(voltage_ratio: Ratio) -> Result<Rerated, PhysicsError> {
    let ratio = within("a ratio of lamp voltages", 0.0, 2.0, voltage_ratio.0, Ratio::SYMBOL)?;
    Ok(Rerated {
        current: Ratio(ratio.powf(CURRENT_EXPONENT.0)),
        power: Ratio(ratio.powf(1.0 + CURRENT_EXPONENT.0)),
        flux: Ratio(ratio.powf(FLUX_EXPONENT.0)),
        life: Ratio(ratio.powf(LIFE_EXPONENT.0)),
    })
}

/// Current of a warm lamp at a voltage; its sign follows the voltage.
///
/// # Errors
///
/// [`PhysicsError`] unless the rated voltage lies above zero.
pub fn lamp_current(rating: LampRating, voltage: Volts) -> Result<Amperes, PhysicsError> {
    above("a rated voltage", 0.0, rating.voltage.0, Volts::SYMBOL)?;
    let ratio = (voltage / rating.voltage).abs();
    let current = rating.power / rating.voltage * ratio.powf(CURRENT_EXPONENT.0);
    Ok(Amperes(current.0.copysign(voltage.0)))
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::{assert_close, assert_near};

    /// A 26.5 W lamp at 13.5 V (UN R37 test voltage) run at 11.5 V.
    #[test]
    fn two_volts_less_take_42_percent_of_the_light_of_a_signal_lamp() {
        let dim = rerated(Ratio(11.5 / 13.5)).unwrap();
        assert_near(dim.current.0, 0.9156, 1e-4);
        assert_near(dim.power.0, 0.7799, 1e-4);
        assert_near(dim.flux.0, 0.5797, 1e-4);
        assert_close(dim.life.0, 8.04, 1e-3);
        let rating = LampRating { voltage: Volts(13.5), power: Watts(26.5) };
        let amperes = lamp_current(rating, Volts(11.5)).unwrap();
        assert_close(amperes.0, 0.9156 * 26.5 / 13.5, 1e-4);
    }

    /// Lamp makers' rule: 5 % too much voltage halves the life.
    #[test]
    fn five_percent_overvoltage_about_halves_the_life() {
        assert_near(rerated(Ratio(1.05)).unwrap().life.0, 0.5, 0.05);
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn power_is_current_times_voltage(ratio in 0.1..2.0) {
            let lamp = rerated(Ratio(ratio)).unwrap();
            prop_assert!((lamp.power.0 - lamp.current.0 * ratio).abs() < 1e-12);
        }
    }
}
