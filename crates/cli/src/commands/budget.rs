//! `groundloom budget`: where a load's volts go, as a table and a picture, summing to the meter's reading.

use std::fmt::Write;
use std::path::PathBuf;

use answers::budget::Budgets;
use model::{BatteryId, Earth, Piece, StateId, Vehicle};
use network::budget::Home;
use network::{Budget, LoadStatus, Network, OperatingPoint, Side, Term};
use units::{Volts, print};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::commands::routes;
use crate::commands::solve::state_words;
use crate::names;
use crate::option::Options;
use crate::style::{bold, dim, warning};
use crate::vehicle_file;

/// Terms below this share of a side are summed in one line, unless all are asked for.
const SMALL_SHARE: f64 = 0.01;

/// Where the volts of one load go: feed side, load, return side, and the ways home.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// The load.
    #[arg(long)]
    load: String,
    /// The operating state; every state in which the load is on when left out.
    #[arg(long)]
    state: Option<String>,
    /// Show the small terms too.
    #[arg(long)]
    all: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let mut options = Options::default();
    let load = options.keep(vehicle_file::load(vehicle, &arguments.load));
    let state = arguments.state.as_deref().map(|name| vehicle_file::state(vehicle, name));
    let state = state.and_then(|state| options.keep(state));
    let (Some(load), true) = (load, options.all_right()) else {
        return Err(options.failure());
    };
    let states: Vec<StateId> =
        state.map_or_else(|| vehicle.load(load).on.clone(), |state| vec![state]);
    if states.is_empty() {
        return Err(Failure::new(
            format!("`{}` is on in none of the states that are solved", arguments.load),
            "a state for it in its `on`",
        ));
    }
    let mut network = Network::new(vehicle);
    let (mut text, mut all, mut exit) = (String::new(), Vec::new(), Exit::Well);
    for state in states {
        let point = network.operating_point(state);
        let Some(budget) = network.budget(&point, load) else {
            return Err(Failure::new(
                format!(
                    "no source is joined to both terminals of `{}` in the state `{}`",
                    arguments.load,
                    vehicle.state(state).id
                ),
                "a state in which the switches between them are closed",
            ));
        };
        let routes = network.routes(&point, load);
        if !matches!(point.load(load).status, LoadStatus::Fed) {
            exit = Exit::Finding;
        }
        budget_text(&mut text, vehicle, &point, &budget, arguments.all, asked);
        if !routes.routes.is_empty() {
            let _ = writeln!(
                text,
                "{}",
                bold(format!("ways home of its {}", print::amperes(routes.total)))
            );
            text.push_str(&routes::routes_text(vehicle, &routes, false, asked));
            text.push('\n');
        }
        all.push(answers::budget::state(vehicle, &point, &budget, &routes));
    }
    if let Some(line) = opened.warnings_line() {
        let _ = writeln!(text, "{}", dim(line));
    }
    let budgets = Budgets { format: answers::FORMAT, load: arguments.load.clone(), states: all };
    Ok(Answer { text, json: json(&budgets), exit })
}

fn budget_text(
    text: &mut String,
    vehicle: &Vehicle,
    point: &OperatingPoint,
    budget: &Budget,
    all: bool,
    asked: &Asked,
) {
    let load = vehicle.load(budget.load);
    let home = answers::budget::source(vehicle, &budget.home);
    let (low, high) = match &budget.home {
        Home::Series(chain) => (chain.first(), chain.last()),
        Home::Battery(_) | Home::Source(_) => (None, None),
    };
    let post = |id: Option<&BatteryId>| id.map_or(home.as_str(), |id| &vehicle.battery(*id).id);
    let (feed_home, return_home) = match vehicle.earth {
        Earth::Negative => (post(high), post(low)),
        Earth::Positive => (post(low), post(high)),
    };
    let _ = writeln!(
        text,
        "{} · {} · {}\n",
        bold(&vehicle.name),
        bold(&load.name),
        bold(state_words(vehicle, point.state))
    );
    let (plus, minus) = match vehicle.earth {
        Earth::Negative => ("+", "-"),
        Earth::Positive => ("-", "+"),
    };
    let largest = budget.terms.iter().map(|term| term.volts.0.abs()).fold(0.0, f64::max);
    let bar = Bar { largest, width: asked.width };
    let _ = writeln!(
        text,
        "{}  {}",
        bold(format!("feed    {:>9}", print::loss(budget.feed))),
        dim(format!("a meter from {feed_home}/{plus} to {}/{plus}", load.id))
    );
    side_text(text, vehicle, budget, Side::Feed, all, &bar);
    let at = point.load(budget.load);
    let margin = match (at.margin, at.status) {
        (_, LoadStatus::Off) => "not on in this state".to_owned(),
        (_, LoadStatus::DroppedOut) => warning("it has switched itself off"),
        (_, LoadStatus::Starved { most }) => {
            warning(format!("cannot be fed; at most {}", print::watts(most)))
        }
        (_, LoadStatus::Dead) => warning("dead: next to no volts"),
        (_, LoadStatus::BelowUsual) => warning(format!(
            "no minimum is stated; below the usual one, {}",
            print::volts(load.usual_minimum)
        )),
        (Some(margin), _) if margin < Volts::ZERO => {
            warning(format!("{} below its minimum", print::volts(margin.abs())))
        }
        (Some(margin), _) => format!("{} above its minimum", print::volts(margin)),
        (None, _) => "no minimum is stated".to_owned(),
    };
    let _ = writeln!(
        text,
        "{}  {} at {}; {margin}\n",
        bold(format!("load    {:>9}", print::volts(budget.load_volts))),
        load.id,
        print::amperes(budget.load_amps)
    );
    let _ = writeln!(
        text,
        "{}  {}",
        bold(format!("return  {:>9}", print::loss(budget.back))),
        dim(format!("a meter from {}/{minus} to {return_home}/{minus}", load.id))
    );
    side_text(text, vehicle, budget, Side::Return, all, &bar);
    if let Home::Series(chain) = &budget.home {
        between_text(text, vehicle, point, budget, chain);
        side_text(text, vehicle, budget, Side::Between, all, &bar);
    }
    let _ = writeln!(
        text,
        "{}\n",
        dim(format!(
            "{} + {} + {} = {} at {home}",
            print::fixed(budget.feed.0, 3),
            print::fixed(budget.load_volts.0, 3),
            print::fixed(budget.back.0, 3),
            format_args!("{} V", print::fixed(budget.source_volts.0, 3)),
        ))
    );
}

/// What batteries in series give, and what is lost between them.
fn between_text(
    text: &mut String,
    vehicle: &Vehicle,
    point: &OperatingPoint,
    budget: &Budget,
    chain: &[BatteryId],
) {
    let each: Vec<String> = chain
        .iter()
        .map(|id| format!("{} {}", vehicle.battery(*id).id, print::volts(point.battery(*id).volts)))
        .collect();
    let _ = writeln!(
        text,
        "{}  {}",
        bold(format!("between {:>9}", print::loss(budget.between))),
        dim(format!(
            "the source is batteries in series: {}; less what is lost between them",
            each.join(" + ")
        ))
    );
}

struct Bar {
    largest: f64,
    width: usize,
}

fn side_text(
    text: &mut String,
    vehicle: &Vehicle,
    budget: &Budget,
    side: Side,
    all: bool,
    bar: &Bar,
) {
    let sum: f64 = budget.side(side).map(|term| term.volts.0.abs()).sum();
    let (mut small, mut number) = (Volts::ZERO, 0);
    for term in budget.side(side) {
        if !all && term.volts.0.abs() < SMALL_SHARE * sum {
            small += term.volts;
            number += 1;
            continue;
        }
        term_text(text, vehicle, term, bar);
    }
    if number > 0 {
        let _ = writeln!(
            text,
            "{}",
            dim(format!("  {:>9}  {number} smaller ones", print::loss(small)))
        );
    }
    text.push('\n');
}

/// One line: what it costs, a bar, what it is, what it carries and its resistance.
fn term_text(text: &mut String, vehicle: &Vehicle, term: &Term, bar: &Bar) {
    const BAR: usize = 14;
    let share = if bar.largest > 0.0 { term.volts.0.abs() / bar.largest } else { 0.0 };
    let eighths = (share * 8.0 * BAR as f64).round() as usize;
    let mut drawn = "█".repeat(eighths / 8);
    if let Some(part) = ["", "▏", "▎", "▍", "▌", "▋", "▊", "▉"].get(eighths % 8) {
        drawn.push_str(part);
    }
    let drawn = format!("{drawn}{}", " ".repeat(BAR.saturating_sub(drawn.chars().count())));
    let figures =
        format!("{:>7}  {:>8}", print::amperes(term.amps.abs()), print::ohms(term.resistance));
    let room = bar.width.saturating_sub(2 + 9 + 2 + BAR + 1 + figures.chars().count() + 2).max(16);
    let _ = writeln!(
        text,
        "  {:>9}  {drawn} {:<room$}  {figures}",
        print::loss(term.volts),
        shortened(&piece_words(vehicle, term.piece), room)
    );
}

/// A piece in few words: the kind of a joint and its place say more than its conductor's size.
fn piece_words(vehicle: &Vehicle, piece: Piece) -> String {
    match piece {
        Piece::Joint(id) => {
            let joint = vehicle.joint(id);
            format!("{} ({})", joint.id, joint.kind)
        }
        Piece::Stretch(id) => vehicle.stretch(id).id.clone(),
        other => names::piece(vehicle, other),
    }
}

fn shortened(text: &str, room: usize) -> String {
    if text.chars().count() <= room {
        text.to_owned()
    } else {
        // What is in brackets is said by the way and goes first.
        let bare = text.split(" (").next().unwrap_or(text);
        if bare.chars().count() <= room {
            bare.to_owned()
        } else {
            bare.chars().take(room.saturating_sub(1)).chain(['…']).collect()
        }
    }
}
