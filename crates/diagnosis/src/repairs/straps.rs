//! Conductors that might be added: between which points, how long, how thick.

use std::collections::BTreeMap;

use catalogue::Catalogue;
use model::{Measured, PointId, PointOwner, Probe, StateId, Vehicle};
use units::{Amperes, Metres, SquareMetres, WireSize};

use super::Action;
use super::case::Case;
use crate::diagnose::Diagnosis;
use crate::forward::Forward;

/// How many pairs of points are worked out.
const MOST_ADDED: usize = 12;
/// Volts between two points from which a conductor between them is worth a look.
const PROMISING: f64 = 0.008;
/// Beyond this a strap is no strap (our judgement).
const LONGEST: Metres = Metres(4.0);
/// Length of a conductor between points whose places are unknown (our judgement).
const USUAL_LENGTH: Metres = Metres(1.5);
/// A conductor does not lie as the crow flies.
const DETOUR: f64 = 1.33;
const SHORTEST: Metres = Metres(0.3);
/// Nobody cuts a cable to the millimetre.
const STEP: Metres = Metres(0.05);
/// Amperes a square millimetre that an added conductor carries for long, and for a minute at most
/// (our judgement; well below what warms a cable in free air to its limit).
const DENSITY_LONG: f64 = 4.0;
const DENSITY_SHORT: f64 = 10.0;
const SHORT_SECONDS: f64 = 60.0;
/// Metal areas of added conductors, in square millimetres.
const ADDED_AREAS: std::ops::RangeInclusive<f64> = 16.0..=95.0;

/// A conductor between two points, of the smallest size that bears its current.
pub(super) fn added(
    forward: &mut Forward<'_>,
    cases: &[Case],
    states: &[StateId],
    from: PointId,
    to: PointId,
) -> Option<Action> {
    let vehicle = forward.vehicle();
    let catalogue = Catalogue::standard();
    let copper = catalogue.materials.find("copper")?;
    let lugs = catalogue.joint_kinds.find("bolted lug")?.clean_typical * 2.0;
    let length = length_between(vehicle, from, to);
    let mut sizes: Vec<SquareMetres> = catalogue
        .flexible_cables
        .iter()
        .map(|row| row.area)
        .filter(|area| ADDED_AREAS.contains(&area.mm2().round()))
        .collect();
    sizes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let likeliest = cases.first()?;
    for area in sizes {
        let size = WireSize::Area(area);
        let per_metre = catalogue.conductor_resistance_per_metre(&size, copper)?.per_metre;
        let ohms = per_metre * length.0 + lugs;
        let trial = Action::Add { from, to, size, length, ohms, amps: Amperes::ZERO };
        let after = likeliest.after(forward, states, &[trial])?;
        let across = Measured::Volts { high: Probe::Point(from), low: Probe::Point(to) };
        let (mut amps, mut enough) = (Amperes::ZERO, true);
        for state in states {
            let now = Amperes((forward.value(&after, *state, across)? / ohms.0).abs());
            let short = vehicle.state(*state).duration.is_some_and(|time| time.0 <= SHORT_SECONDS);
            let density = if short { DENSITY_SHORT } else { DENSITY_LONG };
            enough &= now.0 <= density * area.mm2();
            amps = amps.max(now);
        }
        if enough {
            return Some(Action::Add { from, to, size, length, ohms, amps });
        }
    }
    // Even the thickest would be too thin: that is a job for more than one conductor.
    None
}

/// Along the way, not as the crow flies.
fn length_between(vehicle: &Vehicle, from: PointId, to: PointId) -> Metres {
    match (vehicle.point(from).place, vehicle.point(to).place) {
        (Some(a), Some(b)) => {
            let straight = (a.forward - b.forward).0.hypot((a.left - b.left).0);
            Metres((DETOUR * straight / STEP.0).ceil() * STEP.0).max(SHORTEST)
        }
        _ => USUAL_LENGTH,
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
    let mut best: BTreeMap<(usize, usize), (f64, PointId, PointId)> = BTreeMap::new();
    for (at, from) in points.iter().enumerate() {
        for to in &points[at + 1..] {
            let length = length_between(vehicle, *from, *to);
            let (a, b) = (body(vehicle, *from), body(vehicle, *to));
            if length > LONGEST {
                continue;
            }
            let across = Measured::Volts { high: Probe::Point(*from), low: Probe::Point(*to) };
            let most = states
                .iter()
                .filter_map(|state| forward.value(&case.guess, *state, across))
                .map(f64::abs)
                .fold(0.0, f64::max);
            if most < PROMISING {
                continue;
            }
            let worth = most / (length.0 + 1.0);
            let key = (a.min(b), a.max(b));
            if best.get(&key).is_none_or(|(known, ..)| *known < worth) {
                best.insert(key, (worth, *from, *to));
            }
        }
    }
    let mut pairs: Vec<(f64, PointId, PointId)> = best.into_values().collect();
    pairs.sort_by(|a, b| b.0.total_cmp(&a.0));
    pairs.into_iter().take(MOST_ADDED).map(|(_, from, to)| (from, to)).collect()
}

/// A number for each body of metal, and for each point that stands for itself.
fn body(vehicle: &Vehicle, point: PointId) -> usize {
    match vehicle.point(point).owner {
        PointOwner::Structure(at) => vehicle.points.len() + at as usize,
        _ => point.index(),
    }
}

/// Points at which an added conductor could end without joining the feed to the metal: posts that are
/// earthed, bodies of metal, bars and studs that metal alone joins to them.
fn earthed(vehicle: &Vehicle) -> Vec<PointId> {
    let mut joined = vec![false; vehicle.points.len()];
    for at in 0..vehicle.batteries.len() {
        joined[vehicle.battery_terminals(model::BatteryId::at(at)).1.index()] = true;
    }
    let conductors = vehicle
        .conductors
        .iter()
        .map(|own| (vehicle.joint(own.from).point, vehicle.joint(own.to).point));
    let stretches = vehicle.stretches.iter().map(|own| (own.from, own.to));
    let links: Vec<(PointId, PointId)> = conductors.chain(stretches).collect();
    let mut more = true;
    while more {
        more = false;
        for (a, b) in &links {
            if joined[a.index()] != joined[b.index()] {
                joined[a.index()] = true;
                joined[b.index()] = true;
                more = true;
            }
        }
    }
    let posts: Vec<PointId> = (0..vehicle.batteries.len())
        .map(|at| vehicle.battery_terminals(model::BatteryId::at(at)).1)
        .collect();
    (0..vehicle.points.len())
        .map(PointId::at)
        .filter(|id| {
            joined[id.index()]
                && (posts.contains(id)
                    || matches!(
                        vehicle.point(*id).owner,
                        PointOwner::Free | PointOwner::Structure(_)
                    ))
        })
        .collect()
}
