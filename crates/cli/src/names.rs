//! How pieces, points and places are called in answers for people.

use model::{Joint, JointId, JointOf, Piece, Vehicle};
use network::routes::{Route, RouteStart};

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

/// What a route begins at, and why where that is no load.
pub(crate) fn start(vehicle: &Vehicle, start: RouteStart) -> String {
    let (name, _) = answers::routes::start(vehicle, start);
    match start {
        RouteStart::Load(_) => name.to_owned(),
        RouteStart::Charging(_) => format!("charging {name}"),
        RouteStart::Input(_) => format!("into {name}"),
        RouteStart::Battery(_) | RouteStart::Source(_) => format!("from {name} on"),
    }
}

/// A joint named as part of its conductor or device.
pub(crate) fn joint_owner(vehicle: &Vehicle, joint: &Joint) -> String {
    match joint.of {
        JointOf::From(id) | JointOf::To(id) => vehicle.conductor(id).id.clone(),
        JointOf::LoadCase(id) => vehicle.load(id).id.clone(),
        JointOf::SourceCase(id) => vehicle.regulated_source(id).id.clone(),
    }
}

/// The way a route takes, as the metal and the conductors that it passes.
///
/// Joints belong to their conductors, and stretches of one structure are one word.
pub(crate) fn way(vehicle: &Vehicle, route: &Route) -> String {
    let mut words: Vec<String> = Vec::new();
    let (own, _) = answers::routes::start(vehicle, route.start);
    for piece in &route.pieces {
        let word = match *piece {
            Piece::Joint(id) => joint_owner(vehicle, vehicle.joint(id)),
            Piece::Stretch(id) => {
                vehicle.structures[vehicle.stretch(id).structure as usize].id.clone()
            }
            other => vehicle.piece_name(other).to_owned(),
        };
        // A load's own case or lead needs no mention beside the load itself.
        if words.last() != Some(&word) && word != own {
            words.push(word);
        }
    }
    words.push(answers::routes::end(vehicle, route.end).0.to_owned());
    words.join(" → ")
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
