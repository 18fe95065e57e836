//! Whose current flows where in a flow that is known: proportional sharing.
//!
//! At every node what flows out is mixed as what flowed in: of each ampere that arrives, every way
//! out gets the part that it has of the whole outflow. That is the one division in which no way out
//! is told apart from another, it adds up exactly, and no part ever runs against the flow or exceeds
//! it. Source: J. Bialek, "Tracing the flow of electricity", IEE Proceedings – Generation,
//! Transmission and Distribution 143 (1996) 313–320; here without losses, because amperes have none.
//!
//! A current through resistances runs downhill, so there are no loops, and one pass in the order of
//! the heights replaces Bialek's matrix. Nodes are numbers; this file has never heard of a vehicle.

use std::collections::BTreeMap;

/// Amperes below which an edge counts as carrying nothing: what rounding leaves in a short bar.
const LEAST_AMPERES: f64 = 1e-9;

/// A way from one node to a lower one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Way {
    pub from: usize,
    pub to: usize,
    pub amps: f64,
}

/// A flow: where it goes down, and where it leaves.
#[derive(Debug)]
pub(crate) struct Flow {
    ways: Vec<Way>,
    /// Ways that begin at each node, as numbers into `ways`.
    down: Vec<Vec<usize>>,
    /// Exits at each node: their number and amperes.
    exits: Vec<Vec<(usize, f64)>>,
    /// Place of each node in the order of falling height.
    rank: Vec<usize>,
    /// Nodes from the highest to the lowest.
    order: Vec<usize>,
    /// Amperes that pass each node and leave somewhere.
    through: Vec<f64>,
}

/// What becomes of a current that enters at one node.
#[derive(Debug, Default)]
pub(crate) struct Traced {
    /// Number of a way, and the amperes of this current in it.
    pub ways: Vec<(usize, f64)>,
    /// Number of an exit, its node, and the amperes of this current that leave there.
    pub exits: Vec<(usize, usize, f64)>,
}

impl Flow {
    /// A flow with `heights` of its nodes; every way runs from a higher node to a lower one. `exits`
    /// are nodes and amperes.
    pub(crate) fn new(heights: &[f64], ways: Vec<Way>, exits: &[(usize, f64)]) -> Self {
        let n = heights.len();
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|a, b| heights[*b].total_cmp(&heights[*a]).then(a.cmp(b)));
        let mut rank = vec![0; n];
        for (place, node) in order.iter().enumerate() {
            rank[*node] = place;
        }
        let mut flow = Self {
            down: vec![Vec::new(); n],
            exits: vec![Vec::new(); n],
            through: vec![0.0; n],
            ways,
            rank,
            order,
        };
        for (at, (node, amps)) in exits.iter().enumerate() {
            if *amps > LEAST_AMPERES {
                flow.exits[*node].push((at, *amps));
                flow.through[*node] += amps;
            }
        }
        for (at, way) in flow.ways.iter().enumerate() {
            if way.amps > LEAST_AMPERES && flow.rank[way.from] < flow.rank[way.to] {
                flow.down[way.from].push(at);
            }
        }
        // From the lowest up, so that what leads to no exit is known and left out.
        let Self { ways, through, down, order, .. } = &mut flow;
        for &node in order.iter().rev() {
            down[node].retain(|at| through[ways[*at].to] > 0.0);
            through[node] += down[node].iter().map(|at| ways[*at].amps).sum::<f64>();
        }
        flow
    }

    /// The way of this number.
    pub(crate) fn way(&self, at: usize) -> Way {
        self.ways[at]
    }

    /// Of what passes each node, the part that leaves at the wanted exits.
    pub(crate) fn parts(&self, wanted: impl Fn(usize) -> bool) -> Vec<f64> {
        let mut parts = vec![0.0; self.through.len()];
        for &node in self.order.iter().rev() {
            if self.through[node] <= 0.0 {
                continue;
            }
            let exits = self.exits[node].iter().filter(|(at, _)| wanted(*at));
            let out: f64 = exits.map(|(_, amps)| amps).sum();
            let on: f64 = self.down[node]
                .iter()
                .map(|at| self.ways[*at].amps * parts[self.ways[*at].to])
                .sum();
            parts[node] = (out + on) / self.through[node];
        }
        parts
    }

    /// Follows a current that enters at a node to the exits.
    pub(crate) fn trace(&self, node: usize, amps: f64) -> Traced {
        self.trace_to(node, amps, |_| true, |_| 1.0)
    }

    /// The same for that part of it alone that leaves at wanted exits; `part` is what
    /// [`parts`](Self::parts) found for these.
    pub(crate) fn trace_to(
        &self,
        node: usize,
        amps: f64,
        wanted: impl Fn(usize) -> bool,
        part: impl Fn(usize) -> f64,
    ) -> Traced {
        let mut traced = Traced::default();
        let mut front = BTreeMap::from([(self.rank[node], amps)]);
        while let Some((rank, amps)) = front.pop_first() {
            let node = self.order[rank];
            let whole = self.through[node];
            if amps <= 0.0 || whole <= 0.0 {
                continue;
            }
            let each = amps / whole;
            for (at, out) in self.exits[node].iter().filter(|(at, _)| wanted(*at)) {
                traced.exits.push((*at, node, each * out));
            }
            for at in &self.down[node] {
                let way = self.ways[*at];
                let share = part(way.to);
                if share > 0.0 {
                    traced.ways.push((*at, each * way.amps * share));
                    *front.entry(self.rank[way.to]).or_insert(0.0) += each * way.amps;
                }
            }
        }
        traced
    }
}
