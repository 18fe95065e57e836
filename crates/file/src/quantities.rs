//! Quantities and sizes of a file: whether they can be read, and whether a vehicle can have them.

use model::{Code, Problem};
use toml::Spanned;
use toml::de::DeValue;
use units::{Dimension, WireSize};

use crate::document::{Checker, quantity_of};
use crate::spec::Domain;

/// The least and the most of a quantity, in its SI unit, and the two in words.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    least: f64,
    most: f64,
    words: &'static str,
}

/// Bounds of a dimension: far beyond anything in a vehicle on both sides, and near enough for the
/// equations to keep their digits.
fn bounds(dimension: Dimension) -> Option<Bounds> {
    let (least, most, words) = match dimension {
        Dimension::Voltage => (1e-6, 1e3, "a voltage from 1 µV to 1 kV"),
        Dimension::Current => (1e-6, 1e5, "a current from 1 µA to 100 kA"),
        Dimension::Resistance => (1e-7, 1e9, "a resistance from 0.1 µΩ to 1 GΩ"),
        Dimension::Power => (1e-6, 1e7, "a power from 1 µW to 10 MW"),
        Dimension::Charge => (3.6, 3.6e8, "a battery capacity from 1 mAh to 100 kAh"),
        Dimension::Length => (1e-6, 1e4, "a length from 1 µm to 10 km"),
        Dimension::Area => (1e-9, 10.0, "an area from 0.001 mm² to 10 m²"),
        Dimension::Time => (1e-4, 8.64e7, "a time from 0.1 ms to 1000 days"),
        Dimension::Torque => (1e-3, 1e4, "a torque from 0.001 N·m to 10 kN·m"),
        Dimension::Force | Dimension::Temperature | Dimension::Ratio => return None,
    };
    // A value on the bound itself may be rounded past it by its unit.
    Some(Bounds { least: least * (1.0 - 1e-9), most: most * (1.0 + 1e-9), words })
}

/// What would be right, when a positive value lies outside the bounds of its dimension.
pub(crate) fn beyond(value: f64, dimension: Dimension) -> Option<&'static str> {
    bounds(dimension)
        .filter(|bounds| !(bounds.least..=bounds.most).contains(&value))
        .map(|bounds| bounds.words)
}

/// The section of a size that names one; the gauges of a list are all within bounds.
pub(crate) fn stated_area(size: &WireSize) -> Option<f64> {
    match size {
        WireSize::Area(area) | WireSize::Braid(area) => Some(area.0),
        WireSize::Bar { width, thickness } => Some(width.0 * thickness.0),
        WireSize::Awg(_) | WireSize::Sae(_) => None,
    }
}

/// Below the least chance nothing would ever be found, above the most nothing need be measured.
const LEAST_CHANCE: f64 = 1e-4 * (1.0 - 1e-9);
const MOST_CHANCE: f64 = 0.9 * (1.0 + 1e-9);

/// Ends nearer than this say that the value is known, and further apart that nothing is.
const NARROWEST: f64 = 1.01;
const WIDEST: f64 = 1e6;

/// What keeps two ends from being a range in which nine of ten lie.
fn range_fault(low: f64, high: f64) -> Option<&'static str> {
    if high < low {
        Some("runs from the larger value to the smaller")
    } else if high < low * NARROWEST {
        Some("has no width")
    } else if high > low * WIDEST {
        Some("is wider than a million to one")
    } else {
        None
    }
}

impl Checker<'_> {
    /// Checks a range: two quantities of one dimension, the lesser first.
    pub(crate) fn range(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        dimensions: &[Dimension],
        domain: Domain,
        key: &str,
    ) {
        let Some(usual) = dimensions.first().copied() else { return };
        let ends = match value.get_ref().as_array() {
            Some(list) if list.len() == 2 => list,
            _ => {
                let expected = format!(
                    "two quantities, the lesser first, such as `[\"{0}\", \"{0}\"]` with ends of your own",
                    usual.example()
                );
                return self.kind_of(value, false, &expected, key);
            }
        };
        let both = |dimension: &&Dimension| {
            ends.iter().all(|end| quantity_of(end.get_ref(), **dimension).is_some())
        };
        let dimension = dimensions.iter().find(both).copied().unwrap_or(usual);
        let before = self.problems.len();
        for end in ends {
            self.quantity(end, dimension, domain, key);
        }
        if self.problems.len() > before {
            return;
        }
        let end = |at: usize| ends.get(at).and_then(|end| quantity_of(end.get_ref(), dimension));
        if let (Some(low), Some(high)) = (end(0), end(1))
            && let Some(fault) = range_fault(low, high)
        {
            self.problems.push(Problem::error(
                Code::LikelyUnusable,
                value.span(),
                format!("`{key}` {fault}"),
                "the ends between which nine of ten would lie, the lesser first",
            ));
        }
    }

    pub(crate) fn quantity(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        dimension: Dimension,
        domain: Domain,
        key: &str,
    ) {
        let inner = value.get_ref();
        if let Some(text) = inner.as_str()
            && let Err(error) = units::parse(text, dimension)
        {
            return self.report_unreadable(Code::QuantityUnreadable, value, text, &error);
        }
        let Some(number) = quantity_of(inner, dimension) else {
            let expected = format!(
                "{} in quotes, with its unit, such as `\"{}\"`",
                dimension.with_article(),
                dimension.example()
            );
            return self.kind_of(value, false, &expected, key);
        };
        let bounds = bounds(dimension);
        let expected = match domain {
            Domain::Positive if number <= 0.0 => "a value above zero",
            Domain::Positive if bounds.is_some_and(|bounds| number < bounds.least) => {
                bounds.map_or("", |bounds| bounds.words)
            }
            Domain::NotNegative if number < 0.0 => "zero or a value above it",
            Domain::Chance if !(LEAST_CHANCE..=MOST_CHANCE).contains(&number) => {
                "a chance from 0.01 % to 90 %"
            }
            Domain::Share if !(0.0..=1.0).contains(&number) => "a share from 0 % to 100 %",
            Domain::Any if dimension == Dimension::Temperature && number < 150.0 => {
                "a temperature above −120 °C"
            }
            Domain::Any if dimension == Dimension::Temperature && number > 1300.0 => {
                "a temperature below 1000 °C"
            }
            _ if bounds.is_some_and(|bounds| number.abs() > bounds.most) => {
                bounds.map_or("", |bounds| bounds.words)
            }
            _ => return,
        };
        let found = inner.as_str().map_or_else(|| number.to_string(), str::to_owned);
        self.out_of_range(value, &found, key, expected);
    }

    /// Checks the section of a size that is given in millimetres or circular mils.
    pub(crate) fn area_of(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        size: &WireSize,
        text: &str,
        key: &str,
    ) {
        if let Some(range) = stated_area(size).and_then(|area| beyond(area, Dimension::Area)) {
            self.out_of_range(value, text, key, range);
        }
    }

    fn out_of_range(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        found: &str,
        key: &str,
        expected: &str,
    ) {
        self.problems.push(Problem::error(
            Code::OutOfRange,
            value.span(),
            format!("`{key}` cannot be `{found}`"),
            expected,
        ));
    }

    pub(crate) fn report_unreadable(
        &mut self,
        code: Code,
        value: &Spanned<DeValue<'_>>,
        text: &str,
        error: &units::ParseError,
    ) {
        let whole = value.span();
        // Places inside the text hold only where the text is written without escapes.
        let plain = whole.len() == text.len() + 2
            && !self.source.get(whole.clone()).unwrap_or("\\").contains('\\');
        let place = if plain && !error.place.is_empty() {
            whole.start + 1 + error.place.start..whole.start + 1 + error.place.end
        } else {
            whole
        };
        self.problems.push(Problem::error(
            code,
            place,
            format!("`{text}` {}", error.what),
            error.expected.clone(),
        ));
    }
}

#[cfg(test)]
mod laws {
    use super::*;

    #[test]
    fn what_the_words_name_is_allowed() {
        let mut bounded = 0;
        for dimension in Dimension::ALL {
            let Some(Bounds { least, most, words }) = bounds(dimension) else { continue };
            bounded += 1;
            let (_, range) = words.split_once(" from ").expect("a range");
            let (low, high) = range.split_once(" to ").expect("two ends");
            let (low, high) = (units::parse(low, dimension), units::parse(high, dimension));
            let (low, high) = (low.expect(words), high.expect(words));
            assert!((low / least - 1.0).abs() < 1e-6, "{words}: {low} {least}");
            assert!((high / most - 1.0).abs() < 1e-6, "{words}: {high} {most}");
        }
        assert_eq!(bounded, 9, "dimensions of which the words name a range");
    }
}
