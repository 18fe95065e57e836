//! What is said of an operating state: sources, loads, the largest losses.

use model::{Load, Piece, Vehicle};
use network::{AsSolved, LoadPoint, LoadStatus, OperatingPoint, PiecePoint, SourceMode};
use units::{Amperes, Volts, larger_first};

use super::beside::does;
use super::{Asked, Found, cold, in_line};
use crate::told::quantity::{amperes, loss, ohms, temperature, volts, watts};
use crate::told::{
    Column, Line, Quantity, Said, Told, aside, attention, left, name, names, right, strong,
};
use crate::{stray, unsettled};

/// Pieces shown when not everything is asked for.
const LARGEST_LOSSES: usize = 12;
/// Watts into batteries that are worth saying.
const CHARGING: f64 = 0.5;
/// Watts lost in converters and equalisers that are worth saying.
const CONVERTING: f64 = 0.005;
/// Amperes from which on a battery is said to deliver.
const DELIVERS: f64 = 0.005;
/// Amperes from which on a piece is said to carry something.
const CARRIES: f64 = 1e-3;

pub(super) fn of(found: &Found<'_>, &Asked { all, .. }: &Asked) -> Told {
    let mut told = Told::default();
    for point in &found.points {
        of_state(&mut told, found.vehicle, point, all);
    }
    if let Some(cold) = &found.cold {
        cold::told(&mut told, found.vehicle, cold);
    }
    if let Some(networks) = &found.networks {
        network(&mut told, networks);
    }
    told
}

fn of_state(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint, all: bool) {
    let at = names::state(vehicle, point.state);
    told.line(say!("{} · {}", strong(name(&vehicle.name)), strong(at)));
    told.gap();
    unsettled::told(told, point);
    sources(told, vehicle, point);
    loads(told, vehicle, point);
    in_line::told(told, vehicle, point);
    if all {
        points(told, vehicle, point);
    }
    pieces(told, vehicle, point, all);
    stray::told(told, vehicle, point);
    let balance = &point.balance;
    let mut words =
        say!("power: {} from sources = {} to loads", watts(balance.sources), watts(balance.loads));
    if balance.charging.0 > CHARGING {
        words.extend(say!(" + {} into batteries", watts(balance.charging)));
    }
    if balance.conversion.0 > CONVERTING {
        words.extend(say!(" + {} lost in converters", watts(balance.conversion)));
    }
    words.extend(say!(
        " + {} lost on the way; currents balance within {}",
        watts(balance.losses),
        amperes(decade(balance.kirchhoff))
    ));
    told.line(aside(words));
    told.gap();
}

/// Where the network itself is to be found.
fn network(told: &mut Told, networks: &[AsSolved]) {
    let count = |of: fn(&AsSolved) -> usize| networks.first().map_or(0, of);
    told.paragraph(say!(
        "The network as it was solved, {} nodes, {} branches and {} devices in each state, is \
         printed with `--json`, under `network` of each; docs/network.md says what every law of it \
         means.",
        count(|own| own.nodes.len()),
        count(|own| own.branches.len()),
        count(|own| own.devices.len())
    ));
    told.gap();
}

/// The power of ten at or above an imbalance; below a microampere its digits are those of the arithmetic.
fn decade(imbalance: Amperes) -> Amperes {
    Amperes(10f64.powf(imbalance.0.log10().ceil().max(-6.0)))
}

fn sources(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    let row = |own: &str, at: Volts, amps: Amperes, what: Line| {
        vec![name(own).line(), volts(at).line(), amperes(amps).line(), what]
    };
    let batteries = vehicle.batteries.iter().zip(&point.batteries).map(|(own, at)| {
        let what = match at.amps.0 {
            charged if charged < -DELIVERS => "being charged",
            delivered if delivered > DELIVERS => "delivers",
            _ => "rests",
        };
        row(&own.id, at.volts, at.amps.abs(), what.line())
    });
    let others = vehicle.regulated.iter().zip(&point.regulated);
    let others = others
        .filter(|(_, at)| at.mode != SourceMode::Stopped)
        .map(|(own, at)| row(&own.id, at.volts, at.amps, does(at.mode)));
    let columns = [
        Column::Left("source"),
        Column::Right("volts"),
        Column::Right("current"),
        Column::Left(""),
    ];
    told.table(columns, batteries.chain(others).collect());
    told.gap();
}

/// What is wrong with a load that gets too little.
pub(super) fn short(load: &Load, at: &LoadPoint) -> Option<Line> {
    match at.status {
        _ if at.stalled => Some(say!("stalled: it draws this and does not turn")),
        LoadStatus::Off | LoadStatus::Fed => None,
        LoadStatus::Dead => Some(say!("dead: next to no volts")),
        LoadStatus::BelowUsual => {
            Some(say!("below its usual minimum, {}", volts(load.usual_minimum)))
        }
        LoadStatus::BelowMinimum => Some(say!("below its minimum")),
        LoadStatus::DroppedOut => Some(say!("switched itself off")),
        LoadStatus::Starved { most } => Some(say!("cannot be fed: at most {}", watts(most))),
    }
}

fn loads(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    let loads = vehicle.loads.iter().zip(&point.loads);
    let mut on = loads.filter(|(_, at)| at.status != LoadStatus::Off).peekable();
    if on.peek().is_none() {
        told.line("no load is on");
        told.gap();
        return;
    }
    told.rows(on, |(load, at)| {
        [
            left("load", name(&load.id)),
            right("volts", volts(at.volts)),
            right("current", amperes(at.amps)),
            right("to minimum", at.margin.map(Quantity::Signed)),
            left("", short(load, at).map(|own| attention(true, own))),
        ]
    });
    told.gap();
}

fn points(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    told.rows(vehicle.points.iter().zip(&point.points), |(place, volts)| {
        let volts = volts.map_or_else(|| say!("joined to nothing"), |own| loss(own).line());
        [left("point", name(&place.id)), right("volts against the first battery −", volts)]
    });
    told.gap();
}

fn pieces(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint, all: bool) {
    let mut listed: Vec<(Piece, &PiecePoint)> = vehicle
        .pieces()
        .map(|piece| (piece, point.piece(vehicle, piece)))
        .filter(|(_, at)| all || at.amps.0.abs() > CARRIES)
        .collect();
    let carrying = listed.len();
    if !all {
        listed.sort_by(|a, b| larger_first(a.1.volts.0.abs(), b.1.volts.0.abs()));
        listed.truncate(LARGEST_LOSSES);
    }
    if listed.is_empty() {
        return;
    }
    told.rows(listed, |(piece, at)| {
        let limit = match piece {
            Piece::Conductor(id) => vehicle.conductor(id).insulation_limit,
            _ => None,
        };
        let hot = |now| attention(limit.is_some_and(|limit| now > limit), temperature(now));
        [
            left(if all { "piece" } else { "largest losses" }, names::piece(vehicle, piece)),
            right("loses", loss(at.volts.abs())),
            right("carries", amperes(at.amps.abs())),
            right("resistance", ohms(at.resistance)),
            right("heat", watts(at.watts.abs())),
            right("at", at.temperature.map(hot)),
        ]
    });
    if !all && carrying > LARGEST_LOSSES {
        let more = say!("{} more carry current; `--all` shows them", carrying - LARGEST_LOSSES);
        told.line(aside(more));
    }
    told.gap();
}
