//! Reading quantities as people write them: `0.8 m`, `31 in`, `18 ft-lb`, `0,4 mΩ`, `25 °C`.

use std::ops::Range;

use crate::Dimension;
use crate::quantity::{SQUARE_METRES_PER_CIRCULAR_MIL, ZERO_CELSIUS};

/// Why a text is not the quantity that was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParseError {
    /// Bytes of the text that are at fault.
    pub place: Range<usize>,
    /// What is wrong, as the end of a sentence that begins with the text itself.
    pub what: String,
    /// What would have been right.
    pub expected: String,
}

impl ParseError {
    pub(crate) fn new(
        place: Range<usize>,
        what: impl Into<String>,
        expected: impl Into<String>,
    ) -> Self {
        Self { place, what: what.into(), expected: expected.into() }
    }

    /// The same error in a text that begins `offset` bytes earlier.
    #[must_use]
    pub fn moved(mut self, offset: usize) -> Self {
        self.place = self.place.start + offset..self.place.end + offset;
        self
    }
}

impl std::fmt::Display for ParseError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}; expected {}", self.what, self.expected)
    }
}

impl std::error::Error for ParseError {}

/// Beyond this no quantity of a vehicle exists in any SI unit used here, whatever was meant.
const BEYOND_PHYSICAL: f64 = 1e12;

/// Reads `text` as a quantity of the given dimension and gives its value in the SI unit
/// (volts, amperes, ohms, watts, coulombs, metres, square metres, seconds, kelvin, newton metres,
/// newtons, or a plain ratio).
///
/// A comma or a point marks decimals. A unit is required, except for a ratio.
///
/// # Errors
///
/// A [`ParseError`] when there is no number, no unit, a unit of another dimension, or a number that
/// is not finite or too large to be physical.
///
/// # Example
///
/// ```
/// use units::{Dimension, parse};
/// assert_eq!(parse("0.4 mΩ", Dimension::Resistance), Ok(0.0004));
/// assert_eq!(parse("7 ft 6 in", Dimension::Length), Ok(2.286));
/// assert!(parse("10 N·m", Dimension::Length).is_err());
/// ```
pub fn parse(text: &str, dimension: Dimension) -> Result<f64, ParseError> {
    parse_from(text, dimension)
}

pub(crate) fn parse_from(text: &str, dimension: Dimension) -> Result<f64, ParseError> {
    let lead = text.len() - text.trim_start().len();
    let body = text.trim();
    if body.is_empty() {
        return Err(ParseError::new(0..text.len(), "is empty", wanted(dimension)));
    }
    let value = sum_of_parts(body, dimension).map_err(|error| error.moved(lead))?;
    if !value.is_finite() || value.abs() > BEYOND_PHYSICAL {
        return Err(ParseError::new(
            lead..lead + body.len(),
            "is larger than anything physical",
            wanted(dimension),
        ));
    }
    Ok(value)
}

fn wanted(dimension: Dimension) -> String {
    format!("{} such as `{}`", dimension.with_article(), dimension.example())
}

/// Reads one number with its unit, or several for a length in feet and inches.
fn sum_of_parts(body: &str, dimension: Dimension) -> Result<f64, ParseError> {
    let mut total = 0.0;
    let mut at = 0;
    loop {
        let rest = &body[at..];
        let start = at + (rest.len() - rest.trim_start().len());
        let Some((value, used)) = number(&body[start..]) else {
            return Err(ParseError::new(start..body.len(), "has no number", wanted(dimension)));
        };
        if ambiguous_thousands(&body[start..start + used]) {
            return Err(ParseError::new(
                start..start + used,
                "can be read as thousands or as decimals",
                "a point for decimals and nothing between thousands",
            ));
        }
        let unit_start = start + used;
        let unit_end = if dimension == Dimension::Length && at == 0 {
            next_number(body, unit_start)
        } else {
            body.len()
        };
        let unit = body[unit_start..unit_end].trim();
        let unit_place = unit_start..unit_end.max(unit_start);
        total += in_si(value, unit, unit_place, dimension)?;
        at = unit_end;
        if at >= body.len() {
            return Ok(total);
        }
    }
}

/// `1,200` may be one thousand two hundred or one and a fifth; `0,005` is plain.
fn ambiguous_thousands(number: &str) -> bool {
    let digits = number.trim_start_matches(['-', '+', '−']);
    digits.split_once(',').is_some_and(|(whole, decimals)| {
        decimals.len() == 3
            && decimals.bytes().all(|b| b.is_ascii_digit())
            && !whole.starts_with('0')
    })
}

/// The byte where a second number begins (`7 ft 6 in`), or the end.
fn next_number(body: &str, from: usize) -> usize {
    body[from..]
        .char_indices()
        .skip_while(|(_, c)| !c.is_alphabetic() && *c != '\'')
        .find(|(_, c)| c.is_ascii_digit())
        .map_or(body.len(), |(offset, _)| from + offset)
}

/// The number at the start of `text` and how many bytes it takes.
pub(crate) fn number(text: &str) -> Option<(f64, usize)> {
    let mut plain = String::with_capacity(text.len().min(32));
    let mut used = 0;
    let mut digits = 0;
    let mut seen_mark = false;
    let mut characters = text.char_indices().peekable();
    while let Some(&(at, c)) = characters.peek() {
        match c {
            '-' | '−' if at == 0 => plain.push('-'),
            '+' if at == 0 => {}
            '0'..='9' => {
                plain.push(c);
                digits += 1;
            }
            '.' | ',' if !seen_mark => {
                seen_mark = true;
                plain.push('.');
            }
            'e' | 'E' if digits > 0 => {
                let tail = &text[at + 1..];
                let sign = usize::from(tail.starts_with(['-', '+']));
                let exponent = tail[sign..].bytes().take_while(u8::is_ascii_digit).count();
                if exponent > 0 {
                    plain.push('e');
                    plain.push_str(&tail[..sign + exponent]);
                    used = at + 1 + sign + exponent;
                }
                break;
            }
            _ => break,
        }
        used = at + c.len_utf8();
        characters.next();
    }
    if digits == 0 {
        return None;
    }
    // A trailing mark belongs to what follows (`4. mm` is still four).
    plain.parse::<f64>().ok().map(|value| (value, used))
}

/// The same quantity in tidy writing: a point for decimals, one space, the unit's usual sign.
///
/// Number and unit stay those that were written: `35mm2` becomes `35 mm²` and never `0.000035 m²`.
/// Nothing for a text that cannot be read, or that has several parts (`7 ft 6 in`).
///
/// # Example
///
/// ```
/// use units::{Dimension, parse::tidy};
/// assert_eq!(tidy("18ft-lb", Dimension::Torque).as_deref(), Some("18 lbf·ft"));
/// assert_eq!(tidy("4,7 mohm", Dimension::Resistance).as_deref(), Some("4.7 mΩ"));
/// ```
#[must_use]
pub fn tidy(text: &str, dimension: Dimension) -> Option<String> {
    parse(text, dimension).ok()?;
    let body = text.trim();
    let (_, used) = number(body)?;
    let digits = body[..used].replace(',', ".").replace('−', "-");
    let digits = digits.trim_start_matches('+').trim_end_matches('.');
    let unit = spelling(body[used..].trim());
    let Unit { sign, .. } = unit_of(&unit, dimension)?;
    Some(format!("{digits} {sign}").trim_end().to_owned())
}

/// One spelling of the same unit: no blanks or dots, one micro, one ohm, one degree.
fn spelling(unit: &str) -> String {
    let mut plain = String::with_capacity(unit.len());
    for c in unit.chars() {
        match c {
            ' ' | '\u{a0}' | '\u{202f}' | '.' | '·' | '⋅' | '•' | '*' | '-' | '_' => {}
            '\u{b5}' | '\u{3bc}' => plain.push('u'),
            '\u{3a9}' | '\u{2126}' => plain.push_str("ohm"),
            '²' => plain.push('2'),
            '°' => plain.push_str("deg"),
            '′' => plain.push('\''),
            '″' => plain.push('"'),
            other => plain.push(other),
        }
    }
    plain
}

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
const POUND_FORCE: f64 = 4.448_221_615_260_5;
const KILOGRAM_FORCE: f64 = 9.806_65;

/// A unit: its usual sign, its factor to SI and the spellings by which people mean it.
struct Unit {
    sign: &'static str,
    factor: f64,
    spellings: &'static [&'static str],
}

/// The units of a dimension; the spelling that fits exactly wins, then without case.
#[rustfmt::skip]
fn table(dimension: Dimension) -> &'static [Unit] {
    match dimension {
        Dimension::Voltage => &[Unit { sign: "V", factor: 1.0, spellings: &["V", "volt", "volts", "Vdc"] }, Unit { sign: "mV", factor: 1e-3, spellings: &["mV", "millivolts"] }, Unit { sign: "µV", factor: 1e-6, spellings: &["uV"] }, Unit { sign: "kV", factor: 1e3, spellings: &["kV"] }],
        Dimension::Current => &[Unit { sign: "A", factor: 1.0, spellings: &["A", "amp", "amps", "ampere", "amperes"] }, Unit { sign: "mA", factor: 1e-3, spellings: &["mA"] }, Unit { sign: "µA", factor: 1e-6, spellings: &["uA"] }, Unit { sign: "kA", factor: 1e3, spellings: &["kA"] }],
        Dimension::Resistance => &[Unit { sign: "Ω", factor: 1.0, spellings: &["ohm", "ohms", "R"] }, Unit { sign: "mΩ", factor: 1e-3, spellings: &["mohm", "milliohm", "milliohms", "mohms"] }, Unit { sign: "µΩ", factor: 1e-6, spellings: &["uohm", "microohm", "microohms"] }, Unit { sign: "kΩ", factor: 1e3, spellings: &["kohm"] }, Unit { sign: "MΩ", factor: 1e6, spellings: &["Mohm"] }, Unit { sign: "GΩ", factor: 1e9, spellings: &["Gohm"] }],
        Dimension::Power => &[Unit { sign: "W", factor: 1.0, spellings: &["W", "watt", "watts"] }, Unit { sign: "mW", factor: 1e-3, spellings: &["mW"] }, Unit { sign: "µW", factor: 1e-6, spellings: &["uW"] }, Unit { sign: "kW", factor: 1e3, spellings: &["kW"] }, Unit { sign: "MW", factor: 1e6, spellings: &["MW"] }],
        Dimension::Charge => &[Unit { sign: "Ah", factor: 3600.0, spellings: &["Ah", "amphours", "amphour"] }, Unit { sign: "mAh", factor: 3.6, spellings: &["mAh"] }, Unit { sign: "kAh", factor: 3.6e6, spellings: &["kAh"] }, Unit { sign: "C", factor: 1.0, spellings: &["C"] }],
        Dimension::Length => &[Unit { sign: "m", factor: 1.0, spellings: &["m", "metre", "metres", "meter", "meters"] }, Unit { sign: "cm", factor: 1e-2, spellings: &["cm"] }, Unit { sign: "mm", factor: 1e-3, spellings: &["mm"] }, Unit { sign: "km", factor: 1e3, spellings: &["km"] }, Unit { sign: "µm", factor: 1e-6, spellings: &["um"] }, Unit { sign: "in", factor: INCH, spellings: &["in", "\"", "inch", "inches"] }, Unit { sign: "ft", factor: FOOT, spellings: &["ft", "'", "foot", "feet"] }, Unit { sign: "yd", factor: 3.0 * FOOT, spellings: &["yd"] }],
        Dimension::Area => &[Unit { sign: "mm²", factor: 1e-6, spellings: &["mm2", "sqmm", "square"] }, Unit { sign: "cm²", factor: 1e-4, spellings: &["cm2"] }, Unit { sign: "m²", factor: 1.0, spellings: &["m2"] }, Unit { sign: "cmil", factor: SQUARE_METRES_PER_CIRCULAR_MIL, spellings: &["cmil", "cmils"] }, Unit { sign: "kcmil", factor: 1e3 * SQUARE_METRES_PER_CIRCULAR_MIL, spellings: &["kcmil", "MCM"] }, Unit { sign: "in²", factor: INCH * INCH, spellings: &["in2"] }],
        Dimension::Time => &[Unit { sign: "s", factor: 1.0, spellings: &["s", "sec", "second", "seconds"] }, Unit { sign: "ms", factor: 1e-3, spellings: &["ms"] }, Unit { sign: "min", factor: 60.0, spellings: &["min", "minute", "minutes"] }, Unit { sign: "h", factor: 3600.0, spellings: &["h", "hour", "hours", "hr"] }, Unit { sign: "days", factor: 86_400.0, spellings: &["days"] }],
        Dimension::Temperature => &[Unit { sign: "°C", factor: 1.0, spellings: &["degC", "C", "celsius"] }, Unit { sign: "°F", factor: 1.0, spellings: &["degF", "F", "fahrenheit"] }, Unit { sign: "K", factor: 1.0, spellings: &["K"] }],
        Dimension::Torque => &[Unit { sign: "N·m", factor: 1.0, spellings: &["Nm"] }, Unit { sign: "kN·m", factor: 1e3, spellings: &["kNm"] }, Unit { sign: "mNm", factor: 1e-3, spellings: &["mNm"] }, Unit { sign: "cNm", factor: 1e-2, spellings: &["cNm"] }, Unit { sign: "lbf·ft", factor: POUND_FORCE * FOOT, spellings: &["lbfft", "ftlbf", "ftlb", "lbft", "ftlbs"] }, Unit { sign: "lbf·in", factor: POUND_FORCE * INCH, spellings: &["lbfin", "inlbf", "inlb", "lbin", "inlbs"] }, Unit { sign: "kgf·m", factor: KILOGRAM_FORCE, spellings: &["kgfm", "kgm"] }, Unit { sign: "kgf·cm", factor: KILOGRAM_FORCE * 1e-2, spellings: &["kgfcm"] }],
        Dimension::Force => &[Unit { sign: "N", factor: 1.0, spellings: &["N"] }, Unit { sign: "kN", factor: 1e3, spellings: &["kN"] }, Unit { sign: "lbf", factor: POUND_FORCE, spellings: &["lbf", "lb", "lbs"] }],
        Dimension::Ratio => &[Unit { sign: "%", factor: 1e-2, spellings: &["%", "percent"] }, Unit { sign: "", factor: 1.0, spellings: &[""] }],
    }
}

fn unit_of(spelling: &str, dimension: Dimension) -> Option<&'static Unit> {
    let units = table(dimension);
    units.iter().find(|unit| unit.spellings.contains(&spelling)).or_else(|| {
        let spellings =
            units.iter().flat_map(|unit| unit.spellings.iter().map(move |own| (own, unit)));
        let mut close = spellings.filter(|(own, _)| own.eq_ignore_ascii_case(spelling));
        let (_, first) = close.next()?;
        // `mohm` and `Mohm` differ by case alone: then case decides and nothing is guessed.
        close.next().is_none().then_some(first)
    })
}

fn in_si(
    value: f64,
    unit: &str,
    place: Range<usize>,
    dimension: Dimension,
) -> Result<f64, ParseError> {
    let plain = spelling(unit);
    let Some(Unit { sign, factor, .. }) = unit_of(&plain, dimension) else {
        if plain.is_empty() {
            return Err(ParseError::new(place, "has no unit", wanted(dimension)));
        }
        let other = Dimension::ALL
            .into_iter()
            .find(|other| *other != dimension && unit_of(&plain, *other).is_some());
        let what = match other {
            Some(other) => format!("is {}", other.with_article()),
            None => format!("has the unknown unit `{unit}`"),
        };
        return Err(ParseError::new(place, what, wanted(dimension)));
    };
    Ok(match *sign {
        "°C" => value + ZERO_CELSIUS.0,
        "°F" => (value - 32.0) / 1.8 + ZERO_CELSIUS.0,
        // Dividing by a whole number of parts keeps `0.4 mΩ` at 0.0004 to the last digit.
        _ if *factor < 1.0 && (1.0 / factor).fract() == 0.0 => value / (1.0 / factor),
        _ => value * factor,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, dimension: Dimension, expected: f64) {
        let value = parse(text, dimension).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert!((value - expected).abs() <= 1e-12 * expected.abs().max(1e-9), "{text}: {value}");
    }

    mod published {
        use super::*;

        /// Conversion factors of NIST SP 811, appendix B.8.
        #[test]
        fn torques_and_lengths_convert_by_nist_sp_811() {
            check("89 lbf·in", Dimension::Torque, 89.0 * 0.112_984_829_027_616_7);
            check("18 ft-lb", Dimension::Torque, 18.0 * 1.355_817_948_331_400_4);
            check("31 in", Dimension::Length, 0.7874);
            check("77 °F", Dimension::Temperature, 298.15);
        }
    }

    #[test]
    fn quantities_are_read_as_people_write_them() {
        check("0.8 m", Dimension::Length, 0.8);
        check("0,8m", Dimension::Length, 0.8);
        check("7 ft 6 in", Dimension::Length, 2.286);
        check("7' 6\"", Dimension::Length, 2.286);
        check("10 N·m", Dimension::Torque, 10.0);
        check("10 Nm", Dimension::Torque, 10.0);
        check("10 N m", Dimension::Torque, 10.0);
        check("14.2 V", Dimension::Voltage, 14.2);
        check("350 mv", Dimension::Voltage, 0.35);
        check("0.4 mΩ", Dimension::Resistance, 0.0004);
        check("0.4 m\u{2126}", Dimension::Resistance, 0.0004);
        check("30 μΩ", Dimension::Resistance, 30e-6);
        check("4,7 mohm", Dimension::Resistance, 0.0047);
        check("85 Ah", Dimension::Charge, 306_000.0);
        check("25 °C", Dimension::Temperature, 298.15);
        check("−5 °C", Dimension::Temperature, 268.15);
        check("80 %", Dimension::Ratio, 0.8);
        check("0.8", Dimension::Ratio, 0.8);
        check("1e-3 Ω", Dimension::Resistance, 1e-3);
        check("10 min", Dimension::Time, 600.0);
        check("35 square", Dimension::Area, 35e-6);
    }

    #[test]
    fn what_is_no_quantity_is_refused_with_its_place() {
        let cases = [
            ("", Dimension::Length, "is empty", 0),
            ("   ", Dimension::Length, "is empty", 0),
            ("5", Dimension::Length, "has no unit", 1),
            ("10 N·m", Dimension::Length, "is a torque", 2),
            ("10 parsecs", Dimension::Length, "has the unknown unit `parsecs`", 2),
            ("long", Dimension::Length, "has no number", 0),
            ("1,200 A", Dimension::Current, "can be read as thousands or as decimals", 0),
            ("1e300 V", Dimension::Voltage, "is larger than anything physical", 0),
            ("1e999 V", Dimension::Voltage, "is larger than anything physical", 0),
            ("NaN V", Dimension::Voltage, "has no number", 0),
            ("inf V", Dimension::Voltage, "has no number", 0),
            ("5 Mohm m", Dimension::Resistance, "has the unknown unit `Mohm m`", 1),
        ];
        for (text, dimension, what, start) in cases {
            let error = parse(text, dimension).expect_err(text);
            assert_eq!(error.what, what, "{text}");
            assert_eq!(error.place.start, start, "{text}");
        }
    }

    mod laws {
        use super::*;
        use proptest::prelude::*;

        proptest! {
            #[test]
            fn no_text_makes_the_reader_panic(text in "\\PC{0,24}") {
                for dimension in Dimension::ALL {
                    if let Err(error) = parse(&text, dimension) {
                        prop_assert!(text.get(error.place.clone()).is_some(), "{:?}", error);
                    }
                }
                let _ = crate::WireSize::parse(&text);
            }

            #[test]
            fn tidying_changes_the_writing_and_not_the_quantity(value in 0.001_f64..1e4, unit in 0_usize..200) {
                for dimension in Dimension::ALL {
                    let all: Vec<&str> =
                        table(dimension).iter().flat_map(|own| own.spellings).copied().collect();
                    let text = format!("{value}{}", all[unit % all.len()]);
                    // Ten thousand gigaohms are more than anything physical and have no tidy writing.
                    if parse(&text, dimension).is_err() { continue; }
                    let tidied = tidy(&text, dimension).expect("a known unit");
                    prop_assert_eq!(parse(&tidied, dimension), parse(&text, dimension), "{} {}", text, tidied);
                    let twice = tidy(&tidied, dimension);
                    prop_assert_eq!(twice, Some(tidied));
                }
            }

            #[test]
            fn a_number_survives_writing_and_reading(value in -1e6_f64..1e6) {
                prop_assert_eq!(parse(&format!("{value} V"), Dimension::Voltage), Ok(value));
            }
        }
    }
}
