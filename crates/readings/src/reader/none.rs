//! Values without a number: `no drop`, `better`, `no difference`, `came back`.

use model::Told;
use units::Dimension;

use super::seen::{MOST_WORDS, lexicon};
use super::value::{Value, remove_spelled_out};
use super::words::Token;

const BETTER: &[&str] = &[
    "better", "cured", "cures", "fixed", "gone", "improved", "improves", "helped", "helps",
    "brighter", "faster", "works", "worked", "starts", "started",
];
const WORSE: &[&str] =
    &["worse", "came", "comes", "caused", "causes", "failed", "appeared", "dimmer", "slower"];
/// Beside a trial these say that it helped: `cranks fine`.
const WELL: &[&str] = &[
    "fine",
    "properly",
    "well",
    "strong",
    "strongly",
    "perfectly",
    "perfect",
    "great",
    "normal",
    "normally",
];
const SAME: &[&str] = &["same", "unchanged"];
const CHANGES: &[&str] =
    &["change", "difference", "effect", "better", "improvement", "help", "cure"];
/// Words of none, which are a value only beside a word that says of what.
const NIL: &[&str] = &["no", "nothing", "none", "nil", "zero"];
const LOSSES: &[&str] = &["drop", "drops", "loss"];
const OF_VOLTS: &[&str] = &["volt", "volts", "voltage", "v", "mv", "millivolts"];
const OF_OHMS: &[&str] = &["ohm", "ohms", "resistance"];
const OF_AMPERES: &[&str] = &["current", "amp", "amps", "ampere", "amperes", "a"];
/// Words that deny what stands behind them.
const NOT: &[&str] = &[
    "not", "no", "never", "didn't", "didnt", "doesn't", "doesnt", "wasn't", "isn't", "hasn't",
    "don't", "won't", "couldn't", "can't", "cannot",
];

/// What came of a trial, in the words in which people tell it of any part; an error where it is told both ways,
/// so that whoever said it has to say which.
fn outcome(words: &mut Vec<Token<'_>>) -> Result<Option<Value>, ()> {
    let mut found: Option<Value> = None;
    while let Some((begin, end, told)) = first_outcome(words) {
        if found.as_ref().is_some_and(|own| own.told != told) {
            return Err(());
        }
        let place = words[begin].place.start..words[end - 1].place.end;
        words.drain(begin..end);
        found = Some(Value { told, signed: false, dimension: None, place, loss: false });
    }
    Ok(found)
}

/// Where the first of such words stand, and what they tell.
fn first_outcome(words: &[Token<'_>]) -> Option<(usize, usize, Told)> {
    let (at, end, helped) = (0..words.len()).find_map(|at| {
        (1..=MOST_WORDS.min(words.len() - at)).rev().find_map(|count| {
            let own: Vec<String> =
                words[at..at + count].iter().map(|own| own.text.to_lowercase()).collect();
            let helped = lexicon::outcome(&own.join(" ").replace('’', "'"))?;
            Some((at, at + count, helped))
        })
    })?;
    // `Cranks fine without it` tells of the time before.
    if words[end..].iter().any(|own| own.is(&["without", "before", "until"])) {
        return None;
    }
    let not = denied(words, at);
    Some((at - usize::from(not), end, Told::Change(i8::from(helped && !not))))
}

/// `no drop`, `zero volts`, `better`, `no difference`, `came back`; in a trial `nothing` too.
pub(super) fn without_a_number(words: &mut Vec<Token<'_>>, trial: bool) -> Option<Value> {
    if trial {
        match outcome(words) {
            Ok(None) => {}
            Ok(own) => return own,
            Err(()) => return None,
        }
    }
    let pair = |first: &[&str], second: &[&str]| {
        words.windows(2).position(|pair| pair[0].is(first) && pair[1].is(second))
    };
    let single = |set: &[&str]| words.iter().position(|word| word.is(set));
    let (at, count, told) = if let Some(at) = pair(&["no"], CHANGES) {
        (at, 2, Told::Change(0))
    } else if let Some((at, dimension, loss)) = none_of_it(words) {
        let place = words[at].place.start..words[at + 1].place.end;
        words.drain(at..at + 2);
        return Some(Value {
            told: Told::Nothing,
            signed: false,
            dimension: Some(dimension),
            place,
            loss,
        });
    } else if let Some(at) = pair(NOT, BETTER).filter(|_| trial) {
        (at, 2, Told::Change(0))
    } else if let Some(at) = pair(NOT, CHANGES).filter(|_| trial) {
        (at, 2, Told::Change(0))
    } else if let Some(at) = single(&["nothing", "nil", "none"]).filter(|_| trial) {
        (at, 1, Told::Change(0))
    } else if let Some(at) = single(SAME) {
        (at, 1, Told::Change(0))
    } else if let Some(at) = single(BETTER) {
        (at, 1, Told::Change(1))
    } else if let Some(at) = single(WELL).filter(|at| trial && !denied(words, *at)) {
        (at, 1, Told::Change(1))
    } else {
        let at = single(WORSE)?;
        let back = words.get(at + 1).is_some_and(|word| word.is(&["back", "on"]));
        (at, 1 + usize::from(back), Told::Change(-1))
    };
    let place = words[at].place.start..words[at + count - 1].place.end;
    words.drain(at..at + count);
    let dimension = remove_spelled_out(words);
    Some(Value { told, signed: false, dimension, place, loss: false })
}

/// True where the word in front denies this one.
fn denied(words: &[Token<'_>], at: usize) -> bool {
    at.checked_sub(1).and_then(|before| words.get(before)).is_some_and(|own| own.is(NOT))
}

/// None of something that a meter shows: where the two words begin, of what, and whether it was lost.
fn none_of_it(words: &[Token<'_>]) -> Option<(usize, Dimension, bool)> {
    words.windows(2).enumerate().find_map(|(at, pair)| {
        let of = if pair[0].is(NIL) {
            &pair[1]
        } else if pair[1].is(NIL) && !pair[1].is(&["no"]) {
            &pair[0]
        } else {
            return None;
        };
        if of.is(LOSSES) {
            Some((at, Dimension::Voltage, true))
        } else if of.is(OF_VOLTS) {
            Some((at, Dimension::Voltage, false))
        } else if of.is(OF_OHMS) {
            Some((at, Dimension::Resistance, false))
        } else {
            of.is(OF_AMPERES).then_some((at, Dimension::Current, false))
        }
    })
}
