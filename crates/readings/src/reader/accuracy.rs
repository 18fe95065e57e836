//! How accurate a reading is: what an instrument's maker prints, range by range.

use std::collections::BTreeMap;
use std::ops::Range;

use model::{Accuracy, Code, Filled, Problem};
use units::{Amperes, Dimension, Ohms, ParseError, Ratio, Volts, print};

use super::words::number_length;
use file::document::Entry;

/// One range of an instrument.
#[derive(Debug, Clone)]
struct Span {
    up_to: Option<f64>,
    share: Ratio,
    counts: u32,
    resolution: Option<f64>,
}

/// The instruments of a file.
#[derive(Debug, Default)]
pub(super) struct Instruments(BTreeMap<String, BTreeMap<Dimension, Vec<Span>>>);

const EXPECTED: &str =
    "a share of the reading and counts of the last digit, such as `0.5 % + 2` or `1.5 %`";

impl Instruments {
    /// Reads the tables of instruments.
    pub(super) fn read(root: &Entry<'_>, problems: &mut Vec<Problem>) -> Self {
        let mut all = BTreeMap::new();
        for (name, entry) in root.tables("instruments") {
            let mut own = BTreeMap::new();
            for (key, dimension) in [
                ("volts", Dimension::Voltage),
                ("amps", Dimension::Current),
                ("ohms", Dimension::Resistance),
            ] {
                let mut spans: Vec<Span> = entry
                    .many(key)
                    .iter()
                    .filter_map(|range| span(range, dimension, problems))
                    .collect();
                spans.sort_by(|a, b| ceiling(a).total_cmp(&ceiling(b)));
                if !spans.is_empty() {
                    own.insert(dimension, spans);
                }
            }
            all.insert(name.name.to_owned(), own);
        }
        Self(all)
    }

    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }

    /// The accuracy of an instrument at a value; what was taken instead where nothing is said.
    pub(super) fn accuracy(
        &self,
        name: Option<&str>,
        dimension: Dimension,
        value: f64,
    ) -> (Accuracy, Option<Filled>) {
        let usual = usual(dimension, value);
        let spans = name.and_then(|name| self.0.get(name)).and_then(|own| own.get(&dimension));
        let Some(spans) = spans else { return (usual, Some(assumed(name, dimension, usual))) };
        let fitting = spans.iter().find(|span| ceiling(span) >= value.abs()).or(spans.last());
        let Some(span) = fitting else { return (usual, Some(assumed(name, dimension, usual))) };
        let accuracy = Accuracy {
            share: span.share,
            counts: span.counts,
            resolution: span.resolution.unwrap_or(usual.resolution),
        };
        let unknown = span.resolution.is_none() && span.counts > 0;
        (accuracy, unknown.then(|| last_digit(name, dimension, usual.resolution)))
    }

    /// The largest value that an instrument shows, when every range says so.
    pub(super) fn largest(&self, name: &str, dimension: Dimension) -> Option<f64> {
        self.0.get(name)?.get(&dimension)?.last().map(ceiling).filter(|most| most.is_finite())
    }
}

fn ceiling(span: &Span) -> f64 {
    span.up_to.unwrap_or(f64::INFINITY)
}

fn span(range: &Entry<'_>, dimension: Dimension, problems: &mut Vec<Problem>) -> Option<Span> {
    let text = range.text("accuracy")?;
    match promise(text) {
        Ok((share, counts)) => Some(Span {
            up_to: range.quantity("up-to", dimension),
            share,
            counts,
            resolution: range.quantity("resolution", dimension),
        }),
        Err(error) => {
            let whole = range.place_of("accuracy");
            // Inside the quotes, where the text is written without escapes.
            let place = if whole.len() == text.len() + 2 {
                whole.start + 1 + error.place.start..whole.start + 1 + error.place.end
            } else {
                whole
            };
            problems.push(Problem::error(
                Code::AccuracyUnreadable,
                place,
                format!("`{text}` {}", error.what),
                error.expected,
            ));
            None
        }
    }
}

fn usual(dimension: Dimension, value: f64) -> Accuracy {
    match dimension {
        Dimension::Current => Accuracy::some_clamp(Amperes(value)),
        Dimension::Resistance => Accuracy::some_ohmmeter(Ohms(value)),
        _ => Accuracy::some_voltmeter(Volts(value)),
    }
}

fn meter(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Current => "amps",
        Dimension::Resistance => "ohms",
        _ => "volts",
    }
}

fn assumed(name: Option<&str>, dimension: Dimension, usual: Accuracy) -> Filled {
    let what = match dimension {
        Dimension::Current => "a clamp meter about which nothing is said (from memory)",
        _ => "some multimeter about which nothing is said (common practice)",
    };
    Filled {
        key: format!("instruments.{}.{}", name.unwrap_or("unnamed"), meter(dimension)),
        value: format!("±({} + {} counts)", print::percent(usual.share), usual.counts),
        why: what.to_owned(),
    }
}

fn last_digit(name: Option<&str>, dimension: Dimension, resolution: f64) -> Filled {
    Filled {
        key: format!("instruments.{}.{}.resolution", name.unwrap_or("unnamed"), meter(dimension)),
        value: match dimension {
            Dimension::Current => print::amperes(Amperes(resolution)),
            Dimension::Resistance => print::ohms(Ohms(resolution)),
            _ => print::volts(Volts(resolution)),
        },
        why: "the last digit of some multimeter (common practice)".to_owned(),
    }
}

/// Reads `0.5 % + 2`, `±(0.5% + 2)`, `0.5 % + 2 counts`, `1.5%`.
fn promise(text: &str) -> Result<(Ratio, u32), ParseError> {
    let fault = |place: Range<usize>, what: &str| ParseError {
        place,
        what: what.to_owned(),
        expected: EXPECTED.to_owned(),
    };
    let whole = 0..text.len();
    let (mut share, mut counts) = (None, None);
    let mut at = 0;
    let mut joined = true;
    while at < text.len() {
        let rest = &text[at..];
        let blank = rest.len() - rest.trim_start_matches([' ', '\u{a0}', '(', ')', '±']).len();
        if blank > 0 {
            at += blank;
        } else if let Some(signs) = ["+/-", "+-"].iter().find(|sign| rest.starts_with(**sign)) {
            at += signs.len();
        } else if rest.starts_with('+') && !joined {
            joined = true;
            at += 1;
        } else {
            let length = number_length(rest);
            if length == 0 || !joined || rest.starts_with(['-', '−', '+']) {
                return Err(fault(at..text.len(), "is no accuracy"));
            }
            let digits = &rest[..length];
            let tail = &rest[length..];
            let words: &str = tail.split(['+', '(', ')']).next().unwrap_or_default();
            let place = at..at + length + words.trim_end().len();
            if let Some(what) = words.trim().strip_prefix('%') {
                let value = units::parse(&format!("{digits} %"), Dimension::Ratio)
                    .map_err(|error| fault(place.clone(), &error.what))?;
                let known =
                    ["", "rdg", "rdg.", "reading", "of reading", "of the reading", "of rdg"];
                if share.is_some() || value > 1.0 || !known.contains(&what.trim()) {
                    return Err(fault(place, "has a share that was not understood"));
                }
                share = Some(Ratio(value));
            } else {
                let known = ["", "count", "counts", "digit", "digits", "dgt", "dgts", "d", "lsd"];
                let value = digits.parse::<u32>().ok().filter(|_| counts.is_none());
                match value.filter(|value| *value < 100_000 && known.contains(&words.trim())) {
                    Some(value) => counts = Some(value),
                    None => return Err(fault(place, "has counts that were not understood")),
                }
            }
            joined = false;
            at += length + words.len();
        }
    }
    if joined {
        return Err(fault(whole, if share.is_none() { "is no accuracy" } else { "is cut short" }));
    }
    // Counts alone are an accuracy; a bare number may be either and is refused.
    match (share, counts) {
        (None, Some(_)) if text.trim().bytes().all(|b| b.is_ascii_digit()) => {
            Err(fault(whole, "says neither per cent nor counts"))
        }
        _ => Ok((share.unwrap_or(Ratio(0.0)), counts.unwrap_or(0))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_accuracy_is_read_in_every_way_that_makers_print_it() {
        for (text, share, counts) in [
            ("0.5 % + 2", 0.005, 2),
            ("±(0.5% + 2)", 0.005, 2),
            ("± (0,5 % + 2)", 0.005, 2),
            ("+/-(0.5 % + 2 digits)", 0.005, 2),
            ("0.5 % + 2 counts", 0.005, 2),
            ("0.5 % of reading + 1 count", 0.005, 1),
            ("0.5%+2dgt", 0.005, 2),
            ("1.5%", 0.015, 0),
            ("±1.5 %", 0.015, 0),
            ("3 counts", 0.0, 3),
        ] {
            let (read, digits) = promise(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert!((read.0 - share).abs() < 1e-12, "{text}: {read:?}");
            assert_eq!(digits, counts, "{text}");
        }
    }

    #[test]
    fn what_is_no_accuracy_is_refused_with_its_place() {
        for (text, start) in [
            ("good", 0),
            ("", 0),
            ("2", 0),
            ("0.5 % +", 0),
            ("0.5 % + 2 mV", 8),
            ("0.5 % + 2.5", 8),
            ("0.5 % + -2", 8),
            ("150 % + 2", 0),
            ("0.5 % + 1 %", 8),
            ("0.5 % 2", 0),
        ] {
            let error = promise(text).expect_err(text);
            assert_eq!(error.place.start, start, "{text}: {error}");
            assert!(text.get(error.place.clone()).is_some(), "{text}");
        }
    }
}
