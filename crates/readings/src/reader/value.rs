//! Values as people tell them: `0.41 V`, `0.3 to 0.8 V`, `about 0.4`, `no drop`, `min 8.9 V`, `better`.

use std::ops::Range;

use model::{Code, Problem, Told};
use units::Dimension;

use super::none::without_a_number;
use super::over_range::take_pegged;
use super::words::{Sort, Token, tokens};

/// What was told, and of what kind if a unit or a word says so.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Value {
    pub told: Told,
    /// True when a plus or minus stood before it.
    pub signed: bool,
    pub dimension: Option<Dimension>,
    pub place: Range<usize>,
    /// True when the words say that it was lost, as `no drop` does.
    pub loss: bool,
}

const ABOUT: &[&str] = &[
    "about",
    "around",
    "roughly",
    "approx",
    "approximately",
    "circa",
    "ca",
    "nearly",
    "almost",
    "typically",
    "usually",
    "mostly",
    "essentially",
    "basically",
    "practically",
    "virtually",
    "~",
    "≈",
];
const LEAST: &[&str] = &["<", "≤", "<=", "under", "below", "less"];
const MOST: &[&str] = &[">", "≥", ">=", "over", "above", "more"];
const HELD: &[&str] = &[
    "min", "minimum", "max", "maximum", "lowest", "highest", "peak", "hold", "held", "min-hold",
    "max-hold",
];
const GAUGE: &[&str] = &["gauge", "dash", "dashboard"];
const RANGE: &[&str] = &["to", "-", "–", "—", "−", "..", "...", "…"];
/// Words between a qualifier and its number that carry nothing.
const FILLING: &[&str] = &["of", "than", "a", "bit", "little", "just", "value"];

const EXPECTED: &str =
    "a value such as `0.41 V`, `0.3 to 0.8 V`, `about 0.4 V`, `no drop`, `min 8.9 V` or `< 10 mV`";

/// What joins words to one longer word.
const JOINTS: [char; 8] = ['-', '‐', '–', '_', '\'', '’', '.', '*'];

/// What is said of how much a value is, and changes none of it.
const EMPHASIS: &[&str] = &[
    "whopping",
    "massive",
    "huge",
    "mere",
    "full",
    "solid",
    "healthy",
    "measly",
    "paltry",
    "whole",
    "good",
    "steady",
    "constant",
    "rock",
    "nice",
    "meagre",
    "lousy",
    "miserable",
    "pathetic",
    "respectable",
];
const ZERO: &[&str] = &["zero", "nil"];

/// Words right in front of the value that only say what somebody thinks of it.
pub(super) fn takes_emphasis(words: &[Token<'_>]) -> Option<Range<usize>> {
    let number = words.iter().position(|own| own.sort == Sort::Number || own.is(ZERO))?;
    let count = words[..number].iter().rev().take_while(|own| own.is(EMPHASIS)).count();
    (count > 0).then_some(number - count..number)
}

/// `Zero` alone, which is a value only between two places and where no number is.
pub(super) fn zero(words: &mut Vec<Token<'_>>) -> Option<Value> {
    let at = words.iter().position(|own| own.is(ZERO))?;
    if words.iter().filter(|own| own.sort == Sort::Name).count() != 2 {
        return None;
    }
    let (begin, marks) = before(words, at);
    if marks.least || marks.most || marks.held {
        return None;
    }
    let place = words[begin].place.start..words[at].place.end;
    words.drain(begin..=at);
    let dimension = remove_spelled_out(words);
    Some(Value { told: Told::Nothing, signed: false, dimension, place, loss: false })
}

/// The largest magnitude that was told.
pub(super) fn most(told: Told) -> f64 {
    match told {
        Told::Value(value)
        | Told::About(value)
        | Told::Held(value)
        | Told::AtLeast(value)
        | Told::Gauge(value) => value.abs(),
        Told::Between(a, b) => a.abs().max(b.abs()),
        Told::Nothing | Told::Change(_) => 0.0,
    }
}

/// The value of a text that holds nothing else.
///
/// Places count from the beginning of the text.
pub(super) fn of_text(text: &str) -> Result<Value, Problem> {
    let mut words = tokens(text, &|_| false);
    let value = take(&mut words, false)?;
    words.retain(|word| !word.is(&["a", "so", "or", "reading", "is", "was"]));
    let unread = words.first().map(|word| word.place.clone());
    match (value, unread) {
        (Some(value), None) => Ok(value),
        (None, _) => Err(unreadable(0..text.len(), format!("`{}` is no value", text.trim()))),
        (Some(_), Some(place)) => {
            let what = format!("`{}` in the value was not understood", &text[place.clone()]);
            Err(unreadable(place, what))
        }
    }
}

fn unreadable(place: Range<usize>, what: String) -> Problem {
    Problem::error(Code::ValueUnreadable, place, what, EXPECTED)
}

/// Takes the value out of a line's words; the words that are left say where and when. A trial with
/// a lead or a hand changes something or nothing.
pub(super) fn take(words: &mut Vec<Token<'_>>, trial: bool) -> Result<Option<Value>, Problem> {
    let all = words.len();
    words.retain(|word| !word.is(GAUGE));
    let gauge = words.len() < all;
    let pegged = take_pegged(words);
    let Some(at) = words.iter().position(|word| word.sort == Sort::Number) else {
        return Ok(without_a_number(words, trial));
    };
    let first = one(words, at)?;
    let mut end = first.end;
    let mut second = None;
    let joined = words.get(end);
    let next_is_number = words.get(end + 1).is_some_and(|word| word.sort == Sort::Number);
    let spread = joined.is_some_and(|word| word.is(&["±", "+/-", "+-"]));
    let between = words[..at].last().is_some_and(|word| word.is(&["between"]))
        && joined.is_some_and(|word| word.is(&["and"]));
    if next_is_number && (spread || between || joined.is_some_and(|word| word.is(RANGE))) {
        let other = one(words, end + 1)?;
        end = other.end;
        second = Some(other);
    }
    let (mut begin, mut marks) = before(words, at);
    if between && second.is_some() {
        begin -= 1;
    }
    while let Some(word) = words.get(end).filter(|word| word.is(HELD)) {
        marks.held |= word.is(HELD);
        end += 1;
    }
    if words.get(end).is_some_and(|word| word.is(&["or"]))
        && words.get(end + 1).is_some_and(|word| word.is(&["so"]))
    {
        marks.about = true;
        end += 2;
    }
    marks.most |= pegged;
    let mut dimension = match &second {
        Some(second) => second.unit.or(first.unit).map(|(dimension, _)| dimension),
        None => first.unit.map(|(dimension, _)| dimension),
    };
    if dimension.is_none()
        && let Some(word) = begin.checked_sub(1).and_then(|at| words.get(at))
        && let Some(named) = spelled_out(word)
    {
        dimension = Some(named);
        begin -= 1;
    }
    let place = words[begin].place.start..words[end - 1].place.end;
    // A range has one unit for both numbers unless each has its own.
    let unit = dimension.map_or("V", unit_of);
    let a =
        first.si(second.as_ref().and_then(|second| second.unit_text.as_deref()).unwrap_or(unit))?;
    let b = second
        .as_ref()
        .map(|second| second.si(first.unit_text.as_deref().unwrap_or(unit)))
        .transpose()?;
    if let (Some(second), Some((own, _))) = (&second, first.unit)
        && second.unit.is_none_or(|(other, _)| other != own)
    {
        return Err(unreadable(
            place,
            "the second value has another unit than the first".to_owned(),
        )
        .hint("one unit behind both, or one behind each: `0.3 to 0.8 V`, `300 mV to 0.8 V`"));
    }
    // Amperes above a clamp's range say much; volts above something say next to nothing.
    let current = dimension == Some(Dimension::Current);
    let least = (current && marks.most && !marks.least && b.is_none()).then_some(Told::AtLeast(a));
    let told = least.or_else(|| marks.told(gauge, spread, a, b)).ok_or_else(|| {
        unreadable(place.clone(), "a value with one open end says too little".to_owned())
            .hint("write what the meter showed, as a range or as `about`")
    })?;
    words.drain(begin..end);
    if let Some(extra) = words.iter().find(|word| word.sort == Sort::Number) {
        return Err(Problem::error(
            Code::TwoValues,
            extra.place.clone(),
            format!("`{}` is a second value", extra.text),
            "one reading a line; a range is written `0.3 to 0.8 V`",
        ));
    }
    let dimension = dimension.or_else(|| remove_spelled_out(words));
    let signed = first.is_signed() || second.as_ref().is_some_and(One::is_signed);
    Ok(Some(Value { told, signed, dimension, place, loss: false }))
}

/// What the words around a number make of it.
#[derive(Default)]
struct Marks {
    about: bool,
    held: bool,
    least: bool,
    most: bool,
}

impl Marks {
    fn told(&self, gauge: bool, spread: bool, a: f64, b: Option<f64>) -> Option<Told> {
        if let Some(b) = b {
            let (a, b) = if spread { (a - b.abs(), a + b.abs()) } else { (a, b) };
            return (!self.least && !self.most).then_some(Told::Between(a.min(b), a.max(b)));
        }
        match self {
            // "A bit over half a volt" is roughly half a volt.
            Self { about: true, .. } => Some(Told::About(a)),
            Self { most: true, .. } => None,
            // Below a value means between nothing and it, whichever way round the probes were.
            Self { least: true, .. } => Some(Told::Between(a.min(0.0), a.max(0.0))),
            _ if gauge => Some(Told::Gauge(a)),
            Self { held: true, .. } => Some(Told::Held(a)),
            _ => Some(Told::Value(a)),
        }
    }
}

/// The qualifiers in front of a number, and where they begin.
fn before(words: &[Token<'_>], at: usize) -> (usize, Marks) {
    let mut marks = Marks::default();
    let mut begin = at;
    let mut filling = 0;
    for word in words[..at].iter().rev() {
        if word.is(ABOUT) || (word.is(&["bit", "little", "just"]) && (marks.most || marks.least)) {
            marks.about = true;
        } else if word.is(HELD) {
            marks.held = true;
        } else if word.is(LEAST) || (word.is(&["most"]) && after_at(words, word)) {
            marks.least = true;
        } else if word.is(MOST) {
            marks.most = true;
        } else if word.is(FILLING) {
            filling += 1;
            continue;
        } else {
            break;
        }
        // `at most` are two words.
        begin -= 1 + filling + usize::from(word.is(&["most"]));
        filling = 0;
    }
    (begin, marks)
}

/// True for a word right behind `at`.
fn after_at(words: &[Token<'_>], word: &Token<'_>) -> bool {
    words.windows(2).any(|pair| pair[0].is(&["at"]) && pair[1].place == word.place)
}

/// A number with the unit behind it.
struct One<'t> {
    digits: &'t str,
    place: Range<usize>,
    unit: Option<(Dimension, f64)>,
    unit_text: Option<String>,
    /// The word after it.
    end: usize,
}

impl One<'_> {
    fn is_signed(&self) -> bool {
        self.digits.starts_with(['+', '-', '−'])
    }

    /// The value in its SI unit, with this unit if it has none of its own.
    fn si(&self, otherwise: &str) -> Result<f64, Problem> {
        if let Some((_, value)) = self.unit {
            return Ok(value);
        }
        let dimension = electrical(otherwise).unwrap_or(Dimension::Voltage);
        units::parse(&format!("{}{otherwise}", self.digits), dimension)
            .map_err(|error| told_by(&error, self.digits, self.place.clone()))
    }
}

fn told_by(error: &units::ParseError, text: &str, place: Range<usize>) -> Problem {
    Problem::error(
        Code::ValueUnreadable,
        place,
        format!("`{text}` {}", error.what),
        error.expected.clone(),
    )
}

fn one<'t>(words: &[Token<'t>], at: usize) -> Result<One<'t>, Problem> {
    let number = &words[at];
    let mut found = One {
        digits: number.text,
        place: number.place.clone(),
        unit: None,
        unit_text: None,
        end: at + 1,
    };
    let unit = |word: &&Token<'_>| word.sort == Sort::Word || word.text == "%";
    let Some(word) = words.get(at + 1).filter(unit) else {
        return Ok(found);
    };
    let whole = || number.place.start..word.place.end;
    let text = format!("{} {}", number.text, word.text);
    if let Some(end) = longer_word(words, at + 1) {
        let place = number.place.start..end.place.end;
        let what = format!("`{}` runs on behind its unit", words_between(&words[at..], end));
        return Err(unreadable(place, what)
            .hint("a unit ends its word: `9.1V` or `9.1 V`; a remark stands behind `#`"));
    }
    match electrical(word.text) {
        Some(dimension) => {
            let value =
                units::parse(&text, dimension).map_err(|error| told_by(&error, &text, whole()))?;
            found.unit = Some((dimension, value));
            found.unit_text = Some(word.text.to_owned());
            found.end = at + 2;
        }
        None if word.attached || is_another_unit(word.text) => {
            if let Err(error) = units::parse(&text, Dimension::Voltage) {
                return Err(told_by(&error, &text, whole()));
            }
        }
        None => {}
    }
    Ok(found)
}

/// The last piece of a word that goes on behind what may be a unit: `12V-system`, `10A_fuse`.
fn longer_word<'w, 't>(words: &'w [Token<'t>], at: usize) -> Option<&'w Token<'t>> {
    let mut runs = words[at + 1..].iter().take_while(|word| word.attached);
    let joint = runs.next().filter(|word| word.text.chars().all(|c| JOINTS.contains(&c)))?;
    let next = words[at + 1..].iter().take_while(|word| word.attached).last();
    let letters = words[at + 1..]
        .iter()
        .take_while(|word| word.attached)
        .any(|word| word.text.starts_with(char::is_alphabetic));
    let number = words.get(at + 2).is_some_and(|word| word.sort == Sort::Number);
    (letters && !number).then(|| next.unwrap_or(joint))
}

fn words_between(words: &[Token<'_>], end: &Token<'_>) -> String {
    let until = words.iter().position(|word| word.place == end.place).unwrap_or(0);
    words[..=until].iter().map(|word| word.text).collect()
}

/// Volts, amperes or ohms, if the word is such a unit.
pub(super) fn electrical(word: &str) -> Option<Dimension> {
    [Dimension::Voltage, Dimension::Current, Dimension::Resistance]
        .into_iter()
        .find(|dimension| units::parse(&format!("1 {word}"), *dimension).is_ok())
}

fn is_another_unit(word: &str) -> bool {
    [Dimension::Power, Dimension::Charge, Dimension::Ratio, Dimension::Torque]
        .into_iter()
        .any(|dimension| units::parse(&format!("1 {word}"), dimension).is_ok())
}

fn unit_of(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Current => "A",
        Dimension::Resistance => "ohm",
        _ => "V",
    }
}

/// A quantity named by a word of its own: `ohms 0.3`, `volts 12.4`.
fn spelled_out(word: &Token<'_>) -> Option<Dimension> {
    if word.is(&["volts", "volt", "voltage"]) {
        Some(Dimension::Voltage)
    } else if word.is(&["amps", "amp", "amperes", "ampere", "current"]) {
        Some(Dimension::Current)
    } else if word.is(&["ohms", "ohm", "Ω", "resistance", "continuity"]) {
        Some(Dimension::Resistance)
    } else {
        None
    }
}

pub(super) fn remove_spelled_out(words: &mut Vec<Token<'_>>) -> Option<Dimension> {
    let at = words.iter().position(|word| spelled_out(word).is_some())?;
    spelled_out(&words.remove(at))
}
