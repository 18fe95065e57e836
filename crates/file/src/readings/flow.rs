//! Where a current can flow at all: which places of the vehicle are surely at one potential.

use model::{InlineKind, JointId, Probe, StateId, Vehicle};

/// Places joined by metal in which nothing can flow, in one state.
///
/// A current needs a closed loop with a source in it. Loops that share metal form the blocks of the
/// network (its biconnected components), so a piece of metal carries current only if its block holds
/// a source and more than that piece alone. Whatever hangs on by a single conductor carries none.
#[derive(Debug)]
pub(super) struct Flow {
    parent: Vec<usize>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Metal,
    Source,
    Load,
}

type Edge = (usize, usize, Kind);

/// The number of a place.
fn node(vehicle: &Vehicle, probe: Probe) -> usize {
    match probe {
        Probe::Point(point) => point.index(),
        Probe::Lug(joint) => lug(vehicle, joint),
    }
}

/// The other side of a joint: a place of its own, or the terminal of the device whose case it is.
fn lug(vehicle: &Vehicle, joint: JointId) -> usize {
    vehicle.case_terminal(joint).map_or(vehicle.points.len() + joint.index(), |own| own.index())
}

/// True when two probes touch the same metal: a case's own side of its joint is the device's terminal.
pub(super) fn one_metal(vehicle: &Vehicle, a: Probe, b: Probe) -> bool {
    node(vehicle, a) == node(vehicle, b)
}

/// Metal that conducts in the state; every switch closed when no state is asked for.
fn metal(vehicle: &Vehicle, state: Option<StateId>) -> Vec<Edge> {
    let mut edges: Vec<Edge> = Vec::new();
    for joint in &vehicle.joints {
        edges.push((joint.point.index(), lug(vehicle, joint.this), Kind::Metal));
    }
    for conductor in &vehicle.conductors {
        edges.push((lug(vehicle, conductor.from), lug(vehicle, conductor.to), Kind::Metal));
    }
    for stretch in &vehicle.stretches {
        edges.push((stretch.from.index(), stretch.to.index(), Kind::Metal));
    }
    for path in &vehicle.incidentals {
        edges.push((path.from.index(), path.to.index(), Kind::Metal));
    }
    for part in &vehicle.inlines {
        let conducts = match (&part.kind, state) {
            (InlineKind::Switch { closed }, Some(state)) => closed.contains(&state),
            _ => true,
        };
        if conducts {
            edges.push((part.from.index(), part.to.index(), Kind::Metal));
        }
    }
    edges
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
        let nodes = vehicle.points.len() + vehicle.joints.len();
        let live = live(nodes, &edges);
        let mut flow = Self { parent: (0..nodes).collect() };
        for ((a, b, kind), live) in edges.into_iter().zip(live) {
            if kind == Kind::Metal && !live {
                flow.join(a, b);
            }
        }
        flow
    }

    /// Places joined by metal of any kind, all switches closed.
    pub(super) fn metal(vehicle: &Vehicle) -> Self {
        let nodes = vehicle.points.len() + vehicle.joints.len();
        let mut flow = Self { parent: (0..nodes).collect() };
        for (a, b, _) in metal(vehicle, None) {
            flow.join(a, b);
        }
        flow
    }

    /// True when the two places hang together.
    pub(super) fn joins(&self, vehicle: &Vehicle, a: Probe, b: Probe) -> bool {
        self.root(node(vehicle, a)) == self.root(node(vehicle, b))
    }

    fn root(&self, mut at: usize) -> usize {
        while self.parent[at] != at {
            at = self.parent[at];
        }
        at
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.shorten(a), self.shorten(b));
        self.parent[a.max(b)] = a.min(b);
    }

    /// The root, halving the way to it, so that long chains of conductors stay quick.
    fn shorten(&mut self, mut at: usize) -> usize {
        while self.parent[at] != at {
            self.parent[at] = self.parent[self.parent[at]];
            at = self.parent[at];
        }
        at
    }
}

/// For each edge, whether its block holds a source and a loop.
///
/// Tarjan's biconnected components (SIAM J. Comput. 1, 1972), without recursion: a vehicle may have
/// long chains.
fn live(nodes: usize, edges: &[Edge]) -> Vec<bool> {
    let mut around: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    for (at, (a, b, _)) in edges.iter().enumerate().filter(|(_, (a, b, _))| a != b) {
        around[*a].push(at);
        around[*b].push(at);
    }
    let mut live = vec![false; edges.len()];
    let mut seen = vec![0_usize; nodes];
    let mut low = vec![0_usize; nodes];
    let mut clock = 0;
    let mut open: Vec<usize> = Vec::new();
    for start in 0..nodes {
        if seen[start] != 0 {
            continue;
        }
        clock += 1;
        (seen[start], low[start]) = (clock, clock);
        // A node, the edge by which it was reached, and how many of its edges were followed.
        let mut path: Vec<(usize, usize, usize)> = vec![(start, usize::MAX, 0)];
        while let Some((here, by, followed)) = path.last_mut() {
            let (here, by) = (*here, *by);
            if let Some(&edge) = around[here].get(*followed) {
                *followed += 1;
                let (a, b, _) = edges[edge];
                let there = if a == here { b } else { a };
                if edge == by || seen[there] > seen[here] {
                    continue;
                }
                open.push(edge);
                if seen[there] == 0 {
                    clock += 1;
                    (seen[there], low[there]) = (clock, clock);
                    path.push((there, edge, 0));
                } else {
                    low[here] = low[here].min(seen[there]);
                }
                continue;
            }
            path.pop();
            let Some(&(above, _, _)) = path.last() else { continue };
            low[above] = low[above].min(low[here]);
            if low[here] >= seen[above]
                && let Some(from) = open.iter().rposition(|edge| *edge == by)
            {
                let block = open.split_off(from);
                let fed = block.iter().any(|edge| edges[*edge].2 == Kind::Source);
                if fed && block.len() > 1 {
                    block.into_iter().for_each(|edge| live[edge] = true);
                }
            }
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
