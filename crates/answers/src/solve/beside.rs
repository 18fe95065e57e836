//! What a page shows beside the plan: the plan in words for whoever hears it, what each source does.

use model::{ConductorId, Piece, Vehicle};
use network::{LoadStatus, OperatingPoint, SourceMode};
use units::{Amperes, Volts};

use super::Found;
use crate::told::quantity::{amperes, loss, volts};
use crate::told::{Line, Span, Told, joined, name};

/// Amperes below which a battery is not worth a word.
const GIVES: Amperes = Amperes(0.05);
/// Amperes below which a piece carries nothing: what an open switch holds back is not lost in it.
const CARRIES: Amperes = Amperes(1e-3);
/// Volts below which a loss is not worth a word.
const LOSES: Volts = Volts(1e-3);
/// How many of the largest losses are said.
const LARGEST: usize = 3;

pub(super) fn of(told: &mut Told, found: &Found<'_>) {
    for point in &found.points {
        state(told, found.vehicle, point);
    }
}

/// A state, under `states.NAME`.
pub(crate) fn state(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    let state = vehicle.state(point.state);
    told.beside(format!("states.{}.plan", state.id), |told| {
        told.paragraph(plan(vehicle, point));
    });
    for (source, at) in vehicle.regulated.iter().zip(&point.regulated) {
        let key = format!("states.{}.sources.{}", state.id, source.id);
        told.beside(key, |told| told.paragraph(does(at.mode)));
    }
}

/// What a person would say who looks at the plan.
fn plan(vehicle: &Vehicle, point: &OperatingPoint) -> Line {
    let state = vehicle.state(point.state);
    let mut line = say!("Plan of {}, {}. ", name(&vehicle.name), name(&state.id));
    let gives = batteries(vehicle, point);
    line.extend(match gives.is_empty() {
        true => say!("No battery gives current."),
        false => say!("{}.", joined(gives, ", ")),
    });
    let losses = losses(vehicle, point);
    line.extend(match losses.is_empty() {
        true => say!(" Hardly anything is lost."),
        false => say!(" Most is lost in {}.", joined(losses, ", ")),
    });
    let short = short(vehicle, point);
    if !short.is_empty() {
        line.extend(say!(" {}.", joined(short, ", ")));
    }
    line
}

fn batteries(vehicle: &Vehicle, point: &OperatingPoint) -> Vec<Line> {
    let all = vehicle.batteries.iter().zip(&point.batteries);
    all.filter(|(_, at)| at.amps.abs() > GIVES)
        .map(|(own, at)| {
            let does = if at.amps < Amperes::ZERO { " takes " } else { " gives " };
            let (own, amps) = (name(&own.id), amperes(at.amps.abs()));
            say!("{}{}{} at {}", own, does, amps, volts(at.volts))
        })
        .collect()
}

/// Where most is lost: a conductor counts with the joints of its ends, as the plan draws it.
fn losses(vehicle: &Vehicle, point: &OperatingPoint) -> Vec<Line> {
    let drop = |piece| point.piece(vehicle, piece).volts;
    let of_branch = |piece: Piece| match piece {
        Piece::Conductor(id) => Some(whole(vehicle, point, id)),
        Piece::Joint(id) => vehicle.joint(id).of.conductor().is_none().then(|| drop(piece)),
        other => Some(drop(other)),
    };
    let mut all: Vec<(Piece, Volts)> = vehicle
        .pieces()
        .filter(|piece| point.piece(vehicle, *piece).amps.abs() > CARRIES)
        .filter_map(|piece| Some((piece, of_branch(piece)?.abs())))
        .filter(|(_, lost)| *lost > LOSES)
        .collect();
    all.sort_by(|a, b| b.1.0.total_cmp(&a.1.0));
    all.truncate(LARGEST);
    all.into_iter()
        .map(|(piece, lost)| {
            let amps = amperes(point.piece(vehicle, piece).amps.abs());
            say!("{} {} at {}", name(vehicle.piece_name(piece)), loss(lost), amps)
        })
        .collect()
}

/// What a conductor loses with the joints of its ends.
fn whole(vehicle: &Vehicle, point: &OperatingPoint, id: ConductorId) -> Volts {
    let own = vehicle.conductor(id);
    let pieces = [Piece::Conductor(id)].into_iter().chain(own.joints().map(Piece::Joint));
    pieces.map(|piece| point.piece(vehicle, piece).volts).sum()
}

fn short(vehicle: &Vehicle, point: &OperatingPoint) -> Vec<Line> {
    let all = vehicle.loads.iter().zip(&point.loads);
    all.filter(|(_, at)| !matches!(at.status, LoadStatus::Fed | LoadStatus::Off))
        .map(|(own, at)| say!("{} has only {}", name(&own.id), volts(at.volts)))
        .collect()
}

/// What a source does.
pub(super) fn does(mode: SourceMode) -> Line {
    match mode {
        SourceMode::Stopped => say!("stands"),
        SourceMode::Idle => say!("runs, delivers nothing"),
        SourceMode::Regulating => say!("holds its voltage"),
        SourceMode::Limited => say!("at its limit"),
        SourceMode::Starved => say!("{}limited: its feed gives no more", Span::Attention),
        SourceMode::DroppedOut => {
            say!("{}gives nothing: its feed is below what it works on", Span::Attention)
        }
    }
}

#[cfg(test)]
mod tests {
    use units::UnitSystem;

    use super::*;
    use crate::room::Question;
    use crate::solve::Asked;
    use crate::told::{Block, written};

    const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");

    /// What is said beside the plan of a state.
    fn said(of: &str, key: &str) -> String {
        let vehicle = file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors");
        let asked = Asked { state: Some(of.to_owned()), ..Asked::default() };
        let found = asked.find(&vehicle, &mut |_| true).expect("known").expect("not stopped");
        let mut told = Told::default();
        asked.beside(&found, &mut told);
        let part = told.beside.iter().find(|own| own.key == key).expect("there");
        let [Block::Paragraph(own)] = part.blocks.as_slice() else { panic!("{part:?}") };
        written(&own.text, UnitSystem::Metric)
    }

    #[test]
    fn the_plan_is_heard_as_what_batteries_give_where_most_is_lost_and_who_has_too_little() {
        assert_eq!(
            said("cranking", "states.cranking.plan"),
            "Plan of Rescue ambulance 2, coast station, cranking. main gives 538 A at 10.41 V. \
             Most is lost in starter-positive 280 mV at 479 A, main-negative 182 mV at 421 A, \
             main-positive 177 mV at 538 A."
        );
    }

    #[test]
    fn a_source_says_what_it_does() {
        assert_eq!(said("cranking", "states.cranking.sources.alternator"), "stands");
        assert_eq!(said("running", "states.running.sources.alternator"), "holds its voltage");
    }
}
