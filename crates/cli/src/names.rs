//! How pieces, points and places are called in answers for people.

use answers::told::{Line, names};
use model::{Piece, Vehicle};
use units::UnitSystem;

use crate::render;

/// A piece with what it is: `main-negative.to (bolted lug at block/gearbox)`.
pub(crate) fn piece(vehicle: &Vehicle, piece: Piece) -> String {
    written(&names::piece(vehicle, piece))
}

/// Nothing in a name depends on the person's units.
fn written(line: &Line) -> String {
    render::line(line, UnitSystem::default())
}

/// Names as a sentence lists them: `a, b and c`.
pub(crate) fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A word as it begins a sentence.
pub(crate) fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
