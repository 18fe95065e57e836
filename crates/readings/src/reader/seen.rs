//! What was seen, felt or tried: lines without a value that all the same tell where to look.
//!
//! Nothing is taken from a line with a word that is not understood: it may turn the rest.

pub(super) mod lexicon;
mod tagged;
mod clauses;
mod spots;
mod parts;
mod sights;
mod found;
mod upsets;
mod works;
#[cfg(test)]
mod tests;

use model::{Problem, Seen, Vehicle};

use super::known::Known;
use super::printable;
use sights::Line;

pub(super) use tagged::MOST_WORDS;

/// Reads a line that tells no value but something seen, felt or tried; nothing where it tells no such
/// thing. Several parts of one line come as several, with one number.
///
/// # Errors
///
/// What has to be asked back, at its place in the line.
pub(super) fn seen(
    text: &str,
    known: &Known<'_>,
    vehicle: &Vehicle,
    number: u32,
) -> Option<Result<Vec<Seen>, Problem>> {
    let body = text.split('#').next().unwrap_or_default();
    // Whoever asks has not said.
    if body.contains('?') || printable(text).is_err() {
        return None;
    }
    let words = tagged::tagged(body, known);
    let read = Line { text: body, vehicle, words }.read()?;
    Some(read.map(|(sights, state)| {
        let each = sights.into_iter().map(|(sight, what)| Seen {
            number,
            state: state.and_then(|name| vehicle.state_named(name)),
            sight,
            what,
            text: text.to_owned(),
        });
        each.collect()
    }))
}
