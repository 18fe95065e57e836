//! Meters that showed no more than they can.

use super::words::{Sort, Token};

/// What people call a meter that shows no more, and the words of which two say it.
const PEGGED: &[&str] =
    &["pegged", "pegs", "pegging", "maxed", "overrange", "over-range", "off-scale", "overloaded"];
const OVER_RANGE: [(&str, &str); 4] =
    [("over", "range"), ("off", "scale"), ("over", "limit"), ("maxed", "out")];

/// Takes the words that say that a meter showed no more than it can.
pub(super) fn take_pegged(words: &mut Vec<Token<'_>>) -> bool {
    if !words.iter().any(|word| word.sort == Sort::Number) {
        return false;
    }
    let two = words.windows(2).position(|pair| {
        OVER_RANGE.iter().any(|(first, second)| pair[0].is(&[first]) && pair[1].is(&[second]))
    });
    let one = || words.iter().position(|word| word.is(PEGGED));
    let Some((at, count)) = two.map(|at| (at, 2)).or_else(|| one().map(|at| (at, 1))) else {
        return false;
    };
    words.drain(at..at + count);
    true
}
