//! How states, pieces and ways are called in answers for people.

use model::{Joint, JointId, JointOf, Piece, StateId, Vehicle};
use network::routes::{Route, RouteEnd, RouteStart};

use super::quantity::duration;
use super::{Line, joined, name};

/// `cranking, 10 s`.
#[must_use]
pub fn state(vehicle: &Vehicle, state: StateId) -> Line {
    let state = vehicle.state(state);
    match state.duration {
        Some(time) => say!("{}, {}", name(&state.name), duration(time)),
        None => say!("{}", name(&state.name)),
    }
}

/// What a piece is, to stand in brackets behind its name.
#[must_use]
pub fn note(vehicle: &Vehicle, piece: Piece) -> Option<String> {
    match piece {
        Piece::Conductor(id) => vehicle.conductor(id).size.map(|size| size.to_string()),
        Piece::Joint(id) => {
            let joint = vehicle.joint(id);
            Some(format!("{} at {}", joint.kind, vehicle.point(joint.point).id))
        }
        Piece::Stretch(id) => {
            let stretch = vehicle.stretch(id);
            Some(vehicle.structures[stretch.structure as usize].name.clone())
        }
        Piece::Incidental(id) => {
            let path = vehicle.incidental(id);
            let kind = path.kind.to_string();
            (path.id != kind.replace(' ', "-")).then_some(kind)
        }
        Piece::Inline(id) => Some(vehicle.inline(id).make.to_string()),
    }
}

/// A piece with what it is: `main-negative.to (bolted lug at block/gearbox)`.
#[must_use]
pub fn piece(vehicle: &Vehicle, piece: Piece) -> Line {
    let own = name(vehicle.piece_name(piece));
    match note(vehicle, piece) {
        Some(note) => say!("{} ({})", own, note),
        None => say!("{}", own),
    }
}

/// Where all that is known of a joint is told.
#[must_use]
pub fn bolt_sheet(vehicle: &Vehicle, joint: JointId) -> Line {
    say!(
        "How a joint is made, tightened and judged: `groundloom bolt FILE --joint {}`, and so for \
         any.",
        name(&vehicle.joint(joint).id)
    )
}

/// What a route begins at, and why where that is no load.
#[must_use]
pub fn start(vehicle: &Vehicle, start: RouteStart) -> Line {
    let (own, _) = begins_at(vehicle, start);
    match start {
        RouteStart::Load(_) => say!("{}", name(own)),
        RouteStart::Charging(_) => say!("charging {}", name(own)),
        RouteStart::Input(_) => say!("into {}", name(own)),
        RouteStart::Battery(_) | RouteStart::Source(_) => say!("from {} on", name(own)),
    }
}

/// A joint named as part of its conductor or device.
#[must_use]
pub fn joint_owner<'v>(vehicle: &'v Vehicle, joint: &'v Joint) -> &'v str {
    match joint.of {
        JointOf::From(id) | JointOf::To(id) | JointOf::FromCrimp(id) | JointOf::ToCrimp(id) => {
            &vehicle.conductor(id).id
        }
        JointOf::LoadCase(id) => &vehicle.load(id).id,
        JointOf::SourceCase(id) => &vehicle.regulated_source(id).id,
        JointOf::Between(_) => joint.id.strip_suffix(".foot").unwrap_or(&joint.id),
    }
}

/// The way a route takes, as the metal and the conductors that it passes.
///
/// Joints belong to their conductors, and stretches of one structure are one word. A case is named as the
/// joint it is, so that a way does not seem to go from a thing to itself.
#[must_use]
pub fn way(vehicle: &Vehicle, route: &Route) -> Line {
    let mut words: Vec<&str> = Vec::new();
    let (own, _) = begins_at(vehicle, route.start);
    for piece in &route.pieces {
        let word = match *piece {
            Piece::Joint(id) => {
                let joint = vehicle.joint(id);
                let owner = joint_owner(vehicle, joint);
                let case = matches!(joint.of, JointOf::LoadCase(_) | JointOf::SourceCase(_));
                if case && owner != own { &joint.id } else { owner }
            }
            Piece::Stretch(id) => &vehicle.structures[vehicle.stretch(id).structure as usize].id,
            other => vehicle.piece_name(other),
        };
        // A load's own case or lead needs no mention beside the load itself.
        if words.last() != Some(&word) && word != own {
            words.push(word);
        }
    }
    words.push(ends_at(vehicle, route.end).0);
    joined(words.into_iter().map(|word| say!("{}", name(word))), " → ")
}

/// Name and kind of what a route begins at.
#[must_use]
pub fn begins_at(vehicle: &Vehicle, start: RouteStart) -> (&str, &'static str) {
    match start {
        RouteStart::Load(id) => (&vehicle.load(id).id, "load"),
        RouteStart::Charging(id) => (&vehicle.battery(id).id, "charging"),
        RouteStart::Input(id) => (&vehicle.regulated_source(id).id, "converter"),
        RouteStart::Battery(id) => (&vehicle.battery(id).id, "source"),
        RouteStart::Source(id) => (&vehicle.regulated_source(id).id, "source"),
    }
}

/// Name and kind of what a route ends at.
#[must_use]
pub fn ends_at(vehicle: &Vehicle, end: RouteEnd) -> (&str, &'static str) {
    match end {
        RouteEnd::Battery(id) => (&vehicle.battery(id).id, "source"),
        RouteEnd::Source(id) => (&vehicle.regulated_source(id).id, "source"),
        RouteEnd::Load(id) => (&vehicle.load(id).id, "load"),
        RouteEnd::Charging(id) => (&vehicle.battery(id).id, "charging"),
        RouteEnd::Input(id) => (&vehicle.regulated_source(id).id, "converter"),
    }
}

/// Lines as a sentence lists them: `a, b and c`.
#[must_use]
pub fn listed(mut lines: Vec<Line>) -> Line {
    match lines.pop() {
        Some(last) if lines.is_empty() => last,
        Some(last) => say!("{} and {}", joined(lines, ", "), last),
        None => Line::new(),
    }
}

/// A word as it begins a sentence.
#[must_use]
pub fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
