//! `groundloom what-if`: before and after a change, for every load and state.

use std::fmt::Write;
use std::path::PathBuf;

use answers::what_if::WhatIf;
use file::edit::{EditError, add_conductor, set_resistance};
use model::{ConductorId, LoadId, Vehicle};
use network::{Convergence, LoadStatus, Network, OperatingPoint};
use units::{Volts, print};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::cautions;
use crate::commands::solve::state_words;
use crate::option::Options;
use crate::style::{bold, dim};
use crate::table::{ATTENTION, Column, table};
use crate::vehicle_file;

/// A load that changes by less is not shown, unless all are asked for.
const LEAST_CHANGE: Volts = Volts(5e-4);

/// What every load gains or loses when something is changed or added.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// Set a resistance: `main-negative.to=5mΩ`, or open it: `frame-strap=open`. May be repeated.
    #[arg(long = "set", value_name = "NAME=RESISTANCE")]
    set: Vec<String>,
    /// Add a conductor: `main/-,block/front,35mm2,0.6m`. May be repeated.
    #[arg(long = "add", value_name = "FROM,TO,SIZE,LENGTH")]
    add: Vec<String>,
    /// One operating state; all that the file has when left out.
    #[arg(long)]
    state: Option<String>,
    /// Show loads that hardly change too.
    #[arg(long)]
    all: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    if arguments.set.is_empty() && arguments.add.is_empty() {
        return Err(Failure::new(
            "nothing is changed",
            "`--set NAME=RESISTANCE` or `--add FROM,TO,SIZE,LENGTH`",
        ));
    }
    let mut options = Options::default();
    let states = options.keep(vehicle_file::states(vehicle, arguments.state.as_deref()));
    let changed = options.keep(changed(vehicle, arguments));
    let (Some(states), Some((changed, told, added))) = (states, changed) else {
        return Err(options.failure());
    };
    let (mut before, mut after) = (Network::new(vehicle), Network::new(&changed));
    let mut text = format!("{}\n{}\n", bold(&vehicle.name), told.join("\n"));
    let (mut all, mut exit) = (Vec::new(), Exit::Well);
    for state in states {
        let (was, is) = (before.operating_point(state), after.operating_point(state));
        if vehicle.loads.iter().enumerate().any(|(at, _)| worse(&was, &is, LoadId::at(at)))
            || is.convergence != Convergence::Reached
        {
            exit = Exit::Finding;
        }
        let _ = writeln!(text, "\n{}", bold(state_words(vehicle, state)));
        text.push_str(&state_text(vehicle, &changed, &was, &is, arguments.all, asked));
        all.push(answers::what_if::state(vehicle, &changed, &was, &is));
    }
    let concern = answers::what_if::cautions(&changed, &added);
    if !concern.is_empty() {
        let _ = write!(text, "\n{}", cautions::paragraphs(&concern, asked));
    }
    let told = answers::cautions::told(&concern);
    let answer = WhatIf { format: answers::FORMAT, states: all, cautions: told };
    Ok(Answer { text, json: json(&answer), exit })
}

/// The changed vehicle, each change in words, and what was added.
type Changed = (Vehicle, Vec<String>, Vec<ConductorId>);

/// The changed vehicle, and each change in words. Every mistake is told, not only the first.
fn changed(vehicle: &Vehicle, arguments: &Arguments) -> Result<Changed, Failure> {
    let mut changed = vehicle.clone();
    let (mut told, mut wrong, mut added) = (Vec::new(), Vec::new(), Vec::new());
    for text in &arguments.add {
        match add_conductor(&mut changed, text) {
            Ok(id) => {
                added.push(id);
                let conductor = changed.conductor(id);
                told.push(format!(
                    "with `{}` added: {} from {} to {}, {} and two clean lugs",
                    conductor.id,
                    conductor.size.map_or_else(String::new, |size| size.to_string()),
                    changed.point(changed.joint(conductor.from).point).id,
                    changed.point(changed.joint(conductor.to).point).id,
                    print::ohms(conductor.resistance_at_20)
                ));
            }
            Err(error) => wrong.push(failed("--add", text, &error)),
        }
    }
    for text in &arguments.set {
        let before = text.rsplit_once('=').and_then(|(name, _)| changed.piece_named(name.trim()));
        let was = before.map(|piece| changed.piece_resistance(piece));
        match set_resistance(&mut changed, text) {
            Ok(piece) => {
                let now = changed.piece_resistance(piece);
                let now =
                    if now >= file::edit::OPEN { "open".to_owned() } else { print::ohms(now) };
                told.push(format!(
                    "with `{}` at {now} instead of {}",
                    changed.piece_name(piece),
                    was.map_or_else(String::new, print::ohms)
                ));
            }
            Err(error) => wrong.push(failed("--set", text, &error)),
        }
    }
    if wrong.is_empty() {
        Ok((changed, told, added))
    } else {
        Err(Failure(wrong.join("\nerror: ")))
    }
}

fn failed(option: &str, text: &str, error: &EditError) -> String {
    let caret = text.get(..error.place.start).map_or(0, |before| before.chars().count());
    let length = text.get(error.place.clone()).map_or(1, |at| at.chars().count().max(1));
    let indent = option.len() + 1 + caret;
    let hint = error.hint.as_ref().map_or_else(String::new, |hint| format!("\n  hint: {hint}"));
    format!(
        "{}\n  {option} {text}\n  {}{}\n  expected {}{hint}",
        error.what,
        " ".repeat(indent),
        "^".repeat(length),
        error.expected
    )
}

fn worse(was: &OperatingPoint, is: &OperatingPoint, load: LoadId) -> bool {
    let fed = |point: &OperatingPoint| {
        matches!(point.load(load).status, LoadStatus::Fed | LoadStatus::Off)
    };
    fed(was) && !fed(is)
}

fn state_text(
    vehicle: &Vehicle,
    changed: &Vehicle,
    was: &OperatingPoint,
    is: &OperatingPoint,
    all: bool,
    asked: &Asked,
) -> String {
    let mut rows = Vec::new();
    let (mut hidden, mut on) = (0, 0);
    for (load, (before, after)) in vehicle.loads.iter().zip(was.loads.iter().zip(&is.loads)) {
        if before.status == LoadStatus::Off {
            continue;
        }
        on += 1;
        let gain = after.volts - before.volts;
        if !all && gain.abs() < LEAST_CHANGE && before.status == after.status {
            hidden += 1;
            continue;
        }
        let word = match (before.status, after.status) {
            (a, b) if a == b => String::new(),
            (_, LoadStatus::Fed) => "now fed".to_owned(),
            (_, LoadStatus::Dead) => format!("{ATTENTION}now dead"),
            (_, LoadStatus::BelowUsual) => format!("{ATTENTION}now below its usual minimum"),
            (_, LoadStatus::BelowMinimum) => format!("{ATTENTION}now below its minimum"),
            (_, LoadStatus::DroppedOut) => format!("{ATTENTION}now switches itself off"),
            (_, LoadStatus::Starved { .. }) => format!("{ATTENTION}now cannot be fed"),
            (_, LoadStatus::Off) => String::new(),
        };
        let sign = if gain.0 > 0.0 { "+" } else { "" };
        rows.push(vec![
            load.id.clone(),
            print::volts(before.volts),
            print::volts(after.volts),
            format!("{sign}{}", print::loss(gain)),
            word,
        ]);
    }
    if on == 0 {
        return "  no load is on\n".to_owned();
    }
    let mut text = String::new();
    if !rows.is_empty() {
        let columns = [
            Column::Left("load"),
            Column::Right("before"),
            Column::Right("after"),
            Column::Right("gains"),
            Column::Left(""),
        ];
        text.push_str(&table(&columns, rows, asked.width));
    }
    if hidden > 0 {
        let _ = writeln!(
            text,
            "{}",
            dim(format!("{hidden} of {on} loads change by less than half a millivolt"))
        );
    }
    text.push_str(&flows_text(vehicle, changed, was, is, asked));
    text
}

/// The conductors whose current changes most: what an added strap takes over, or a lost one leaves behind.
fn flows_text(
    vehicle: &Vehicle,
    changed: &Vehicle,
    was: &OperatingPoint,
    is: &OperatingPoint,
    asked: &Asked,
) -> String {
    let mut flows: Vec<(String, f64, f64)> = changed
        .pieces()
        .filter(|piece| !matches!(piece, model::Piece::Joint(_)))
        .map(|piece| {
            let name = changed.piece_name(piece).to_owned();
            let before = vehicle
                .piece_named(&name)
                .map_or(0.0, |piece| was.piece(vehicle, piece).amps.0.abs());
            (name, before, is.piece(changed, piece).amps.0.abs())
        })
        .filter(|(_, before, after)| (after - before).abs() > (0.01 * before.max(*after)).max(0.1))
        .collect();
    flows.sort_by(|a, b| (b.2 - b.1).abs().total_cmp(&(a.2 - a.1).abs()));
    flows.truncate(6);
    if flows.is_empty() {
        return String::new();
    }
    let rows = flows
        .into_iter()
        .map(|(name, before, after)| {
            vec![
                name,
                print::amperes(units::Amperes(before)),
                print::amperes(units::Amperes(after)),
            ]
        })
        .collect();
    let columns =
        [Column::Left("current moves most in"), Column::Right("before"), Column::Right("after")];
    table(&columns, rows, asked.width)
}
