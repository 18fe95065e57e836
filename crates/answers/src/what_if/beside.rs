//! What a page shows of a change while it is tried: what is changed, who gains or loses most, the plan in words.

use file::edit::OPEN;
use model::{ConductorId, LoadId, Piece, Vehicle};
use network::OperatingPoint;
use units::{Ohms, Volts};

use super::Found;
use super::found::Change;
use crate::solve;
use crate::told::quantity::{length, loss, ohms, volts};
use crate::told::{Line, Span, Told, joined, name};

pub(super) fn of(told: &mut Told, found: &Found<'_>) {
    for (was, is) in &found.states {
        let state = &found.vehicle.state(was.state).id;
        told.beside(format!("states.{state}.trial"), |told| told.paragraph(trial(found, was, is)));
        solve::beside::state(told, &found.changed, is);
    }
}

fn trial(found: &Found<'_>, was: &OperatingPoint, is: &OperatingPoint) -> Line {
    let changes = found.changes.iter().map(|own| change(&found.changed, *own));
    let mut line = say!("{}.", joined(changes, "; "));
    if let Some((load, gain, has)) = most(found.vehicle, was, is) {
        let does = if gain < Volts::ZERO { "loses" } else { "gains" };
        let own = name(&found.vehicle.load(load).id);
        line.extend(say!(" {} {} {} and has {}.", own, does, loss(gain.abs()), volts(has)));
    }
    line
}

/// The load whose voltage changes most, by how much, and what it has then.
fn most(
    vehicle: &Vehicle,
    was: &OperatingPoint,
    is: &OperatingPoint,
) -> Option<(LoadId, Volts, Volts)> {
    let gains = (0..vehicle.loads.len()).map(LoadId::at).map(|load| {
        let has = is.load(load).volts;
        (load, has - was.load(load).volts, has)
    });
    // The first of several alike.
    gains.reduce(|most, own| if own.1.abs() > most.1.abs() { own } else { most })
}

fn change(changed: &Vehicle, own: Change) -> Line {
    match own {
        Change::Added(id) => added(changed, id),
        Change::Set(piece, was) => set(changed, piece, was),
    }
}

fn added(changed: &Vehicle, id: ConductorId) -> Line {
    let own = changed.conductor(id);
    let end = |joint| name(&changed.point(changed.joint(joint).point).id);
    let size = own.size.map_or_else(Line::new, |size| say!(", {}", size.to_string()));
    let metres = own.length.map_or_else(Line::new, |metres| say!(", {}", length(metres)));
    say!("a new cable from {} to {}{}{}", end(own.from), end(own.to), size, metres)
}

fn set(changed: &Vehicle, piece: Piece, was: Option<Ohms>) -> Line {
    let now = changed.piece_resistance(piece);
    let now = if now >= OPEN { Span::from("open") } else { ohms(now).into() };
    let instead = was.map_or_else(Line::new, |was| say!(" instead of {}", ohms(was)));
    say!("{} at {}{}", name(changed.piece_name(piece)), now, instead)
}

#[cfg(test)]
mod tests {
    use units::UnitSystem;

    use super::*;
    use crate::room::Question;
    use crate::told::{Block, written};
    use crate::what_if::Asked;

    const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");

    fn said(asked: &Asked) -> String {
        let vehicle = file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors");
        let found = asked.find(&vehicle, &mut |_| true).expect("known").expect("not stopped");
        let mut told = Told::default();
        asked.beside(&found, &mut told);
        let keys: Vec<&str> = told.beside.iter().map(|own| own.key.as_str()).collect();
        assert!(keys.contains(&"states.cranking.plan"), "{keys:?}");
        let part = told.beside.iter().find(|own| own.key == "states.cranking.trial");
        let [Block::Paragraph(own)] = part.expect("there").blocks.as_slice() else {
            panic!("{part:?}")
        };
        written(&own.text, UnitSystem::Metric)
    }

    #[test]
    fn what_is_tried_says_what_it_changes_and_who_gains_or_loses_most() {
        let state = Some("cranking".to_owned());
        let set = vec!["main-negative.to=5mΩ".to_owned()];
        let told = said(&Asked { set, state: state.clone(), ..Asked::default() });
        assert_eq!(
            told,
            "main-negative.to at 5.00 mΩ instead of 100 µΩ. coolant-sender loses 482 mV and has \
             9.21 V."
        );
        let add = vec!["main/-,block/front,35mm2,0.6m".to_owned()];
        let told = said(&Asked { add, state, ..Asked::default() });
        let cable = "a new cable from main/- to block/front, 35 mm², 0.6 m. ";
        assert!(told.starts_with(cable) && told.contains(" gains "), "{told}");
    }
}
