//! What is said of an operating state: sources, loads, the largest losses.

use model::{Piece, Vehicle};
use network::{Convergence, LoadStatus, OperatingPoint, PiecePoint, SourceMode};

use super::Found;
use super::beside::does;
use crate::say;
use crate::told::quantity::{amperes, loss, ohms, temperature, volts, watts};
use crate::told::{Column, Line, Quantity, Span, Told, aside, name, names, strong, warning};

/// Pieces shown when not everything is asked for.
const LARGEST_LOSSES: usize = 12;
/// Watts into batteries that are worth saying.
const CHARGING: f64 = 0.5;
/// Amperes from which on a battery is said to deliver.
const DELIVERS: f64 = 0.005;
/// Amperes from which on a piece is said to carry something.
const CARRIES: f64 = 1e-3;

pub(super) fn of(found: &Found<'_>, all: bool) -> Told {
    let mut told = Told::default();
    for point in &found.points {
        of_state(&mut told, found.vehicle, point, all);
    }
    told
}

fn of_state(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint, all: bool) {
    let at = names::state(vehicle, point.state);
    told.line(say!("{} · {}", strong(name(&vehicle.name)), strong(at)));
    told.gap();
    if let Convergence::NotReached { at, amps } = &point.convergence {
        told.line(say!(
            "{} no operating point was found; `{}` misses its law by {}. What follows is \
             the last attempt.",
            warning(say!("warning:")),
            name(at),
            amperes(*amps)
        ));
        told.gap();
    }
    sources(told, vehicle, point);
    loads(told, vehicle, point);
    if all {
        points(told, vehicle, point);
    }
    pieces(told, vehicle, point, all);
    let balance = &point.balance;
    let mut words =
        say!("power: {} from sources = {} to loads", watts(balance.sources), watts(balance.loads));
    if balance.charging.0 > CHARGING {
        words.extend(say!(" + {} into batteries", watts(balance.charging)));
    }
    words.extend(say!(
        " + {} lost on the way; worst current balance {}",
        watts(balance.losses),
        tiny(balance.kirchhoff.0)
    ));
    told.line(say!("{}", aside(words)));
    told.gap();
}

fn tiny(amperes: f64) -> String {
    if amperes == 0.0 { "0 A".to_owned() } else { format!("{amperes:.0e} A") }
}

fn sources(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    let mut rows = Vec::new();
    for (battery, at) in vehicle.batteries.iter().zip(&point.batteries) {
        let what = match at.amps.0 {
            charged if charged < -DELIVERS => "being charged",
            delivered if delivered > DELIVERS => "delivers",
            _ => "rests",
        };
        rows.push(vec![
            say!("{}", name(&battery.id)),
            say!("{}", volts(at.volts)),
            say!("{}", amperes(at.amps.abs())),
            say!("{}", what),
        ]);
    }
    for (source, at) in vehicle.regulated.iter().zip(&point.regulated) {
        if at.mode == SourceMode::Stopped {
            continue;
        }
        rows.push(vec![
            say!("{}", name(&source.id)),
            say!("{}", volts(at.volts)),
            say!("{}", amperes(at.amps)),
            does(at.mode),
        ]);
    }
    let columns = [
        Column::Left("source"),
        Column::Right("volts"),
        Column::Right("current"),
        Column::Left(""),
    ];
    told.table(columns, rows);
    told.gap();
}

fn loads(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    let mut rows = Vec::new();
    for (load, at) in vehicle.loads.iter().zip(&point.loads) {
        let word = match at.status {
            LoadStatus::Off => continue,
            LoadStatus::Fed => say!(""),
            LoadStatus::Dead => say!("{}dead: next to no volts", Span::Attention),
            LoadStatus::BelowUsual => {
                say!("{}below its usual minimum, {}", Span::Attention, volts(load.usual_minimum))
            }
            LoadStatus::BelowMinimum => say!("{}below its minimum", Span::Attention),
            LoadStatus::DroppedOut => say!("{}switched itself off", Span::Attention),
            LoadStatus::Starved { most } => {
                say!("{}cannot be fed: at most {}", Span::Attention, watts(most))
            }
        };
        rows.push(vec![
            say!("{}", name(&load.id)),
            say!("{}", volts(at.volts)),
            say!("{}", amperes(at.amps)),
            at.margin.map_or_else(Line::new, |margin| say!("{}", Quantity::Signed(margin))),
            word,
        ]);
    }
    if rows.is_empty() {
        told.line(say!("no load is on"));
        told.gap();
        return;
    }
    let columns = [
        Column::Left("load"),
        Column::Right("volts"),
        Column::Right("current"),
        Column::Right("to minimum"),
        Column::Left(""),
    ];
    told.table(columns, rows);
    told.gap();
}

fn points(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    let places = vehicle.points.iter().zip(&point.points);
    let rows = places.map(|(place, volts)| {
        let volts = volts.map_or_else(|| say!("joined to nothing"), |own| say!("{}", loss(own)));
        vec![say!("{}", name(&place.id)), volts]
    });
    let columns = [Column::Left("point"), Column::Right("volts against the first battery −")];
    told.table(columns, rows.collect());
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
        listed.sort_by(|a, b| b.1.volts.0.abs().total_cmp(&a.1.volts.0.abs()));
        listed.truncate(LARGEST_LOSSES);
    }
    let rows: Vec<Vec<Line>> = listed.iter().map(|(piece, at)| row(vehicle, *piece, at)).collect();
    if rows.is_empty() {
        return;
    }
    let columns = [
        Column::Left(if all { "piece" } else { "largest losses" }),
        Column::Right("loses"),
        Column::Right("carries"),
        Column::Right("resistance"),
        Column::Right("heat"),
        Column::Right("at"),
    ];
    told.table(columns, rows);
    if !all && carrying > LARGEST_LOSSES {
        let more = say!("{} more carry current; `--all` shows them", carrying - LARGEST_LOSSES);
        told.line(say!("{}", aside(more)));
    }
    told.gap();
}

fn row(vehicle: &Vehicle, piece: Piece, at: &PiecePoint) -> Vec<Line> {
    let warmth = at.temperature.map_or_else(Line::new, |now| {
        let limit = match piece {
            Piece::Conductor(id) => vehicle.conductor(id).insulation_limit,
            _ => None,
        };
        if limit.is_some_and(|limit| now > limit) {
            say!("{}{}", Span::Attention, temperature(now))
        } else {
            say!("{}", temperature(now))
        }
    });
    vec![
        names::piece(vehicle, piece),
        say!("{}", loss(at.volts.abs())),
        say!("{}", amperes(at.amps.abs())),
        say!("{}", ohms(at.resistance)),
        say!("{}", watts(at.watts.abs())),
        warmth,
    ]
}
