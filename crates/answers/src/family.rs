//! On which side of the loads every point of a vehicle lies.

use model::{PointId, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

/// On which side of the loads something lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum Family {
    /// Between sources and loads.
    Feed,
    /// Between loads and the way home, metal included.
    Return,
    /// Neither.
    Other,
}

/// The side of every point: return is whatever hangs together with metal or with the post to which
/// current comes home; feed hangs together with a post or terminal that delivers.
pub(crate) fn families(vehicle: &Vehicle) -> Vec<Family> {
    let mut root: Vec<usize> = (0..vehicle.points.len()).collect();
    fn top(root: &mut [usize], mut at: usize) -> usize {
        while root[at] != at {
            root[at] = root[root[at]];
            at = root[at];
        }
        at
    }
    let conductors = vehicle.conductors.iter();
    let mut pairs: Vec<(PointId, PointId)> = conductors
        .map(|own| (vehicle.joint(own.from).point, vehicle.joint(own.to).point))
        .collect();
    pairs.extend(vehicle.stretches.iter().map(|own| (own.from, own.to)));
    pairs.extend(vehicle.incidentals.iter().map(|own| (own.from, own.to)));
    pairs.extend(vehicle.inlines.iter().map(|own| (own.from, own.to)));
    let standing = vehicle.joints.iter();
    pairs.extend(standing.filter_map(|own| Some((vehicle.own_point(own.this)?, own.point))));
    for (a, b) in pairs {
        let (a, b) = (top(&mut root, a.index()), top(&mut root, b.index()));
        root[a.max(b)] = a.min(b);
    }
    let mut families = vec![Family::Other; root.len()];
    let terminals = (0..vehicle.batteries.len())
        .map(|at| vehicle.battery_terminals(model::BatteryId::at(at)))
        .chain(
            (0..vehicle.regulated.len())
                .map(|at| vehicle.regulated_terminals(model::RegulatedId::at(at))),
        );
    let terminals: Vec<(PointId, PointId)> = terminals.collect();
    for (feed, _) in &terminals {
        families[top(&mut root, feed.index())] = Family::Feed;
    }
    if let Some((_, home)) = terminals.first() {
        families[top(&mut root, home.index())] = Family::Return;
    }
    for point in vehicle.structures.iter().flat_map(|own| &own.points) {
        families[top(&mut root, point.index())] = Family::Return;
    }
    (0..root.len()).map(|at| families[top(&mut root, at)]).collect()
}
