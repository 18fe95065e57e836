//! A conductor's size as people name it: square millimetres, a gauge, a braid, a bar.

use crate::Dimension;
use crate::parse::{ParseError, number, parse_from};
pub use crate::quantity::SQUARE_METRES_PER_CIRCULAR_MIL;
use crate::quantity::{Metres, SquareMetres};

/// A conductor size as written; the catalogue turns it into metal area and resistance.
///
/// Gauge numbers hold 1/0, 2/0, 3/0 and 4/0 as 0, −1, −2 and −3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WireSize {
    /// A stranded cable named by its metal area.
    Area(SquareMetres),
    /// American wire gauge (ASTM B258).
    Awg(i32),
    /// The gauge of SAE cable standards, whose areas are 3 to 11 % below the same AWG number.
    Sae(i32),
    /// A flat or tubular braid, named by the sum of its strands' areas.
    Braid(SquareMetres),
    /// A solid bar of rectangular section.
    Bar {
        /// The wider side.
        width: Metres,
        /// The narrower side.
        thickness: Metres,
    },
}

/// The ways of writing a size, for messages.
const WAYS: &str =
    "`35 mm²`, `4 AWG`, `2/0 AWG`, `SAE 4`, `braid 26000 cmil`, `braid 16 mm²` or `bar 20 x 3 mm`";

impl WireSize {
    /// Reads a size as people write it.
    ///
    /// # Errors
    ///
    /// A [`ParseError`] with the place inside `text`, when the text names no size or one outside
    /// 4/0 to 40 gauge.
    pub fn parse(text: &str) -> Result<Self, ParseError> {
        let whole = 0..text.len();
        let words = text.split_whitespace().collect::<Vec<_>>();
        let lower = text.trim().to_lowercase();
        let unreadable = || ParseError::new(whole.clone(), "names no conductor size", WAYS);
        if lower.is_empty() {
            return Err(ParseError::new(whole.clone(), "is empty", WAYS));
        }
        let lead = text.len() - text.trim_start().len();
        if text.get(lead..lead + 5).is_some_and(|word| word.eq_ignore_ascii_case("braid")) {
            let area = parse_from(&text[lead + 5..], Dimension::Area)
                .map_err(|error| error.moved(lead + 5))?;
            return positive(SquareMetres(area), &whole).map(Self::Braid);
        }
        if lower.starts_with("bar") || lower.ends_with("bar") {
            return bar(&lower).ok_or_else(unreadable);
        }
        if lower.contains("gauge") || lower.ends_with("ga") {
            return Err(ParseError::new(
                whole,
                "does not say which gauge",
                "`4 AWG`, or `SAE 4`, whose metal area is 3 to 11 % smaller",
            ));
        }
        for (word, make) in
            [("awg", Self::Awg as fn(i32) -> Self), ("sae", Self::Sae as fn(i32) -> Self)]
        {
            if lower.contains(word) {
                let digits = lower.replacen(word, "", 1);
                let gauge = gauge_number(digits.trim()).ok_or_else(|| {
                    ParseError::new(
                        whole.clone(),
                        "has no gauge from 4/0 to 40",
                        "`4 AWG`, `2/0 AWG` or `SAE 4`",
                    )
                })?;
                return Ok(make(gauge));
            }
        }
        if words.len() == 1 && number(&lower).is_some_and(|(_, used)| used == lower.len()) {
            return Err(ParseError::new(whole, "has no unit", WAYS));
        }
        let area = parse_from(text, Dimension::Area)?;
        positive(SquareMetres(area), &whole).map(Self::Area)
    }
}

fn positive(
    area: SquareMetres,
    whole: &std::ops::Range<usize>,
) -> Result<SquareMetres, ParseError> {
    if area > SquareMetres::ZERO {
        Ok(area)
    } else {
        Err(ParseError::new(whole.clone(), "is not above zero", "a metal area such as `35 mm²`"))
    }
}

fn gauge_number(text: &str) -> Option<i32> {
    let text = text.trim_start_matches(['#', '-']).trim();
    if let Some(zeros) = text.strip_suffix("/0") {
        let zeros: i32 = zeros.trim().parse().ok()?;
        return (1..=4).contains(&zeros).then_some(1 - zeros);
    }
    if !text.is_empty() && text.len() <= 4 && text.bytes().all(|byte| byte == b'0') {
        return i32::try_from(text.len()).ok().map(|zeros| 1 - zeros);
    }
    let gauge: i32 = text.parse().ok()?;
    (1..=40).contains(&gauge).then_some(gauge)
}

fn bar(lower: &str) -> Option<WireSize> {
    let body = lower.replace("bar", "");
    let (first, second) = body.split_once(['x', '×', '*'])?;
    let (first, second) = (first.trim(), second.trim());
    let second_value = parse_from(second, Dimension::Length).ok()?;
    let first_value = parse_from(first, Dimension::Length).ok().or_else(|| {
        let unit = second.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ',');
        parse_from(&format!("{first} {unit}"), Dimension::Length).ok()
    })?;
    let (width, thickness) = (first_value.max(second_value), first_value.min(second_value));
    (thickness > 0.0)
        .then_some(WireSize::Bar { width: Metres(width), thickness: Metres(thickness) })
}

impl std::fmt::Display for WireSize {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        fn gauge(number: i32) -> String {
            if number < 1 { format!("{}/0", 1 - number) } else { number.to_string() }
        }
        match *self {
            Self::Area(area) => write!(f, "{} mm²", crate::print::plain(area.mm2(), 4)),
            Self::Awg(number) => write!(f, "{} AWG", gauge(number)),
            Self::Sae(number) => write!(f, "SAE {}", gauge(number)),
            Self::Braid(area) => write!(f, "braid {} mm²", crate::print::plain(area.mm2(), 4)),
            Self::Bar { width, thickness } => write!(
                f,
                "bar {} × {} mm",
                crate::print::plain(width.mm(), 4),
                crate::print::plain(thickness.mm(), 4)
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: &str) {
        match WireSize::parse(text) {
            Ok(size) => assert_eq!(size.to_string(), expected, "{text}"),
            Err(error) => assert_eq!(error.what, expected, "{text}"),
        }
    }

    #[test]
    fn sizes_are_read_as_people_write_them() {
        check("35 mm²", "35 mm²");
        check("35mm2", "35 mm²");
        check("2,5 mm²", "2.5 mm²");
        check("4 AWG", "4 AWG");
        check("AWG 4", "4 AWG");
        check("2/0 AWG", "2/0 AWG");
        check("00 awg", "2/0 AWG");
        check("0 AWG", "1/0 AWG");
        check("SAE 4", "SAE 4");
        check("sae 4/0", "SAE 4/0");
        check("braid 26000 cmil", "braid 13.17 mm²");
        check("braid 16 mm2", "braid 16 mm²");
        check("bar 20 x 3 mm", "bar 20 × 3 mm");
        check("3 mm × 20 mm bar", "bar 20 × 3 mm");
        check("26 kcmil", "13.17 mm²");
    }

    #[test]
    fn a_size_without_a_unit_or_with_an_unnamed_gauge_is_refused() {
        check("35", "has no unit");
        check("4 gauge", "does not say which gauge");
        check("0 mm²", "is not above zero");
        check("5/0 AWG", "has no gauge from 4/0 to 40");
        check("41 AWG", "has no gauge from 4/0 to 40");
        check("thick", "has no number");
        check("", "is empty");
        check("braid", "is empty");
    }

    #[test]
    fn a_circular_mil_is_the_area_of_a_circle_one_thousandth_of_an_inch_across() {
        let diameter = 25.4e-6_f64;
        let area = std::f64::consts::PI / 4.0 * diameter * diameter;
        assert!((area / SQUARE_METRES_PER_CIRCULAR_MIL - 1.0).abs() < 1e-12);
    }
}
