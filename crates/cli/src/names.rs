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
pub(crate) fn written(line: &Line) -> String {
    render::line(line, UnitSystem::default())
}

/// Names as a sentence lists them: `a, b and c`.
pub(crate) fn listed(names: &[&str]) -> String {
    written(&names::listed(names.iter().map(|own| vec![(*own).into()]).collect()))
}

/// A word as it begins a sentence.
pub(crate) fn capital(word: &str) -> String {
    names::capital(word)
}
