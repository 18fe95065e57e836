//! What is said of a load's circuit: sums, bars and what a meter would show.

use model::{BatteryId, Piece, PointId, Vehicle};
use network::budget::Home;
use network::{Budget, LoadStatus, OperatingPoint, Side, Subject, Term};
use units::{Amperes, Volts};

use super::found::InState;
use super::shape::{source_terminals, subject_terminals};
use super::{Asked, Found};
use crate::told::quantity::{amperes, loss, ohms, volts, watts};
use crate::told::{
    Bar, Block, Line, Quantity, Span, Told, aside, joined, name, names, strong, warning,
};
use crate::{routes, unsettled};

/// Terms below this share of a side are summed in one line, unless all are asked for.
const SMALL_SHARE: f64 = 0.01;

/// Share by which currents of batteries in series may differ to be told as one.
const ALIKE: f64 = 5e-3;

pub(super) fn of(found: &Found<'_>, &Asked { all, .. }: &Asked) -> Told {
    let mut told = Told::default();
    for own in &found.states {
        of_state(&mut told, found.vehicle, own, all);
        if !own.routes.routes.is_empty() {
            told.line(strong(say!("ways home of its {}", amperes(own.routes.total))));
            routes::ways(&mut told, found.vehicle, &own.routes, false);
            told.gap();
        }
    }
    told
}

fn of_state(told: &mut Told, vehicle: &Vehicle, own: &InState, all: bool) {
    let InState { point, budget, .. } = own;
    let state = names::state(vehicle, point.state);
    let own = super::subject(vehicle, &budget.subject);
    let (title, label) = match budget.subject {
        Subject::Load(id) => (vehicle.load(id).name.clone(), "load    "),
        Subject::Charging(_) => (format!("charging {own}"), "battery "),
        Subject::Input(_) => (format!("into {own}"), "input   "),
    };
    told.line(say!(
        "{} · {} · {}",
        strong(name(&vehicle.name)),
        strong(name(&title)),
        strong(state)
    ));
    told.gap();
    unsettled::told(told, point);
    let at = |point| terminal(vehicle, point);
    let (leaves, comes_home) = source_terminals(vehicle, &budget.home).unzip();
    let (fed, begins) = subject_terminals(vehicle, &budget.subject).unzip();
    let feed = say!("a meter from {} to {}", at(leaves), at(fed));
    told.line(say!("{}  {}", head("feed    ", loss(budget.feed)), aside(feed)));
    side(told, vehicle, budget, Side::Feed, all);
    told.line(say!(
        "{}  {} at {}; {}",
        head(label, volts(budget.load_volts)),
        name(&own),
        taken(point, budget),
        margin(vehicle, point, budget)
    ));
    told.gap();
    let back = say!("a meter from {} to {}", at(begins), at(comes_home));
    told.line(say!("{}  {}", head("return  ", loss(budget.back)), aside(back)));
    side(told, vehicle, budget, Side::Return, all);
    if let Home::Series(chain) = &budget.home {
        between(told, vehicle, point, budget, chain);
        side(told, vehicle, budget, Side::Between, all);
    }
    let exact = |value: Volts, unit| Quantity::Fixed(value.0, 3, unit);
    told.line(aside(say!(
        "{} + {} + {} = {} at {}",
        exact(budget.feed, ""),
        exact(budget.load_volts, ""),
        exact(budget.back, ""),
        exact(budget.source_volts, " V"),
        name(super::source(vehicle, &budget.home))
    )));
    told.gap();
}

/// What it takes: of batteries in series each its own current, the lowest first, where these differ.
fn taken(point: &OperatingPoint, budget: &Budget) -> Line {
    let Subject::Charging(chain) = &budget.subject else {
        return say!("{}", amperes(budget.load_amps));
    };
    let mut each: Vec<Amperes> = chain.iter().map(|id| -point.battery(*id).amps).collect();
    each.dedup_by(|own, before| (*own - *before).abs() <= before.abs() * ALIKE);
    joined(each.into_iter().map(|own| say!("{}", amperes(own))), " and ")
}

fn head(what: &'static str, sum: Quantity) -> Span {
    strong(say!("{}{}", what, Span::from(sum).right(9)))
}

/// A terminal as the name of its device and its sign.
fn terminal(vehicle: &Vehicle, point: Option<PointId>) -> Line {
    let id = point.map_or("", |point| vehicle.point(point).id.as_str());
    let (device, sign) = id.rsplit_once('/').unwrap_or((id, ""));
    say!("{}/{}", name(device), sign.to_owned())
}

fn margin(vehicle: &Vehicle, point: &OperatingPoint, budget: &Budget) -> Span {
    let load = match budget.subject {
        Subject::Load(id) => id,
        Subject::Charging(_) => return "being charged".into(),
        Subject::Input(id) => {
            let gives = point.source(id);
            return say!("gives {} at {}", volts(gives.volts), amperes(gives.amps)).into();
        }
    };
    let at = point.load(load);
    match (at.margin, at.status) {
        (_, LoadStatus::Off) => "not on in this state".into(),
        (_, LoadStatus::DroppedOut) => warning("it has switched itself off"),
        (_, LoadStatus::Starved { most }) => {
            warning(say!("cannot be fed; at most {}", watts(most)))
        }
        (_, LoadStatus::Dead) => warning("dead: next to no volts"),
        (_, LoadStatus::BelowUsual) => {
            let usual = vehicle.load(load).usual_minimum;
            warning(say!("no minimum is stated; below the usual one, {}", volts(usual)))
        }
        (Some(margin), _) if margin < Volts::ZERO => {
            warning(say!("{} below its minimum", volts(margin.abs())))
        }
        (Some(margin), _) => say!("{} above its minimum", volts(margin)).into(),
        (None, _) => "no minimum is stated".into(),
    }
}

/// What batteries in series give, and what is lost between them.
fn between(
    told: &mut Told,
    vehicle: &Vehicle,
    point: &OperatingPoint,
    budget: &Budget,
    chain: &[BatteryId],
) {
    let each = chain.iter().map(|id| -> Line {
        say!("{} {}", name(&vehicle.battery(*id).id), volts(point.battery(*id).volts))
    });
    let words = say!(
        "the source is batteries in series: {}; less what is lost between them",
        joined(each, " + ")
    );
    told.line(say!("{}  {}", head("between ", loss(budget.between)), aside(words)));
}

fn side(told: &mut Told, vehicle: &Vehicle, budget: &Budget, side: Side, all: bool) {
    let largest = budget.terms.iter().map(|term| term.volts.0.abs()).fold(0.0, f64::max);
    let sum: f64 = budget.side(side).map(|term| term.volts.0.abs()).sum();
    let (mut small, mut number) = (Volts::ZERO, 0);
    let mut bars = Vec::new();
    for term in budget.side(side) {
        if !all && term.volts.0.abs() < SMALL_SHARE * sum {
            small += term.volts;
            number += 1;
        } else {
            bars.push(bar(vehicle, term, largest));
        }
    }
    told.blocks.push(Block::Bars(bars));
    if number > 0 {
        let small = Span::from(loss(small)).right(9);
        told.line(aside(say!("  {}  {} smaller ones", small, number)));
    }
    told.gap();
}

/// What a piece costs, what it carries and its resistance.
fn bar(vehicle: &Vehicle, term: &Term, largest: f64) -> Bar {
    Bar {
        amount: loss(term.volts),
        share: if largest > 0.0 { term.volts.0.abs() / largest } else { 0.0 },
        name: vehicle.piece_name(term.piece).to_owned(),
        note: note(vehicle, term.piece),
        figures: vec![(amperes(term.amps.abs()), 7), (ohms(term.resistance), 8)],
    }
}

/// What a piece is in few words: the kind of a joint says more than its place.
fn note(vehicle: &Vehicle, piece: Piece) -> Option<String> {
    match piece {
        Piece::Joint(id) => Some(vehicle.joint(id).kind.to_string()),
        Piece::Stretch(_) => None,
        other => names::note(vehicle, other),
    }
}
