//! Conductors that might be added: between which points, how long, how thick.

use std::collections::BTreeMap;

use catalogue::{Catalogue, Defaults, TakenAt};
use model::{ConductorId, Measured, Piece, PointId, PointOwner, Probe, StateId, Vehicle};
use network::{Convergence, Failed, Network, OperatingPoint, duty};
use units::{Amperes, Metres, Ohms, SquareMetres, Volts, WireSize};

use super::Action;
use super::case::Case;
use crate::diagnose::Diagnosis;
use crate::forward::{Forward, Guess};
use crate::judged;

/// How many pairs of points are worked out.
const MOST_ADDED: usize = 12;

/// A conductor between two points, of the smallest size that bears its current, and alone what each way
/// beside it carries, for as long as a ground has to bear it ([`network::duty`]).
pub(super) fn added(
    forward: &mut Forward<'_>,
    cases: &[Case],
    states: &[StateId],
    from: PointId,
    to: PointId,
) -> Option<Action> {
    let vehicle = forward.vehicle();
    let lugs = Catalogue::standard().joint_taken_at(TakenAt::Metal).clean_typical * 2.0;
    let length = length_between(vehicle, from, to);
    let sizes = strap_sizes();
    let likeliest = cases.first()?;
    let thickest = *sizes.last()?;
    let alone = carried_alone(vehicle, from, to, per_metre(thickest)? * length.0 + lugs);
    for area in sizes {
        let size = WireSize::Area(area);
        let per_metre = per_metre(area)?;
        let ohms = per_metre * length.0 + lugs;
        let trial = Action::Add { from, to, size, length, ohms, amps: Amperes::ZERO };
        let after = likeliest.after(forward, states, &[trial])?;
        let carried = carried_through(forward, &after, states, (from, to), ohms)?;
        let fits = |(state, now): &(StateId, Amperes)| *now <= strap_bears(vehicle, *state, area);
        let bears = |(state, now): &(StateId, Amperes)| {
            duty::new_cable_bears(vehicle, *state, area, per_metre, *now)
        };
        if carried.iter().all(fits) && alone.iter().all(bears) {
            let amps = carried.iter().map(|own| own.1).fold(Amperes::ZERO, Amperes::max);
            return Some(Action::Add { from, to, size, length, ohms, amps });
        }
    }
    // Even the thickest would be too thin: that is a job for more than one conductor.
    None
}

/// Resistance of a metre of copper cable.
fn per_metre(area: SquareMetres) -> Option<Ohms> {
    let catalogue = Catalogue::standard();
    let copper = catalogue.materials.find("copper")?;
    let found = catalogue.conductor_resistance_per_metre(&WireSize::Area(area), copper)?;
    Some(found.per_metre)
}

/// What flows through an added conductor in each state.
fn carried_through(
    forward: &Forward<'_>,
    after: &Guess,
    states: &[StateId],
    (from, to): (PointId, PointId),
    ohms: Ohms,
) -> Option<Vec<(StateId, Amperes)>> {
    let across = Measured::Volts { high: Probe::Point(from), low: Probe::Point(to) };
    let amps = |state: &StateId| {
        let volts = forward.value(after, *state, across)?;
        Some((*state, Amperes((volts / ohms.0).abs())))
    };
    states.iter().map(amps).collect()
}

/// Sections that an added conductor may have, the thinnest first.
fn strap_sizes() -> Vec<SquareMetres> {
    let judged = judged::repairs();
    let areas = judged.strap_thinnest.mm2().round()..=judged.strap_thickest.mm2().round();
    let cables = Catalogue::standard().flexible_cables.iter().map(|row| row.area);
    let mut sizes: Vec<SquareMetres> =
        cables.filter(|area| areas.contains(&area.mm2().round())).collect();
    sizes.sort_by(|a, b| units::larger_first(b.0, a.0));
    sizes
}

/// The most that flows through an added conductor in a state without it being called too thin.
fn strap_bears(vehicle: &Vehicle, state: StateId, area: SquareMetres) -> Amperes {
    let judged = judged::repairs();
    let short = vehicle.state(state).duration.is_some_and(|time| time <= judged.strap_short_time);
    let density = if short {
        judged.strap_amperes_a_mm2_for_a_minute
    } else {
        judged.strap_amperes_a_mm2_for_hours
    };
    Amperes(density.0 * area.mm2())
}

/// The most that a new way between two points has to carry alone in each state: what comes over it when a
/// conductor on the earthed side lets go, and all that this one carried where a good part of it does.
pub(super) fn carried_alone(
    vehicle: &Vehicle,
    from: PointId,
    to: PointId,
    ohms: Ohms,
) -> Vec<(StateId, Amperes)> {
    let mut network = Network::with_extra_paths(vehicle, &[(from, to)]);
    let beside = duty::beside(vehicle, from, to);
    let earthed = joined(vehicle);
    let judged = judged::repairs();
    let mut all = Vec::new();
    for state in (0..vehicle.states.len()).map(StateId::at) {
        let base = network.operating_point(state);
        let mut most = duty::most(&beside, &base);
        for id in (0..vehicle.conductors.len()).map(ConductorId::at) {
            let carried = base.pieces[id.index()].amps.abs();
            let end = vehicle.joint(vehicle.conductor(id).from).point;
            if carried < judged.beside_least || !earthed[end.index()] {
                continue;
            }
            let opened = vec![Piece::Conductor(id)];
            let failed = Failed { opened, extra: vec![Some(ohms)], ..Failed::default() };
            let after = network.failed_point(&base, &failed);
            let Some(volts) = volts_between(&after, from, to) else { continue };
            let through = volts / ohms;
            most = most.max(through);
            if through > carried * judged.beside_from_share.0 {
                most = most.max(carried);
            }
        }
        all.push((state, most));
    }
    all
}

/// Nothing where a point stands on nothing or the state does not settle.
fn volts_between(after: &OperatingPoint, from: PointId, to: PointId) -> Option<Volts> {
    let (from, to) = (after.point(from)?, after.point(to)?);
    (after.convergence == Convergence::Reached).then(|| (from - to).abs())
}

/// Whether a larger conductor on the earthed side bears alone what those that join the same two bodies
/// carry; others are not beside anything.
pub(super) fn bears_beside(vehicle: &Vehicle, action: Action) -> bool {
    let Action::Enlarge { conductor, size, .. } = action else { return true };
    let own = vehicle.conductor(conductor);
    let [from, to] = [own.from, own.to].map(|joint| vehicle.joint(joint).point);
    let earthed = joined(vehicle);
    let found = Catalogue::standard().conductor_resistance_per_metre(&size, &own.material);
    let Some(found) = found.filter(|_| earthed[from.index()] && earthed[to.index()]) else {
        return true;
    };
    let mut beside = duty::beside(vehicle, from, to);
    beside.retain(|other| *other != conductor);
    let mut network = Network::new(vehicle);
    (0..vehicle.states.len()).map(StateId::at).all(|state| {
        let amps = duty::most(&beside, &network.operating_point(state));
        duty::new_cable_bears(vehicle, state, found.area, found.per_metre, amps)
    })
}

/// Along the way, not as the crow flies.
fn length_between(vehicle: &Vehicle, from: PointId, to: PointId) -> Metres {
    match (vehicle.point(from).place, vehicle.point(to).place) {
        (Some(a), Some(b)) => {
            let straight = (a.forward - b.forward).0.hypot((a.left - b.left).0);
            let judged = judged::repairs();
            let step = judged.strap_step.0;
            let way = judged.strap_detour_times.0 * straight;
            Metres((way / step).ceil() * step).max(judged.strap_shortest)
        }
        _ => Defaults::standard().strap_length,
    }
}

/// Pairs of points on the earthed side between which volts are lost that a conductor could save:
/// for each two bodies of metal, posts and bars the pair with the most volts a metre.
pub(super) fn promising_pairs(
    forward: &mut Forward<'_>,
    diagnosis: &Diagnosis,
    states: &[StateId],
) -> Vec<(PointId, PointId)> {
    let vehicle = forward.vehicle();
    let cases = Case::of(forward, diagnosis, states);
    let Some(case) = cases.first() else { return Vec::new() };
    let points = earthed(vehicle);
    let judged = judged::repairs();
    let mut best: BTreeMap<(usize, usize), (f64, PointId, PointId)> = BTreeMap::new();
    for (at, from) in points.iter().enumerate() {
        for to in &points[at + 1..] {
            let length = length_between(vehicle, *from, *to);
            let (a, b) = (duty::body(vehicle, *from), duty::body(vehicle, *to));
            if length > judged.strap_longest {
                continue;
            }
            let most = most_across(forward, case, states, *from, *to);
            if most < judged.strap_promises_from.0 {
                continue;
            }
            let worth = most / (length + judged.strap_ends_length).0;
            let key = (a.min(b), a.max(b));
            if best.get(&key).is_none_or(|(known, ..)| *known < worth) {
                best.insert(key, (worth, *from, *to));
            }
        }
    }
    let mut pairs: Vec<(f64, PointId, PointId)> = best.into_values().collect();
    pairs.sort_by(|a, b| units::larger_first(a.0, b.0));
    pairs.into_iter().take(MOST_ADDED).map(|(_, from, to)| (from, to)).collect()
}

/// The most volts between two points in any of these states.
fn most_across(
    forward: &Forward<'_>,
    case: &Case,
    states: &[StateId],
    from: PointId,
    to: PointId,
) -> f64 {
    let across = Measured::Volts { high: Probe::Point(from), low: Probe::Point(to) };
    let values = states.iter().filter_map(|state| forward.value(&case.guess, *state, across));
    values.map(f64::abs).fold(0.0, f64::max)
}

/// Points at which an added conductor could end without joining the feed to the metal: posts that are
/// earthed, bodies of metal, bars and studs that metal alone joins to them. A point of ours inside a body of
/// metal has no bolt.
fn earthed(vehicle: &Vehicle) -> Vec<PointId> {
    let joined = joined(vehicle);
    let posts: Vec<PointId> = (0..vehicle.batteries.len())
        .map(|at| vehicle.battery_terminals(model::BatteryId::at(at)).1)
        .collect();
    (0..vehicle.points.len())
        .map(PointId::at)
        .filter(|id| {
            joined[id.index()]
                && !vehicle.point(*id).access.out_of_reach
                && (posts.contains(id)
                    || matches!(
                        vehicle.point(*id).owner,
                        PointOwner::Free | PointOwner::Structure(_)
                    ))
        })
        .collect()
}

/// Which points metal alone joins to the earthed posts.
fn joined(vehicle: &Vehicle) -> Vec<bool> {
    let parts = vehicle.parts(|piece| matches!(piece, Piece::Conductor(_) | Piece::Stretch(_)));
    let roots = parts.roots();
    let posts = (0..vehicle.batteries.len())
        .map(|at| roots[vehicle.battery_terminals(model::BatteryId::at(at)).1.index()]);
    let posts: Vec<usize> = posts.collect();
    roots.iter().map(|root| posts.contains(root)).collect()
}
