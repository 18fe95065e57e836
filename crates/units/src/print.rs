//! Writing quantities for people: sensible digits, the unit behind a space, metric or US.

use crate::quantity::{
    Amperes, Coulombs, Kelvin, Metres, Money, NewtonMetres, Newtons, Ohms, Ratio, Seconds, Volts,
    Watts,
};

/// Which units a person wants to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// Metres, newton metres, degrees Celsius.
    #[default]
    Metric,
    /// Feet and inches, pound-force feet and inches, degrees Fahrenheit.
    Us,
}

/// A number with a fixed count of decimals and a true minus sign; never "−0.00".
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.bytes().any(|byte| (b'1'..=b'9').contains(&byte)) => {
            format!("−{digits}")
        }
        Some(digits) => digits.to_owned(),
        None => text,
    }
}

/// A number with so many significant digits, without an exponent: `0.0123`, `12.3`, `1230`.
#[must_use]
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".to_owned() } else { "unknown".to_owned() };
    }
    let scientific = format!("{:.*e}", digits.saturating_sub(1), value);
    let exponent =
        scientific.rsplit_once('e').and_then(|(_, text)| text.parse::<i64>().ok()).unwrap_or(0);
    let decimals = i64::try_from(digits).unwrap_or(3) - 1 - exponent;
    if decimals >= 0 {
        return fixed(value, usize::try_from(decimals).unwrap_or(0));
    }
    // Digits beyond the significant ones are zeros, not noise.
    let unit = 10_f64.powi(i32::try_from(-decimals).unwrap_or(0));
    fixed((value / unit).round() * unit, 0)
}

/// The same without trailing zeros: `35`, `2.5`, `13.17`.
#[must_use]
pub fn plain(value: f64, digits: usize) -> String {
    let text = significant(value, digits);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn scaled(value: f64, symbol: &str, digits: usize) -> String {
    let (factor, prefix) = match value.abs() {
        0.0 => (1.0, ""),
        size if size < 0.999_5e-3 => (1e6, "µ"),
        size if size < 0.999_5 => (1e3, "m"),
        size if size < 999.5 => (1.0, ""),
        size if size < 999.5e3 => (1e-3, "k"),
        _ => (1e-6, "M"),
    };
    format!("{} {prefix}{symbol}", significant(value * factor, digits))
}

/// A supply voltage: two decimals.
#[must_use]
pub fn volts(value: Volts) -> String {
    format!("{} V", fixed(value.0, 2))
}

/// A loss: millivolts below one volt, volts above.
#[must_use]
pub fn loss(value: Volts) -> String {
    if value.0.abs() >= 0.999_5 {
        volts(value)
    } else {
        let millivolts = value.0 * 1e3;
        let decimals = if millivolts.abs() < 9.995 {
            2
        } else if millivolts.abs() < 99.95 {
            1
        } else {
            0
        };
        format!("{} mV", fixed(millivolts, decimals))
    }
}

/// A current with three significant digits; stray currents are told down to some microamperes.
#[must_use]
pub fn amperes(value: Amperes) -> String {
    if value.0.abs() < 5e-6 { "0 A".to_owned() } else { scaled(value.0, "A", 3) }
}

/// A resistance with three significant digits and the prefix that fits.
#[must_use]
pub fn ohms(value: Ohms) -> String {
    scaled(value.0, "Ω", 3)
}

/// A power with three significant digits.
#[must_use]
pub fn watts(value: Watts) -> String {
    if value.0.abs() < 0.000_5 { "0 W".to_owned() } else { scaled(value.0, "W", 3) }
}

/// A battery's capacity.
#[must_use]
pub fn capacity(value: Coulombs) -> String {
    format!("{} Ah", plain(value.ampere_hours(), 4))
}

/// A share in per cent.
#[must_use]
pub fn percent(value: Ratio) -> String {
    let share = value.0 * 100.0;
    format!("{} %", if share.abs() < 9.95 { fixed(share, 1) } else { fixed(share, 0) })
}

/// An amount of money in the currency that is named: whole above twenty, else to a tenth.
#[must_use]
pub fn money(value: Money, currency: &str) -> String {
    format!("{} {currency}", fixed(value.0, usize::from(value.0.abs() < 20.0)))
}

/// A duration in the unit that a person would say.
#[must_use]
pub fn duration(value: Seconds) -> String {
    match value.0 {
        seconds if seconds < 1.0 => scaled(seconds, "s", 3),
        seconds if seconds < 120.0 => format!("{} s", plain(seconds, 3)),
        seconds if seconds < 7200.0 => format!("{} min", plain(seconds / 60.0, 3)),
        seconds => format!("{} h", plain(seconds / 3600.0, 3)),
    }
}

impl UnitSystem {
    /// A temperature in whole degrees.
    #[must_use]
    pub fn temperature(self, value: Kelvin) -> String {
        match self {
            Self::Metric => format!("{} °C", fixed(value.celsius(), 0)),
            Self::Us => format!("{} °F", fixed(value.celsius() * 1.8 + 32.0, 0)),
        }
    }

    /// A length along a conductor.
    #[must_use]
    pub fn length(self, value: Metres) -> String {
        match self {
            Self::Metric if value.0.abs() < 0.1 => format!("{} mm", plain(value.mm(), 3)),
            Self::Metric => format!("{} m", plain(value.0, 3)),
            Self::Us if value.0.abs() < 0.9144 => format!("{} in", plain(value.0 / 0.0254, 3)),
            Self::Us => format!("{} ft", plain(value.0 / 0.3048, 3)),
        }
    }

    /// A torque.
    #[must_use]
    pub fn torque(self, value: NewtonMetres) -> String {
        let pound_feet = value.0 / 1.355_817_948_331_400_4;
        match self {
            Self::Metric => format!("{} N·m", plain(value.0, 3)),
            Self::Us if pound_feet < 15.0 => format!("{} lbf·in", plain(pound_feet * 12.0, 3)),
            Self::Us => format!("{} lbf·ft", plain(pound_feet, 3)),
        }
    }

    /// A force.
    #[must_use]
    pub fn force(self, value: Newtons) -> String {
        match self {
            Self::Metric => scaled(value.0, "N", 3),
            Self::Us => format!("{} lbf", significant(value.0 / 4.448_221_615_260_5, 3)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_stay_sensible_at_the_edges() {
        assert_eq!(significant(999.5, 3), "1000");
        assert_eq!(significant(0.012_345, 3), "0.0123");
        assert_eq!(significant(123_456.0, 3), "123000");
        assert_eq!(fixed(-0.001, 2), "0.00");
        assert_eq!(fixed(-0.5, 1), "−0.5");
        assert_eq!(significant(f64::NAN, 3), "unknown");
    }

    #[test]
    fn the_prefix_keeps_the_number_between_one_and_a_thousand() {
        assert_eq!(ohms(Ohms(0.000_4)), "400 µΩ");
        assert_eq!(ohms(Ohms(0.004_7)), "4.70 mΩ");
        assert_eq!(amperes(Amperes(508.4)), "508 A");
        assert_eq!(watts(Watts(2250.0)), "2.25 kW");
        assert_eq!(amperes(Amperes(0.0)), "0 A");
    }

    #[test]
    fn a_loss_below_one_volt_is_told_in_millivolts() {
        assert_eq!(loss(Volts(0.356)), "356 mV");
        assert_eq!(loss(Volts(-0.000_4)), "−0.40 mV");
        assert_eq!(loss(Volts(1.234)), "1.23 V");
    }

    #[test]
    fn us_units_change_the_words_and_not_the_quantity() {
        assert_eq!(UnitSystem::Us.torque(NewtonMetres(10.06)), "89 lbf·in");
        assert_eq!(UnitSystem::Us.temperature(Kelvin::from_celsius(25.0)), "77 °F");
        assert_eq!(UnitSystem::Us.length(Metres(0.7874)), "31 in");
        assert_eq!(UnitSystem::Metric.length(Metres(0.0125)), "12.5 mm");
    }
}
