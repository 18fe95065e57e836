//! `groundloom solve`: volts, amperes, watts and degrees of everything, state by state.

use std::fmt::Write;
use std::path::PathBuf;

use model::{Piece, StateId, Vehicle};
use network::{Convergence, LoadStatus, Network, OperatingPoint, PiecePoint, SourceMode};
use serde_json::{Map, Value, json};
use units::{Volts, print};

use crate::answer::{Answer, Asked, Exit, Failure};
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
    Ok(Answer { text, json: json(vehicle, &points), exit })
}

/// True when something in the answer wants attention.
fn finding(vehicle: &Vehicle, point: &OperatingPoint) -> bool {
    point.convergence != Convergence::Reached
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
            SourceMode::Idle => "runs, delivers nothing",
            SourceMode::Regulating => "holds its voltage",
            SourceMode::Limited => "at its limit",
        };
        rows.push(vec![
            source.id.clone(),
            print::volts(at.volts),
            print::amperes(at.amps),
            what.to_owned(),
        ]);
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

/// The documented JSON of `solve`.
pub(crate) fn json(vehicle: &Vehicle, points: &[OperatingPoint]) -> Value {
    json!({ "format": 1, "states": points.iter().map(|point| state_json(vehicle, point)).collect::<Vec<_>>() })
}

fn state_json(vehicle: &Vehicle, point: &OperatingPoint) -> Value {
    let piece_json = |at: &PiecePoint| {
        json!({
            "amps": at.amps.0,
            "volts": at.volts.0,
            "watts": at.watts.0,
            "ohms": at.resistance.0,
        })
    };
    let mut groups: [Map<String, Value>; 5] = Default::default();
    for piece in vehicle.pieces() {
        let at = point.piece(vehicle, piece);
        let mut value = piece_json(at);
        if let (Piece::Conductor(_), Some(object)) = (piece, value.as_object_mut()) {
            object.insert("kelvin".to_owned(), json!(at.temperature.map(|now| now.0)));
            object.insert("celsius".to_owned(), json!(at.temperature.map(units::Kelvin::celsius)));
        }
        let group = match piece {
            Piece::Conductor(_) => 0,
            Piece::Joint(_) => 1,
            Piece::Stretch(_) => 2,
            Piece::Incidental(_) => 3,
            Piece::Inline(_) => 4,
        };
        groups[group].insert(vehicle.piece_name(piece).to_owned(), value);
    }
    let [conductors, joints, stretches, incidental, inline] = groups;
    let points: Map<String, Value> = vehicle
        .points
        .iter()
        .zip(&point.points)
        .map(|(place, volts)| (place.id.clone(), json!({ "volts": volts.map(|volts| volts.0) })))
        .collect();
    let batteries: Map<String, Value> = vehicle
        .batteries
        .iter()
        .zip(&point.batteries)
        .map(|(battery, at)| {
            (
                battery.id.clone(),
                json!({ "amps": at.amps.0, "volts": at.volts.0, "watts": at.watts.0 }),
            )
        })
        .collect();
    let sources: Map<String, Value> = vehicle
        .regulated
        .iter()
        .zip(&point.regulated)
        .map(|(source, at)| {
            let mode = match at.mode {
                SourceMode::Stopped => "stopped",
                SourceMode::Idle => "idle",
                SourceMode::Regulating => "regulating",
                SourceMode::Limited => "limited",
            };
            (source.id.clone(), json!({ "amps": at.amps.0, "volts": at.volts.0, "watts": at.watts.0, "mode": mode }))
        })
        .collect();
    let loads: Map<String, Value> = vehicle
        .loads
        .iter()
        .zip(&point.loads)
        .map(|(load, at)| {
            let (status, most) = match at.status {
                LoadStatus::Off => ("off", None),
                LoadStatus::Fed => ("fed", None),
                LoadStatus::BelowMinimum => ("below-minimum", None),
                LoadStatus::DroppedOut => ("dropped-out", None),
                LoadStatus::Starved { most } => ("starved", Some(most.0)),
            };
            let mut value = json!({
                "amps": at.amps.0,
                "volts": at.volts.0,
                "margin_volts": at.margin.map(|margin| margin.0),
                "status": status,
            });
            if let (Some(most), Some(object)) = (most, value.as_object_mut()) {
                object.insert("most_watts".to_owned(), json!(most));
            }
            (load.id.clone(), value)
        })
        .collect();
    let balance = &point.balance;
    let (reached, misses) = match &point.convergence {
        Convergence::Reached => (true, None),
        Convergence::NotReached { at, amps } => (false, Some(json!({ "at": at, "amps": amps.0 }))),
    };
    json!({
        "state": vehicle.state(point.state).id,
        "points": points,
        "conductors": conductors,
        "joints": joints,
        "stretches": stretches,
        "incidental": incidental,
        "inline": inline,
        "batteries": batteries,
        "sources": sources,
        "loads": loads,
        "balance": {
            "sources_watts": balance.sources.0,
            "loads_watts": balance.loads.0,
            "charging_watts": balance.charging.0,
            "losses_watts": balance.losses.0,
            "error_watts": balance.error.0,
            "kirchhoff_amps": balance.kirchhoff.0,
        },
        "found": reached,
        "misses": misses,
    })
}
