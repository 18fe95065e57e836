//! A state seen from all its sources, and every short in it.

use std::collections::BTreeMap;

use model::{
    BatteryId, ConductorId, InlineId, InlineKind, Piece, PointId, RegulatedId, StateId, Vehicle,
};
use units::Amperes;

use crate::feeds::Source;
use crate::graph::{Graph, View};
use crate::shorts::{DEAD, Short, Shorts, Touch, home};

/// Currents below this are nothing: the leak that keeps every network regular.
pub(crate) const NOTHING: Amperes = Amperes(1e-3);

/// A state seen from all its sources.
pub(crate) struct Seen {
    pub state: StateId,
    pub graph: Graph,
    pub views: Vec<(Source, Option<Amperes>, View)>,
}

/// Every fuse of a vehicle.
pub(crate) fn fuses(vehicle: &Vehicle) -> impl Iterator<Item = InlineId> + '_ {
    (0..vehicle.inlines.len())
        .map(InlineId::at)
        .filter(|id| matches!(vehicle.inline(*id).kind, InlineKind::Fuse { .. }))
}

pub(crate) fn see(vehicle: &Vehicle, state: StateId) -> Seen {
    let graph = Graph::new(vehicle, state);
    let mut views = Vec::new();
    for id in (0..vehicle.batteries.len()).map(BatteryId::at) {
        let live = vehicle.battery_terminals(id).0;
        views.push((Source::Battery(id), None, graph.view(vehicle, live)));
    }
    for id in (0..vehicle.regulated.len()).map(RegulatedId::at) {
        let source = vehicle.regulated_source(id);
        if source.runs_in(state) {
            let live = vehicle.regulated_terminals(id).0;
            let limit = source.limit[state.index()];
            views.push((Source::Regulated(id), Some(limit), graph.view(vehicle, live)));
        }
    }
    Seen { state, graph, views }
}

/// True when a point is live in a state: a source reaches it, and it is not part of home.
pub(crate) fn is_live(vehicle: &Vehicle, seen: &Seen, point: PointId) -> bool {
    home(vehicle).is_none_or(|home| !seen.graph.joined(home, point))
        && seen.views.iter().any(|(_, _, view)| view.reaches(point))
}

/// True when a conductor is part of home in a state.
pub(crate) fn is_return(vehicle: &Vehicle, seen: &Seen, id: ConductorId) -> bool {
    let Some((from, _)) = vehicle.piece_ends(Piece::Conductor(id)) else { return false };
    home(vehicle).is_some_and(|home| seen.graph.joined(from, home))
}

/// Points at the ends of the conductors that are live in some state.
pub(crate) fn live_points(
    vehicle: &Vehicle,
    seen: &[Seen],
    conductors: &mut dyn Iterator<Item = ConductorId>,
) -> Vec<PointId> {
    let mut points: Vec<PointId> = conductors
        .filter_map(|id| vehicle.piece_ends(Piece::Conductor(id)))
        .flat_map(|(from, to)| [from, to])
        .filter(|point| seen.iter().any(|seen| is_live(vehicle, seen, *point)))
        .collect();
    points.sort();
    points.dedup();
    points
}

/// Shorts by where they touch and how.
pub(crate) type Solved = BTreeMap<(PointId, Touch), Short>;

/// Every fault at a point that is live in the state.
pub(crate) fn solve(shorts: &mut Shorts<'_>, seen: &Seen, unsolved: &mut usize) -> Solved {
    let mut solved = Solved::new();
    for fault in shorts.faults().to_vec() {
        if !seen.views.iter().any(|(_, _, view)| view.reaches(fault.at)) {
            continue;
        }
        match shorts.solve(seen.state, fault, DEAD) {
            Some(short) => {
                solved.insert((fault.at, fault.touch), short);
            }
            None => *unsolved += 1,
        }
    }
    solved
}
