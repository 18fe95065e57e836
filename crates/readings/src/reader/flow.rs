//! Where a current can flow at all: which places of the vehicle are surely at one potential.

use model::graph::{Graph, Parts};
use model::{Conducts, Piece, Probe, StateId, Vehicle};

/// Places joined by metal in which nothing can flow, in one state.
///
/// A current needs a closed loop with a source in it. Loops that share metal form the blocks of the
/// network (its biconnected components), so a piece of metal carries current only if its block holds
/// a source and more than that piece alone. Whatever hangs on by a single conductor carries none.
#[derive(Debug)]
pub(super) struct Flow {
    /// For each place the one that stands for its part.
    parts: Vec<usize>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Metal,
    Source,
    Load,
}

type Edge = (usize, usize, Kind);

/// True when two probes touch the same metal: a case's own side of its joint is the device's terminal.
pub(super) fn one_metal(vehicle: &Vehicle, a: Probe, b: Probe) -> bool {
    vehicle.over_a_crimp(a, b).is_none() && vehicle.place_of(a) == vehicle.place_of(b)
}

/// Metal that conducts in the state; every switch closed when no state is asked for.
fn metal(vehicle: &Vehicle, state: Option<StateId>) -> Vec<Edge> {
    let conducts =
        |piece: &Piece| state.is_none_or(|state| vehicle.conducts(*piece, state) != Conducts::Not);
    let ends = vehicle.pieces().filter(conducts).map(|piece| vehicle.piece_places(piece));
    ends.map(|(a, b)| (a, b, Kind::Metal)).collect()
}

fn devices(vehicle: &Vehicle, state: StateId, edges: &mut Vec<Edge>) {
    for battery in &vehicle.batteries {
        edges.push((battery.positive.index(), battery.negative.index(), Kind::Source));
    }
    for source in vehicle.regulated.iter().filter(|source| source.runs_in(state)) {
        edges.push((source.positive.index(), source.negative.index(), Kind::Source));
        if let Some(input) = &source.input {
            edges.push((input.positive.index(), input.negative.index(), Kind::Load));
        }
    }
    for load in vehicle.loads.iter().filter(|load| load.is_on_in(state)) {
        edges.push((load.positive.index(), load.negative.index(), Kind::Load));
    }
}

impl Flow {
    /// Places at one potential in the state.
    pub(super) fn in_state(vehicle: &Vehicle, state: StateId) -> Self {
        let mut edges = metal(vehicle, Some(state));
        devices(vehicle, state, &mut edges);
        let live = live(vehicle.places(), &edges);
        let still =
            edges.into_iter().zip(live).filter(|((.., kind), live)| *kind == Kind::Metal && !live);
        Self::of(vehicle, still.map(|(edge, _)| edge))
    }

    /// Places joined by metal of any kind, all switches closed.
    pub(super) fn metal(vehicle: &Vehicle) -> Self {
        Self::of(vehicle, metal(vehicle, None))
    }

    fn of(vehicle: &Vehicle, edges: impl IntoIterator<Item = Edge>) -> Self {
        let ends = edges.into_iter().map(|(a, b, _)| (a, b));
        Self { parts: Parts::of(vehicle.places(), ends).roots() }
    }

    /// True when the two places hang together.
    pub(super) fn joins(&self, vehicle: &Vehicle, a: Probe, b: Probe) -> bool {
        // What flows over a crimp flows from one lug of its conductor to the other.
        let (a, b) = vehicle.over_a_crimp(a, b).map_or((a, b), |id| {
            let own = vehicle.conductor(id);
            (Probe::Lug(own.from), Probe::Lug(own.to))
        });
        self.parts[vehicle.place_of(a)] == self.parts[vehicle.place_of(b)]
    }
}

/// For each edge, whether its block holds a source and a loop.
fn live(nodes: usize, edges: &[Edge]) -> Vec<bool> {
    let ends = edges.iter().map(|(a, b, _)| (*a, *b)).collect();
    let mut live = vec![false; edges.len()];
    for block in Graph::new(nodes, ends).search_all().blocks {
        let fed = block.iter().any(|edge| edges[*edge].2 == Kind::Source);
        if fed && block.len() > 1 {
            block.into_iter().for_each(|edge| live[edge] = true);
        }
    }
    live
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A source 0–1, metal 1–2, a load 2–3, metal 3–0; 4 hangs on 3; 5–6 is a loop without a source.
    fn loop_with_a_branch() -> Vec<Edge> {
        vec![
            (0, 1, Kind::Source),
            (1, 2, Kind::Metal),
            (2, 3, Kind::Load),
            (3, 0, Kind::Metal),
            (3, 4, Kind::Metal),
            (5, 6, Kind::Metal),
            (5, 6, Kind::Load),
        ]
    }

    #[test]
    fn current_flows_in_the_loop_and_not_in_what_hangs_on_it() {
        let live = live(7, &loop_with_a_branch());
        assert_eq!(live, [true, true, true, true, false, false, false]);
    }

    #[test]
    fn without_a_load_nothing_flows() {
        let mut edges = loop_with_a_branch();
        edges.remove(2);
        assert_eq!(live(7, &edges), [false; 6]);
    }

    #[test]
    fn parallel_conductors_share_the_current() {
        let mut edges = loop_with_a_branch();
        edges.push((1, 2, Kind::Metal));
        assert!(live(7, &edges)[7]);
    }

    mod laws {
        use super::*;
        use proptest::prelude::*;

        /// Whether a simple loop runs through both edges, by trying every simple path.
        fn share_a_loop(edges: &[Edge], first: usize, second: usize) -> bool {
            fn walk(
                edges: &[Edge],
                at: usize,
                goal: usize,
                used: &mut Vec<usize>,
                been: &mut Vec<usize>,
                want: usize,
            ) -> bool {
                if at == goal {
                    return used.contains(&want);
                }
                for (edge, (a, b, _)) in edges.iter().enumerate() {
                    let next = if *a == at {
                        *b
                    } else if *b == at {
                        *a
                    } else {
                        continue;
                    };
                    if used.contains(&edge) || been.contains(&next) {
                        continue;
                    }
                    used.push(edge);
                    been.push(next);
                    let found = walk(edges, next, goal, used, been, want);
                    used.pop();
                    been.pop();
                    if found {
                        return true;
                    }
                }
                false
            }
            let (a, b, _) = edges[first];
            a != b && walk(edges, a, b, &mut vec![first], &mut vec![a], second)
        }

        proptest! {
            #[test]
            fn a_piece_is_live_exactly_when_a_loop_runs_through_it_and_a_source(
                ends in proptest::collection::vec((0_usize..6, 0_usize..6, 0_u8..4), 0..10)
            ) {
                let edges: Vec<Edge> = ends
                    .iter()
                    .map(|(a, b, kind)| (*a, *b, if *kind == 0 { Kind::Source } else { Kind::Metal }))
                    .collect();
                let live = live(6, &edges);
                for (at, edge) in edges.iter().enumerate().filter(|(_, edge)| edge.2 == Kind::Metal) {
                    let expected = (0..edges.len())
                        .any(|other| edges[other].2 == Kind::Source && share_a_loop(&edges, at, other));
                    prop_assert_eq!(live[at], expected, "{} {} of {:?}", edge.0, edge.1, ends);
                }
            }
        }
    }
}
