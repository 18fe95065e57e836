//! What conducts in a state, and what hangs together: parts, bridges, blocks and what is reached.
//!
//! [`Vehicle::conducts`] is the one answer to whether a piece lets current through. The rest knows nodes
//! and edges alone, so that each question lays out its own: points, or points and lugs, with devices or
//! without.

use std::collections::BTreeSet;

use crate::id::{JointId, StateId};
use crate::inline::InlineKind;
use crate::reading::Probe;
use crate::vehicle::{Piece, Vehicle};

/// Whether a piece lets current through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conducts {
    /// Metal, a fuse, a shunt, a closed switch.
    BothWays,
    /// A diode: from its anode to its cathode.
    OneWay,
    /// An open switch.
    Not,
}

impl Vehicle {
    /// Whether a piece lets current through in a state.
    #[inline]
    #[must_use]
    pub fn conducts(&self, piece: Piece, state: StateId) -> Conducts {
        let Piece::Inline(id) = piece else { return Conducts::BothWays };
        match &self.inline(id).kind {
            InlineKind::Switch { closed } if !closed.contains(&state) => Conducts::Not,
            InlineKind::Switch { .. } | InlineKind::Fuse { .. } | InlineKind::Shunt => {
                Conducts::BothWays
            }
            InlineKind::Diode { .. } => Conducts::OneWay,
        }
    }

    /// Which points hang together through the pieces that `joins` says yes to.
    #[must_use]
    pub fn parts(&self, joins: impl Fn(Piece) -> bool) -> Parts {
        let pieces = self.pieces().filter(|piece| joins(*piece));
        let ends = pieces.filter_map(|piece| self.piece_ends(piece));
        Parts::of(self.points.len(), ends.map(|(a, b)| (a.index(), b.index())))
    }

    /// Number of places that a meter can touch: every point, and the other side of every joint.
    #[must_use]
    pub fn places(&self) -> usize {
        self.points.len() + self.joints.len()
    }

    /// The number of a place among [`places`](Self::places). A case's own side of its joint is the
    /// terminal of the device.
    #[must_use]
    pub fn place_of(&self, probe: Probe) -> usize {
        match probe {
            Probe::Point(point) => point.index(),
            Probe::Lug(joint) => self
                .own_point(joint)
                .map_or(self.points.len() + joint.index(), |terminal| terminal.index()),
            // A crimp of which nothing is said adds nothing: its strand is its lug.
            Probe::Strand(joint) => {
                self.place_of(Probe::Lug(self.crimp_at(joint).unwrap_or(joint)))
            }
        }
    }

    /// The two places that a piece joins: a conductor's are its strands at the lugs.
    #[must_use]
    pub fn piece_places(&self, piece: Piece) -> (usize, usize) {
        let lug = |joint: JointId| self.place_of(Probe::Lug(joint));
        let points = |from: crate::PointId, to: crate::PointId| (from.index(), to.index());
        match piece {
            Piece::Conductor(id) => {
                let own = self.conductor(id);
                (self.place_of(Probe::Strand(own.from)), self.place_of(Probe::Strand(own.to)))
            }
            Piece::Joint(id) => match self.face_of(id) {
                face if face != id => (lug(face), lug(id)),
                _ => (self.joint(id).point.index(), lug(id)),
            },
            Piece::Stretch(id) => points(self.stretch(id).from, self.stretch(id).to),
            Piece::Incidental(id) => points(self.incidental(id).from, self.incidental(id).to),
            Piece::Inline(id) => points(self.inline(id).from, self.inline(id).to),
        }
    }
}

/// Which nodes hang together (union-find).
#[derive(Debug, Clone)]
pub struct Parts(Vec<u32>);

impl Parts {
    /// So many nodes, each alone.
    #[must_use]
    pub fn new(nodes: usize) -> Self {
        Self((0..u32::try_from(nodes).unwrap_or(u32::MAX)).collect())
    }

    /// So many nodes, joined by these edges.
    #[must_use]
    pub fn of(nodes: usize, edges: impl IntoIterator<Item = (usize, usize)>) -> Self {
        let mut parts = Self::new(nodes);
        for (a, b) in edges {
            parts.join(a, b);
        }
        parts
    }

    /// The node that stands for a node's part: the one with the smallest number.
    #[inline]
    pub fn root(&mut self, node: usize) -> usize {
        let mut at = node;
        while self.0[at] as usize != at {
            self.0[at] = self.0[self.0[at] as usize];
            at = self.0[at] as usize;
        }
        at
    }

    /// Joins the parts of two nodes.
    #[inline]
    pub fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        // The smaller number stays the root, so that answers do not depend on the order of joining.
        let (root, leaf) = (a.min(b), a.max(b));
        self.0[leaf] = u32::try_from(root).unwrap_or(u32::MAX);
    }

    /// True when two nodes hang together.
    pub fn joined(&mut self, a: usize, b: usize) -> bool {
        self.root(a) == self.root(b)
    }

    /// For each node the one that stands for its part.
    #[must_use]
    pub fn roots(mut self) -> Vec<usize> {
        (0..self.0.len()).map(|node| self.root(node)).collect()
    }
}

/// Nodes and edges, for questions about bridges and blocks. Two nodes may have several edges.
#[derive(Debug, Clone)]
pub struct Graph {
    edges: Vec<(usize, usize)>,
    /// Edges at each node, in their order.
    around: Vec<Vec<usize>>,
}

/// What a search from one or several nodes finds.
#[derive(Debug, Clone, Default)]
pub struct Search {
    /// The nodes reached, each after the one from which it was reached.
    pub order: Vec<usize>,
    /// For each node the edge by which it was reached; nothing at a start, or out of reach.
    pub above: Vec<Option<usize>>,
    /// The blocks: edges of which any two lie on a common loop; an edge in no loop is a block alone.
    pub blocks: Vec<Vec<usize>>,
}

impl Graph {
    /// So many nodes with these edges; the position of an edge is its number.
    #[must_use]
    pub fn new(nodes: usize, edges: Vec<(usize, usize)>) -> Self {
        let mut around = vec![Vec::new(); nodes];
        for (edge, (a, b)) in edges.iter().enumerate() {
            around[*a].push(edge);
            if a != b {
                around[*b].push(edge);
            }
        }
        Self { edges, around }
    }

    /// The nodes that an edge joins.
    #[must_use]
    pub fn ends(&self, edge: usize) -> (usize, usize) {
        self.edges[edge]
    }

    /// The node at the other end of an edge.
    #[must_use]
    pub fn other(&self, edge: usize, node: usize) -> usize {
        let (a, b) = self.edges[edge];
        if a == node { b } else { a }
    }

    /// The edges at a node.
    #[must_use]
    pub fn around(&self, node: usize) -> &[usize] {
        &self.around[node]
    }

    /// Every node that hangs together with any of these, some edges taken away.
    #[must_use]
    pub fn reached(
        &self,
        from: impl IntoIterator<Item = usize>,
        without: &[usize],
    ) -> BTreeSet<usize> {
        let mut reached: BTreeSet<usize> = from.into_iter().collect();
        let mut left: Vec<usize> = reached.iter().copied().collect();
        while let Some(node) = left.pop() {
            for edge in self.around[node].iter().filter(|edge| !without.contains(edge)) {
                let next = self.other(*edge, node);
                if reached.insert(next) {
                    left.push(next);
                }
            }
        }
        reached
    }

    /// Searches from one node.
    #[must_use]
    pub fn search(&self, from: usize) -> Search {
        let mut state = Depth::new(self.around.len());
        state.search(self, from);
        state.found
    }

    /// Searches the whole graph.
    #[must_use]
    pub fn search_all(&self) -> Search {
        let mut state = Depth::new(self.around.len());
        for start in 0..self.around.len() {
            state.search(self, start);
        }
        state.found
    }
}

impl Search {
    /// Edges whose loss would cut off what lies behind them: those that are a block alone.
    pub fn bridges(&self) -> impl Iterator<Item = usize> + '_ {
        self.blocks.iter().filter(|block| block.len() == 1).map(|block| block[0])
    }
}

/// A depth-first search under way: Tarjan's biconnected components (SIAM J. Comput. 1, 1972), without
/// recursion, since a vehicle may have long chains.
struct Depth {
    found: Search,
    /// When each node was found, from one; zero before.
    seen: Vec<usize>,
    /// The earliest node that a node's branch of the search leads back to.
    low: Vec<usize>,
    /// Edges passed that belong to no block yet.
    open: Vec<usize>,
}

impl Depth {
    fn new(nodes: usize) -> Self {
        let found = Search { above: vec![None; nodes], ..Search::default() };
        Self { found, seen: vec![0; nodes], low: vec![0; nodes], open: Vec::new() }
    }

    fn reach(&mut self, node: usize, by: Option<usize>) {
        self.found.order.push(node);
        self.found.above[node] = by;
        (self.seen[node], self.low[node]) = (self.found.order.len(), self.found.order.len());
    }

    fn search(&mut self, graph: &Graph, start: usize) {
        if self.seen[start] != 0 {
            return;
        }
        self.reach(start, None);
        // A node, and how many of its edges were followed.
        let mut path: Vec<(usize, usize)> = vec![(start, 0)];
        while let Some((here, followed)) = path.last_mut() {
            let here = *here;
            if let Some(&edge) = graph.around[here].get(*followed) {
                *followed += 1;
                let there = graph.other(edge, here);
                if self.found.above[here] == Some(edge)
                    || there == here
                    || self.seen[there] > self.seen[here]
                {
                    continue;
                }
                self.open.push(edge);
                if self.seen[there] == 0 {
                    self.reach(there, Some(edge));
                    path.push((there, 0));
                } else {
                    self.low[here] = self.low[here].min(self.seen[there]);
                }
                continue;
            }
            path.pop();
            if let Some(&(parent, _)) = path.last() {
                self.leave(here, parent);
            }
        }
    }

    /// All of a node's edges were followed: a block ends at its parent where nothing leads further back.
    fn leave(&mut self, here: usize, parent: usize) {
        self.low[parent] = self.low[parent].min(self.low[here]);
        let by = self.found.above[here];
        if self.low[here] >= self.seen[parent]
            && let Some(from) = self.open.iter().rposition(|edge| Some(*edge) == by)
        {
            self.found.blocks.push(self.open.split_off(from));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_in_no_loop_is_a_bridge_and_one_of_two_in_parallel_is_none() {
        // A loop 0–1–2, a chain to 3 and 4, two edges on to 5, and 6 alone with itself.
        let edges = vec![(0, 1), (1, 2), (2, 0), (2, 3), (3, 4), (4, 5), (4, 5), (6, 6)];
        let found = Graph::new(7, edges).search_all();
        let mut bridges: Vec<usize> = found.bridges().collect();
        bridges.sort_unstable();
        assert_eq!(bridges, [3, 4]);
        assert_eq!(found.order.len(), 7);
        assert_eq!(found.blocks.len(), 4);
    }

    #[test]
    fn a_search_from_one_node_stays_in_its_part() {
        let graph = Graph::new(5, vec![(0, 1), (1, 2), (3, 4)]);
        assert_eq!(graph.search(3).order, [3, 4]);
        assert_eq!(graph.reached([0], &[1]), BTreeSet::from([0, 1]));
    }

    #[test]
    fn the_smallest_number_stands_for_a_part_in_whatever_order_it_is_joined() {
        for edges in [[(3, 1), (1, 4)], [(4, 1), (3, 4)]] {
            assert_eq!(Parts::of(5, edges).roots(), [0, 1, 2, 1, 1]);
        }
    }

    mod laws {
        use super::*;
        use proptest::prelude::*;

        proptest! {
            #[test]
            fn an_edge_is_a_bridge_exactly_when_its_loss_parts_its_ends(
                edges in proptest::collection::vec((0_usize..8, 0_usize..8), 0..14)
            ) {
                let graph = Graph::new(8, edges.clone());
                let bridges: BTreeSet<usize> = graph.search_all().bridges().collect();
                for (at, (a, b)) in edges.iter().enumerate() {
                    let parted = !graph.reached([*a], &[at]).contains(b);
                    prop_assert_eq!(bridges.contains(&at), parted, "{} of {:?}", at, &edges);
                }
            }

            #[test]
            fn parts_are_what_is_reached(
                edges in proptest::collection::vec((0_usize..8, 0_usize..8), 0..10)
            ) {
                let graph = Graph::new(8, edges.clone());
                let mut parts = Parts::of(8, edges);
                for a in 0..8 {
                    let reached = graph.reached([a], &[]);
                    for b in 0..8 {
                        prop_assert_eq!(parts.joined(a, b), reached.contains(&b));
                    }
                }
            }
        }
    }
}
