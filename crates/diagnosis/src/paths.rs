//! Paths between bodies of metal that the file does not show: where one may be, or be added.

use model::{PointId, Vehicle};
use units::Ohms;

/// True when two paths join the same two bodies of metal.
pub(crate) fn same_bodies(
    vehicle: &Vehicle,
    one: (PointId, PointId),
    other: (PointId, PointId),
) -> bool {
    let bodies = |ends: (PointId, PointId)| {
        let (a, b) = (vehicle.point(ends.0).owner, vehicle.point(ends.1).owner);
        [a, b]
    };
    let (one, other) = (bodies(one), bodies(other));
    one == other || one == [other[1], other[0]]
}

/// Places between which a path may be that the file lacks: between every two structures, each end
/// at one of the places that stand for its structure.
pub(crate) fn extra_paths(vehicle: &Vehicle) -> Vec<(PointId, PointId)> {
    for most in (1..=MOST_PLACES).rev() {
        let places: Vec<Vec<PointId>> = (vehicle.structures.iter().enumerate())
            .map(|(at, structure)| places(vehicle, at, &structure.points, most))
            .collect();
        let mut paths = Vec::new();
        for (at, first) in places.iter().enumerate() {
            for second in &places[at + 1..] {
                paths.extend(first.iter().flat_map(|a| second.iter().map(move |b| (*a, *b))));
            }
        }
        if paths.len() <= MOST_PATHS || most == 1 {
            paths.truncate(MOST_PATHS);
            return paths;
        }
    }
    Vec::new()
}

/// Paths that are considered at most, and places that stand for one structure.
const MOST_PATHS: usize = 48;
const MOST_PLACES: usize = 5;
/// Places with less metal than this between them are one place for a path of millohms.
const SAME_PLACE: Ohms = Ohms(0.15e-3);

/// Places that stand for a structure: its first point, then each time the one with most metal
/// between it and those.
fn places(vehicle: &Vehicle, structure: usize, points: &[PointId], most: usize) -> Vec<PointId> {
    let mut chosen: Vec<PointId> = points.iter().take(1).copied().collect();
    let mut nearest: Vec<Ohms> =
        chosen.first().map_or_else(Vec::new, |first| metal_to(vehicle, structure, points, *first));
    while chosen.len() < most {
        // Points that no metal of the file joins to the first are places of their own.
        let Some((at, _)) = nearest
            .iter()
            .enumerate()
            .max_by(|a, b| units::larger_first(b.1.0, a.1.0))
            .filter(|(_, far)| **far > SAME_PLACE)
        else {
            break;
        };
        let next = points[at];
        chosen.push(next);
        for (near, own) in nearest.iter_mut().zip(metal_to(vehicle, structure, points, next)) {
            *near = near.min(own);
        }
    }
    chosen
}

/// Metal between a point of a structure and each of its points, along the best single way.
fn metal_to(vehicle: &Vehicle, structure: usize, points: &[PointId], from: PointId) -> Vec<Ohms> {
    let stretches: Vec<_> =
        vehicle.stretches.iter().filter(|own| own.structure as usize == structure).collect();
    let mut ohms: Vec<Ohms> =
        points.iter().map(|own| Ohms(if *own == from { 0.0 } else { f64::INFINITY })).collect();
    let at = |point: PointId| points.iter().position(|own| *own == point);
    // Structures have a dozen points: relaxing every stretch as often as there are points is enough.
    for _ in points {
        for stretch in &stretches {
            let (Some(a), Some(b)) = (at(stretch.from), at(stretch.to)) else { continue };
            ohms[a] = ohms[a].min(ohms[b] + stretch.resistance);
            ohms[b] = ohms[b].min(ohms[a] + stretch.resistance);
        }
    }
    ohms
}
