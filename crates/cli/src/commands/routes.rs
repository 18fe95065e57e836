//! `groundloom routes`: which way the current comes home, every ampere accounted for.

use std::fmt::Write;
use std::path::PathBuf;

use answers::routes::{ReturnRoutes, RoutesState, asked as asked_for};
use model::{StateId, Vehicle};
use network::{Network, RouteStart, Routes};
use units::{Amperes, Ratio, print};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::commands::solve::state_words;
use crate::names;
use crate::option::Options;
use crate::style::{bold, dim, wrapped};
use crate::vehicle_file;

/// Routes below this share are summed in one line, unless all are asked for.
const SMALL_SHARE: f64 = 0.005;

/// The return routes of a load's current, or of all that flows.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// The load; or a battery while it is charged, or a converter.
    #[arg(long, required_unless_present = "all", conflicts_with = "all")]
    load: Option<String>,
    /// The routes of all that flows: loads, batteries being charged, converters.
    #[arg(long)]
    all: bool,
    /// The operating state; all in which something flows when left out.
    #[arg(long)]
    state: Option<String>,
    /// Show the smallest routes too.
    #[arg(long)]
    small: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let mut options = Options::default();
    let start = arguments.load.as_deref().map(|name| match asked_for(vehicle, name) {
        Some(start) => Ok(start),
        None => vehicle_file::load(vehicle, name).map(RouteStart::Load),
    });
    let start = start.and_then(|start| options.keep(start));
    let states: Option<Vec<StateId>> = match (&arguments.state, start) {
        (None, Some(RouteStart::Load(load))) => Some(vehicle.load(load).on.clone()),
        (name, _) => options.keep(vehicle_file::states(vehicle, name.as_deref())),
    };
    let (Some(states), true) = (states, options.all_right()) else {
        return Err(options.failure());
    };
    let mut network = Network::new(vehicle);
    let (mut text, mut all) = (String::new(), Vec::new());
    for state in states {
        let point = network.operating_point(state);
        let routes = network.routes_from(&point, |own| start.is_none_or(|start| start == own));
        let whose = match start {
            None => "all that flows".to_owned(),
            Some(RouteStart::Load(load)) => vehicle.load(load).name.clone(),
            Some(other) => names::start(vehicle, other),
        };
        let _ = writeln!(
            text,
            "{} · {} · {}: {} on the way home",
            bold(&vehicle.name),
            bold(whose),
            bold(state_words(vehicle, state)),
            print::amperes(routes.taken())
        );
        if routes.routes.is_empty() {
            text.push_str("  nothing flows\n");
        }
        text.push_str(&routes_text(vehicle, &routes, arguments.small, asked));
        text.push('\n');
        all.push(RoutesState {
            state: vehicle.state(state).id.clone(),
            routes: answers::routes::of(vehicle, &routes, &point),
        });
    }
    Ok(Answer {
        text,
        json: json(&ReturnRoutes {
            format: answers::FORMAT,
            load: arguments.load.clone(),
            states: all,
        }),
        exit: Exit::Well,
    })
}

/// One line or more for each route; those of the same way are one.
pub(crate) fn routes_text(
    vehicle: &Vehicle,
    routes: &Routes,
    small: bool,
    asked: &Asked,
) -> String {
    let mut ways: Vec<(String, Amperes, Ratio)> = Vec::new();
    for route in &routes.routes {
        let way = names::way(vehicle, route);
        let way = if routes.routes.iter().any(|other| other.start != route.start) {
            format!("{}: {way}", names::start(vehicle, route.start))
        } else {
            way
        };
        match ways.iter_mut().find(|(known, ..)| *known == way) {
            Some((_, amps, share)) => {
                *amps += route.amps;
                *share += route.share;
            }
            None => ways.push((way, route.amps, route.share)),
        }
    }
    ways.sort_by(|a, b| b.1.0.total_cmp(&a.1.0));
    let mut text = String::new();
    let (mut rest, mut number) = (Amperes::ZERO, 0);
    for (way, amps, share) in &ways {
        if !small && share.0 < SMALL_SHARE {
            rest += *amps;
            number += 1;
            continue;
        }
        let _ = writeln!(
            text,
            "  {:>8}  {:>6}  {}",
            print::amperes(*amps),
            print::percent(*share),
            wrapped(way, asked.width.saturating_sub(20), 20)
        );
    }
    if number > 0 {
        let _ = writeln!(
            text,
            "{}",
            dim(format!("  {:>8}          {number} smaller ways", print::amperes(rest)))
        );
    }
    text
}
