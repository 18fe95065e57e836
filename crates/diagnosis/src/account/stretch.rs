//! The pieces between two probes, on the way of least resistance.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use model::{Conducts, Piece, Probe, StateId, Vehicle};

/// The pieces from one probe to the other in a state; nothing when no metal joins them.
pub(super) fn between(
    vehicle: &Vehicle,
    state: StateId,
    from: Probe,
    to: Probe,
) -> Option<Vec<Piece>> {
    let (begin, end) = (vehicle.place_of(from), vehicle.place_of(to));
    let edges = neighbours(vehicle, state);
    let mut least = vec![f64::INFINITY; edges.len()];
    let mut by: Vec<Option<(usize, Piece)>> = vec![None; edges.len()];
    // The least first: what is not below zero is ordered as its bits are.
    let reached = |ohms: f64, node: usize| Reverse((ohms.to_bits(), node));
    let mut heap = BinaryHeap::from([reached(0.0, begin)]);
    least[begin] = 0.0;
    while let Some(Reverse((ohms, node))) = heap.pop() {
        let ohms = f64::from_bits(ohms);
        if node == end {
            break;
        }
        if ohms > least[node] {
            continue;
        }
        for (next, piece) in &edges[node] {
            let sum = ohms + vehicle.piece_resistance(*piece).0;
            if sum < least[*next] {
                least[*next] = sum;
                by[*next] = Some((node, *piece));
                heap.push(reached(sum, *next));
            }
        }
    }
    traced(&by, begin, end)
}

/// For each node those that a piece joins to it in a state.
fn neighbours(vehicle: &Vehicle, state: StateId) -> Vec<Vec<(usize, Piece)>> {
    let mut edges = vec![Vec::new(); vehicle.places()];
    for piece in vehicle.pieces() {
        if let Some((a, b)) = ends(vehicle, state, piece) {
            edges[a].push((b, piece));
            edges[b].push((a, piece));
        }
    }
    edges
}

/// The pieces of a way, from the node and the piece by which each of its nodes was reached.
fn traced(by: &[Option<(usize, Piece)>], begin: usize, end: usize) -> Option<Vec<Piece>> {
    let mut pieces = Vec::new();
    let mut at = end;
    while at != begin {
        let (before, piece) = by[at]?;
        pieces.push(piece);
        at = before;
    }
    pieces.reverse();
    Some(pieces)
}

/// The nodes that a piece joins; nothing for one that does not conduct in the state.
fn ends(vehicle: &Vehicle, state: StateId, piece: Piece) -> Option<(usize, usize)> {
    let conducts = vehicle.conducts(piece, state) == Conducts::BothWays;
    conducts.then(|| vehicle.piece_places(piece))
}

#[cfg(test)]
mod laws {
    use super::*;
    use model::PointId;

    const FILE: &str = include_str!("../../../../examples/rescue-ambulance.toml");

    fn names(state: &str, from: &str, to: &str) -> Option<Vec<String>> {
        let vehicle = file::read(FILE.as_bytes()).vehicle.expect("the example is sound");
        let point = |name: &str| -> PointId { vehicle.point_named(name).expect("in the file") };
        let state = vehicle.state_named(state).expect("in the file");
        let pieces = between(&vehicle, state, Probe::Point(point(from)), Probe::Point(point(to)))?;
        Some(pieces.iter().map(|own| vehicle.piece_name(*own).to_owned()).collect())
    }

    #[test]
    fn a_cable_lies_between_its_joints_and_the_way_back_is_the_same_reversed() {
        let way = ["main-negative.from", "main-negative", "main-negative.to"];
        let found = names("cranking", "main/-", "block/front").expect("joined");
        assert_eq!(found, way);
        let mut back = names("cranking", "block/front", "main/-").expect("joined");
        back.reverse();
        assert_eq!(back, way);
    }

    #[test]
    fn an_open_switch_ends_the_way_and_one_point_has_none_to_go() {
        let through = |state| names(state, "starter-stud", "starter/+");
        assert_eq!(through("cranking"), Some(vec!["solenoid".to_owned()]));
        assert_eq!(through("running"), None);
        assert_eq!(names("running", "main/-", "main/-"), Some(Vec::new()));
    }

    #[test]
    fn a_case_is_joined_to_the_metal_it_is_bolted_to() {
        let found = names("cranking", "starter/-", "block/bellhousing");
        assert_eq!(found, Some(vec!["starter.case".to_owned()]));
    }
}
