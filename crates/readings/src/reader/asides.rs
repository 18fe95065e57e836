//! Numbers beside the value: how fast the engine turned, for how long, which test it was.

use super::value::electrical;
use super::words::{Sort, Token};

const SPEED: &[&str] = &["rpm", "revs", "rev/min", "r/min", "rev", "revolutions"];
const SPAN: &[&str] = &[
    "second", "seconds", "sec", "secs", "s", "minute", "minutes", "mins", "hour", "hours", "hr",
    "hrs", "h", "day", "days", "week", "weeks", "month", "months", "times", "tries", "attempts",
    "turns",
];
/// What a count stands behind that numbers tests, and nothing on the vehicle.
const LABELS: &[&str] = &["test", "reading", "step", "measurement", "no", "nr", "number"];
/// Words that begin such an aside.
const BEFORE: &[&str] =
    &["for", "within", "at", "about", "around", "approx", "some", "only", "roughly", "~", "@"];
/// From so many turns a minute on an engine runs, and faster than it idles (common practice: idling is 500 to
/// 1100 a minute).
const FASTER_THAN_IDLE: f64 = 1200.0;

/// Takes such numbers with their words; true where one of them says that the engine ran faster than it idles.
pub(super) fn take(words: &mut Vec<Token<'_>>) -> bool {
    let mut runs = false;
    if let [label, count, ..] = words.as_slice()
        && label.is(LABELS)
        && count.sort == Sort::Number
        && count.text.bytes().all(|own| own.is_ascii_digit())
        && words[2..].iter().any(|own| own.sort == Sort::Number)
        && !words.get(2).is_some_and(|own| own.attached || electrical(own.text).is_some())
    {
        words.drain(..2);
    }
    let mut at = 0;
    let another =
        |words: &[Token<'_>]| words.iter().filter(|own| own.sort == Sort::Number).count() > 1;
    while at + 1 < words.len() && another(words) {
        let (number, unit) = (&words[at], &words[at + 1]);
        let speed = unit.is(SPEED);
        if number.sort != Sort::Number || !(speed || unit.is(SPAN)) {
            at += 1;
            continue;
        }
        let turns = number.text.replace(',', "").parse::<f64>();
        runs |= speed && turns.is_ok_and(|own| own >= FASTER_THAN_IDLE);
        let light = words[..at].iter().rev().take_while(|own| own.is(BEFORE)).count();
        words.drain(at - light..at + 2);
        at -= light;
    }
    runs
}
