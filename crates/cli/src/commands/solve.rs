//! `groundloom solve`: volts, amperes, watts and degrees of everything, state by state.

use std::fmt::Write;
use std::path::PathBuf;

use model::{Piece, StateId, Vehicle};
use network::{Convergence, LoadStatus, Network, OperatingPoint, PiecePoint, SourceMode};
use units::{Volts, print};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::names;
use crate::style::{bold, dim, warning};
use crate::table::{ATTENTION, Column, table};
use crate::vehicle_file;

/// Pieces shown when not everything is asked for.
const LARGEST_LOSSES: usize = 12;

/// Where the volts go and what flows, in one operating state or in all.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// One operating state; all that the file has when left out.
    #[arg(long)]
    state: Option<String>,
    /// Show every point, conductor and joint, not only the largest losses.
    #[arg(long)]
    all: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let states = vehicle_file::states(vehicle, arguments.state.as_deref())?;
    let mut network = Network::new(vehicle);
    let points: Vec<OperatingPoint> =
        states.iter().map(|state| network.operating_point(*state)).collect();
    let mut text = String::new();
    for point in &points {
        state_text(&mut text, vehicle, point, arguments.all, asked);
    }
    if let Some(line) = opened.warnings_line() {
        let _ = writeln!(text, "{}", dim(line));
    }
    let exit =
        if points.iter().any(|point| finding(vehicle, point)) { Exit::Finding } else { Exit::Well };
    Ok(Answer { text, json: json(&answers::solve::of(vehicle, &points)), exit })
}

/// True when something in the answer wants attention.
fn finding(vehicle: &Vehicle, point: &OperatingPoint) -> bool {
    let starved = |mode| matches!(mode, SourceMode::Starved | SourceMode::DroppedOut);
    point.convergence != Convergence::Reached
        || point.regulated.iter().any(|source| starved(source.mode))
        || point.loads.iter().any(|load| !matches!(load.status, LoadStatus::Off | LoadStatus::Fed))
        || vehicle.conductors.iter().enumerate().any(|(at, conductor)| {
            let temperature = point.pieces[at].temperature;
            conductor.insulation_limit.zip(temperature).is_some_and(|(limit, now)| now > limit)
        })
}

/// `cranking, 10 s`.
pub(crate) fn state_words(vehicle: &Vehicle, state: StateId) -> String {
    let state = vehicle.state(state);
    match state.duration {
        Some(duration) => format!("{}, {}", state.name, print::duration(duration)),
        None => state.name.clone(),
    }
}

fn state_text(
    text: &mut String,
    vehicle: &Vehicle,
    point: &OperatingPoint,
    all: bool,
    asked: &Asked,
) {
    let _ =
        writeln!(text, "{} · {}\n", bold(&vehicle.name), bold(state_words(vehicle, point.state)));
    if let Convergence::NotReached { at, amps } = &point.convergence {
        let _ = writeln!(
            text,
            "{} no operating point was found; `{at}` misses its law by {}. What follows is the last attempt.\n",
            warning("warning:"),
            print::amperes(*amps)
        );
    }
    sources(text, vehicle, point, asked);
    loads(text, vehicle, point, asked);
    if all {
        points(text, vehicle, point, asked);
    }
    pieces(text, vehicle, point, all, asked);
    let balance = &point.balance;
    let charging = if balance.charging.0 > 0.5 {
        format!(" + {} into batteries", print::watts(balance.charging))
    } else {
        String::new()
    };
    let _ = writeln!(
        text,
        "{}\n",
        dim(format!(
            "power: {} from sources = {} to loads{charging} + {} lost on the way; worst current balance {}",
            print::watts(balance.sources),
            print::watts(balance.loads),
            print::watts(balance.losses),
            tiny(balance.kirchhoff.0)
        ))
    );
}

fn tiny(amperes: f64) -> String {
    if amperes == 0.0 { "0 A".to_owned() } else { format!("{amperes:.0e} A") }
}

fn sources(text: &mut String, vehicle: &Vehicle, point: &OperatingPoint, asked: &Asked) {
    let mut rows = Vec::new();
    for (battery, at) in vehicle.batteries.iter().zip(&point.batteries) {
        let what = match at.amps.0 {
            charged if charged < -0.005 => "being charged",
            delivered if delivered > 0.005 => "delivers",
            _ => "rests",
        };
        rows.push(vec![
            battery.id.clone(),
            print::volts(at.volts),
            print::amperes(at.amps.abs()),
            what.to_owned(),
        ]);
    }
    for (source, at) in vehicle.regulated.iter().zip(&point.regulated) {
        let what = match at.mode {
            SourceMode::Stopped => continue,
            SourceMode::Idle => "runs, delivers nothing".to_owned(),
            SourceMode::Regulating => "holds its voltage".to_owned(),
            SourceMode::Limited => "at its limit".to_owned(),
            SourceMode::Starved => {
                format!("{ATTENTION}limited: its feed gives no more")
            }
            SourceMode::DroppedOut => {
                format!("{ATTENTION}gives nothing: its feed is below what it works on")
            }
        };
        rows.push(vec![source.id.clone(), print::volts(at.volts), print::amperes(at.amps), what]);
    }
    let columns = [
        Column::Left("source"),
        Column::Right("volts"),
        Column::Right("current"),
        Column::Left(""),
    ];
    let _ = writeln!(text, "{}", table(&columns, rows, asked.width));
}

fn loads(text: &mut String, vehicle: &Vehicle, point: &OperatingPoint, asked: &Asked) {
    let mut rows = Vec::new();
    for (load, at) in vehicle.loads.iter().zip(&point.loads) {
        let (margin, word) = match at.status {
            LoadStatus::Off => continue,
            LoadStatus::Fed => (at.margin, String::new()),
            LoadStatus::Dead => (at.margin, format!("{ATTENTION}dead: next to no volts")),
            LoadStatus::BelowUsual => {
                let least = print::volts(load.usual_minimum);
                (at.margin, format!("{ATTENTION}below its usual minimum, {least}"))
            }
            LoadStatus::BelowMinimum => (at.margin, format!("{ATTENTION}below its minimum")),
            LoadStatus::DroppedOut => (at.margin, format!("{ATTENTION}switched itself off")),
            LoadStatus::Starved { most } => {
                (at.margin, format!("{ATTENTION}cannot be fed: at most {}", print::watts(most)))
            }
        };
        let margin = margin.map_or_else(String::new, |margin| {
            format!("{}{}", if margin >= Volts::ZERO { "+" } else { "" }, print::volts(margin))
        });
        rows.push(vec![
            load.id.clone(),
            print::volts(at.volts),
            print::amperes(at.amps),
            margin,
            word,
        ]);
    }
    if rows.is_empty() {
        let _ = writeln!(text, "no load is on\n");
        return;
    }
    let columns = [
        Column::Left("load"),
        Column::Right("volts"),
        Column::Right("current"),
        Column::Right("to minimum"),
        Column::Left(""),
    ];
    let _ = writeln!(text, "{}", table(&columns, rows, asked.width));
}

fn points(text: &mut String, vehicle: &Vehicle, point: &OperatingPoint, asked: &Asked) {
    let rows = vehicle
        .points
        .iter()
        .zip(&point.points)
        .map(|(place, volts)| {
            let volts = volts.map_or_else(|| "joined to nothing".to_owned(), print::loss);
            vec![place.id.clone(), volts]
        })
        .collect();
    let columns = [Column::Left("point"), Column::Right("volts against the first battery −")];
    let _ = writeln!(text, "{}", table(&columns, rows, asked.width));
}

fn pieces(text: &mut String, vehicle: &Vehicle, point: &OperatingPoint, all: bool, asked: &Asked) {
    let mut listed: Vec<(Piece, &PiecePoint)> = vehicle
        .pieces()
        .map(|piece| (piece, point.piece(vehicle, piece)))
        .filter(|(_, at)| all || at.amps.0.abs() > 1e-3)
        .collect();
    let carrying = listed.len();
    if !all {
        listed.sort_by(|a, b| b.1.volts.0.abs().total_cmp(&a.1.volts.0.abs()));
        listed.truncate(LARGEST_LOSSES);
    }
    let rows = listed
        .iter()
        .map(|(piece, at)| {
            let temperature = at.temperature.map_or_else(String::new, |temperature| {
                let words = asked.units.temperature(temperature);
                let limit = match piece {
                    Piece::Conductor(id) => vehicle.conductor(*id).insulation_limit,
                    _ => None,
                };
                if limit.is_some_and(|limit| temperature > limit) {
                    format!("{ATTENTION}{words}")
                } else {
                    words
                }
            });
            vec![
                names::piece(vehicle, *piece),
                print::loss(at.volts.abs()),
                print::amperes(at.amps.abs()),
                print::ohms(at.resistance),
                print::watts(at.watts.abs()),
                temperature,
            ]
        })
        .collect::<Vec<_>>();
    if rows.is_empty() {
        return;
    }
    let head = if all { "piece" } else { "largest losses" };
    let columns = [
        Column::Left(head),
        Column::Right("loses"),
        Column::Right("carries"),
        Column::Right("resistance"),
        Column::Right("heat"),
        Column::Right("at"),
    ];
    let _ = write!(text, "{}", table(&columns, rows, asked.width));
    if !all && carrying > LARGEST_LOSSES {
        let _ = writeln!(
            text,
            "{}",
            dim(format!("{} more carry current; `--all` shows them", carrying - LARGEST_LOSSES))
        );
    }
    text.push('\n');
}
