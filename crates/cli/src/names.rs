//! How pieces, points and places are called in answers for people.

use model::{JointId, Piece, StateId, Vehicle};
use units::print;

/// `cranking, 10 s`.
pub(crate) fn state_words(vehicle: &Vehicle, state: StateId) -> String {
    let state = vehicle.state(state);
    match state.duration {
        Some(duration) => format!("{}, {}", state.name, print::duration(duration)),
        None => state.name.clone(),
    }
}

/// A piece with what it is: `main-negative.to (bolted lug at block/gearbox)`.
pub(crate) fn piece(vehicle: &Vehicle, piece: Piece) -> String {
    match piece {
        Piece::Conductor(id) => {
            let conductor = vehicle.conductor(id);
            let size = conductor.size.map_or_else(String::new, |size| format!(" ({size})"));
            format!("{}{size}", conductor.id)
        }
        Piece::Joint(id) => {
            let joint = vehicle.joint(id);
            format!("{} ({} at {})", joint.id, joint.kind, vehicle.point(joint.point).id)
        }
        Piece::Stretch(id) => {
            let stretch = vehicle.stretch(id);
            let structure = &vehicle.structures[stretch.structure as usize];
            format!("{} ({})", stretch.id, structure.name)
        }
        Piece::Incidental(id) => {
            let path = vehicle.incidental(id);
            if path.id == path.kind.word().replace(' ', "-") {
                path.id.clone()
            } else {
                format!("{} ({})", path.id, path.kind)
            }
        }
        Piece::Inline(id) => format!("{} ({})", vehicle.inline(id).id, vehicle.inline(id).make),
    }
}

/// Where all that is known of a joint is told.
pub(crate) fn bolt_sheet(vehicle: &Vehicle, joint: JointId) -> String {
    format!(
        "How a joint is made, tightened and judged: `groundloom bolt FILE --joint {}`, and so for any.",
        vehicle.joint(joint).id
    )
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
