//! What is said of a change: each load's volts before and after, and the currents that move most.

use model::{Load, Piece};
use network::{LoadPoint, LoadStatus, OperatingPoint};
use units::{Amperes, Volts};

use super::found::Change;
use super::{Asked, Found};
use crate::told::quantity::{amperes, ohms, volts};
use crate::told::{Line, Quantity, Span, Told, aside, cautions, left, name, names, right, strong};
use crate::unsettled;

/// A load that changes by less is not shown, unless all are asked for.
const LEAST_CHANGE: Volts = Volts(5e-4);
/// Conductors whose current is shown.
const MOST_FLOWS: usize = 6;

pub(super) fn of(found: &Found<'_>, &Asked { all, .. }: &Asked) -> Told {
    let mut told = Told::default();
    told.line(strong(name(&found.vehicle.name)));
    for own in &found.changes {
        told.line(change(found, *own));
    }
    for (was, is) in &found.states {
        told.heading(names::state(found.vehicle, was.state));
        // Before and after are one sum: either spoils it.
        unsettled::told(&mut told, if unsettled::is_found(is) { was } else { is });
        of_state(&mut told, found, was, is, all);
    }
    let concern = super::shape::cautions(&found.changed, &found.added());
    if !concern.is_empty() {
        told.gap();
        cautions::told(&mut told, &concern);
    }
    told
}

fn change(found: &Found<'_>, change: Change) -> Line {
    let changed = &found.changed;
    match change {
        Change::Added(id) => {
            let own = changed.conductor(id);
            let end = |joint| name(&changed.point(changed.joint(joint).point).id);
            say!(
                "with `{}` added: {} from {} to {}, {} and two clean lugs",
                name(&own.id),
                own.size.map_or_else(String::new, |size| size.to_string()),
                end(own.from),
                end(own.to),
                ohms(own.resistance_at_20)
            )
        }
        Change::Set(piece, was) => {
            let now = changed.piece_resistance(piece);
            let now = if now >= file::edit::OPEN { "open".into() } else { Span::from(ohms(now)) };
            let was = was.map_or_else(|| Span::from(""), |was| ohms(was).into());
            let own = name(changed.piece_name(piece));
            say!("with `{}` at {} instead of {}", own, now, was)
        }
    }
}

fn of_state(
    told: &mut Told,
    found: &Found<'_>,
    was: &OperatingPoint,
    is: &OperatingPoint,
    all: bool,
) {
    let loads = found.vehicle.loads.iter().zip(was.loads.iter().zip(&is.loads));
    let on: Vec<_> = loads.filter(|(_, (before, _))| before.status != LoadStatus::Off).collect();
    if on.is_empty() {
        told.line("  no load is on");
        return;
    }
    let gain = |before: &LoadPoint, after: &LoadPoint| after.volts - before.volts;
    let changes = |(_, (before, after)): &&(&Load, (&LoadPoint, &LoadPoint))| {
        let alike = gain(before, after).abs() < LEAST_CHANGE && before.status == after.status;
        all || !alike
    };
    let shown: Vec<_> = on.iter().filter(changes).collect();
    let hidden = on.len() - shown.len();
    if !shown.is_empty() {
        told.rows(shown, |(load, (before, after))| {
            [
                left("load", name(&load.id)),
                right("before", volts(before.volts)),
                right("after", volts(after.volts)),
                right("gains", Quantity::Gain(gain(before, after))),
                left("", becomes(before.status, after.status)),
            ]
        });
    }
    if hidden > 0 {
        let words = say!("{} of {} loads change by less than half a millivolt", hidden, on.len());
        told.line(aside(words));
    }
    flows(told, found, was, is);
}

fn becomes(before: LoadStatus, after: LoadStatus) -> Line {
    match after {
        _ if before == after => say!(""),
        LoadStatus::Fed => say!("now fed"),
        LoadStatus::Dead => say!("{}now dead", Span::Attention),
        LoadStatus::BelowUsual => say!("{}now below its usual minimum", Span::Attention),
        LoadStatus::BelowMinimum => say!("{}now below its minimum", Span::Attention),
        LoadStatus::DroppedOut => say!("{}now switches itself off", Span::Attention),
        LoadStatus::Starved { .. } => say!("{}now cannot be fed", Span::Attention),
        LoadStatus::Off => say!(""),
    }
}

/// The conductors whose current changes most: what an added strap takes over, or a lost one leaves behind.
fn flows(told: &mut Told, found: &Found<'_>, was: &OperatingPoint, is: &OperatingPoint) {
    let (vehicle, changed) = (found.vehicle, &found.changed);
    let mut flows: Vec<(&str, Amperes, Amperes)> = changed
        .pieces()
        .filter(|piece| !matches!(piece, Piece::Joint(_)))
        .map(|piece| {
            let own = changed.piece_name(piece);
            let before = vehicle
                .piece_named(own)
                .map_or(Amperes::ZERO, |piece| was.piece(vehicle, piece).amps.abs());
            (own, before, is.piece(changed, piece).amps.abs())
        })
        .filter(|(_, before, after)| moved(*before, *after) > least_moved(*before, *after))
        .collect();
    flows.sort_by(|a, b| units::larger_first(moved(a.1, a.2), moved(b.1, b.2)));
    flows.truncate(MOST_FLOWS);
    if flows.is_empty() {
        return;
    }
    told.rows(flows, |(own, before, after)| {
        let (before, after) = (amperes(before), amperes(after));
        [left("current moves most in", name(own)), right("before", before), right("after", after)]
    });
}

fn moved(before: Amperes, after: Amperes) -> f64 {
    (after - before).0.abs()
}

/// A hundredth of the larger one, and a tenth of an ampere at least.
fn least_moved(before: Amperes, after: Amperes) -> f64 {
    (0.01 * before.max(after).0).max(0.1)
}
