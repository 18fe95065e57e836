//! The path through a flow whose narrowest place is widest.

use std::collections::BTreeMap;

/// An edge of one current's part of the flow, downhill.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Edge {
    pub to: usize,
    pub amps: f64,
    /// Number of the way in the flow.
    pub way: usize,
}

/// A path, and the exit at which it ends.
pub(crate) struct Path<E> {
    /// Node and number of the edge among those that leave it, step by step.
    pub steps: Vec<(usize, usize)>,
    /// Amperes of its narrowest place.
    pub width: f64,
    /// The node at which it ends.
    pub end: usize,
    /// Number of the exit among those of that node.
    pub sink: usize,
    /// What that exit is.
    pub source: E,
}

/// The path whose narrowest edge is widest, by growing a tree from the start (Dijkstra's method
/// with widths in place of lengths).
pub(crate) fn widest_path<E: Copy>(
    start: usize,
    edges: &BTreeMap<usize, Vec<Edge>>,
    sinks: &BTreeMap<usize, Vec<(E, f64)>>,
    least: f64,
) -> Option<Path<E>> {
    let mut width = BTreeMap::from([(start, f64::INFINITY)]);
    let mut came: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    let mut front = std::collections::BinaryHeap::from([(Width(f64::INFINITY), start)]);
    let mut done = std::collections::BTreeSet::new();
    let mut best: Option<(f64, usize, usize, E)> = None;
    while let Some((Width(reach), node)) = front.pop() {
        if best.is_some_and(|(found, ..)| found >= reach) {
            break;
        }
        if !done.insert(node) {
            continue;
        }
        for (at, (end, amps)) in sinks.get(&node).into_iter().flatten().enumerate() {
            let through = reach.min(*amps);
            if through > least && best.is_none_or(|(found, ..)| through > found) {
                best = Some((through, node, at, *end));
            }
        }
        for (at, edge) in edges.get(&node).into_iter().flatten().enumerate() {
            let through = reach.min(edge.amps);
            if through > least && width.get(&edge.to).is_none_or(|known| through > *known) {
                width.insert(edge.to, through);
                came.insert(edge.to, (node, at));
                front.push((Width(through), edge.to));
            }
        }
    }
    let (width, end, sink, source) = best?;
    let mut steps = Vec::new();
    let mut node = end;
    while node != start {
        let step = *came.get(&node)?;
        steps.push(step);
        node = step.0;
    }
    steps.reverse();
    Some(Path { steps, width, end, sink, source })
}

/// A width that can be ordered; widths here are never not-a-number.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Width(f64);

impl Eq for Width {}

impl PartialOrd for Width {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Width {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}
