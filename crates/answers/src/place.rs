//! Places for points that the file gives none, so that every vehicle can be drawn.
//!
//! Each such point goes to the middle of what it is joined to (Tutte 1963), and points that would
//! then lie on each other are set apart. A file without any place is drawn round an oval.

use model::{Place, Vehicle};
use units::Metres;

/// Rounds of going to the middle; the rest is finer than a line is wide.
const ROUNDS: usize = 200;
/// Points nearer than this lie on each other.
const APART: f64 = 0.10;
/// Half axes of the oval on which devices lie when the file has no place at all, as a car's.
const OVAL: (f64, f64) = (2.0, 0.7);
/// The middle of that oval behind the front axle.
const MIDDLE: f64 = -1.3;

/// A place for every point, and whether the file says so.
pub(crate) fn places(vehicle: &Vehicle) -> Vec<(Place, bool)> {
    let neighbours = neighbours(vehicle);
    let mut at: Vec<Option<(f64, f64)>> = vehicle
        .points
        .iter()
        .map(|point| point.place.map(|place| (place.forward.0, place.left.0)))
        .collect();
    let stated: Vec<bool> = at.iter().map(Option::is_some).collect();
    if !stated.contains(&true) {
        round_an_oval(vehicle, &mut at);
    }
    let fixed: Vec<bool> = at.iter().map(Option::is_some).collect();
    let known: Vec<(f64, f64)> = at.iter().flatten().copied().collect();
    let middle = mean(&known).unwrap_or((MIDDLE, 0.0));
    for _ in 0..ROUNDS {
        for point in 0..at.len() {
            if !fixed[point] {
                let near: Vec<(f64, f64)> =
                    neighbours[point].iter().filter_map(|other| at[*other]).collect();
                at[point] = mean(&near).or(at[point]);
            }
        }
    }
    let mut at: Vec<(f64, f64)> = at.into_iter().map(|own| own.unwrap_or(middle)).collect();
    set_apart(&mut at, &stated);
    at.into_iter()
        .zip(stated)
        .map(|((forward, left), stated)| {
            (Place { forward: Metres(forward), left: Metres(left) }, stated)
        })
        .collect()
}

fn mean(places: &[(f64, f64)]) -> Option<(f64, f64)> {
    let number = places.len() as f64;
    let (x, y) = places.iter().fold((0.0, 0.0), |sum, own| (sum.0 + own.0, sum.1 + own.1));
    (!places.is_empty()).then(|| (x / number, y / number))
}

/// Batteries, sources and loads at equal angles, in the order of the file, from the front.
fn round_an_oval(vehicle: &Vehicle, at: &mut [Option<(f64, f64)>]) {
    let batteries = vehicle.batteries.iter().map(|own| own.positive);
    let sources = vehicle.regulated.iter().map(|own| own.positive);
    let loads = vehicle.loads.iter().map(|own| own.positive);
    let devices: Vec<_> = batteries.chain(sources).chain(loads).collect();
    let step = std::f64::consts::TAU / devices.len().max(1) as f64;
    for (number, point) in devices.into_iter().enumerate() {
        let (sin, cos) = (step * number as f64).sin_cos();
        at[point.index()] = Some((OVAL.0.mul_add(cos, MIDDLE), OVAL.1 * sin));
    }
}

/// What each point is joined to, devices included.
fn neighbours(vehicle: &Vehicle) -> Vec<Vec<usize>> {
    let mut near = vec![Vec::new(); vehicle.points.len()];
    let mut join = |a: model::PointId, b: model::PointId| {
        near[a.index()].push(b.index());
        near[b.index()].push(a.index());
    };
    for conductor in &vehicle.conductors {
        join(vehicle.joint(conductor.from).point, vehicle.joint(conductor.to).point);
    }
    for stretch in &vehicle.stretches {
        join(stretch.from, stretch.to);
    }
    for part in &vehicle.inlines {
        join(part.from, part.to);
    }
    for joint in &vehicle.joints {
        if let Some(own) = vehicle.own_point(joint.this) {
            join(own, joint.point);
        }
    }
    // The terminals of one device lie together.
    for (a, b) in terminals(vehicle) {
        for _ in 0..3 {
            join(a, b);
        }
    }
    near
}

fn terminals(vehicle: &Vehicle) -> Vec<(model::PointId, model::PointId)> {
    let batteries = vehicle.batteries.iter().map(|own| (own.positive, own.negative));
    let sources = vehicle.regulated.iter().map(|own| (own.positive, own.negative));
    let loads = vehicle.loads.iter().map(|own| (own.positive, own.negative));
    batteries.chain(sources).chain(loads).collect()
}

/// Moves points that the file does not place off others, outwards on a spiral.
fn set_apart(at: &mut [(f64, f64)], stated: &[bool]) {
    /// The golden angle: no two steps lie in one direction.
    const ANGLE: f64 = 2.399_963;
    for point in 0..at.len() {
        if stated[point] {
            continue;
        }
        let own = at[point];
        let taken = |place: (f64, f64), at: &[(f64, f64)]| {
            at.iter().enumerate().any(|(other, there)| {
                other != point
                    && (other < point || stated[other])
                    && (there.0 - place.0).hypot(there.1 - place.1) < APART
            })
        };
        let mut step = 0.0_f64;
        while taken(at[point], at) && step < 400.0 {
            step += 1.0;
            let (sin, cos) = (ANGLE * step).sin_cos();
            let out = APART * step.sqrt();
            at[point] = (out.mul_add(cos, own.0), out.mul_add(sin, own.1));
        }
    }
}
