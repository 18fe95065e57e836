//! Who hangs together with whom in a state, and which fuses stand between a source and a conductor.

use model::{InlineId, InlineKind, Piece, PointId, StateId, Vehicle};

/// A conducting piece between two points; the joints of a conductor belong to it.
#[derive(Debug, Clone, Copy)]
struct Edge {
    ends: (usize, usize),
    piece: Piece,
}

/// What conducts in a state, loads and sources left out.
#[derive(Debug)]
pub(crate) struct Graph {
    edges: Vec<Edge>,
    at: Vec<Vec<usize>>,
    parts: Vec<usize>,
}

/// How a source reaches a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reach {
    /// Not at all.
    Never,
    /// Only through its `from` end.
    FromFirst,
    /// Only through its `to` end.
    FromSecond,
    /// Through both: the piece lies in a loop.
    Both,
}

/// The view from one source: how it reaches every piece, and through which fuses.
#[derive(Debug)]
pub(crate) struct View {
    /// For each point, the last of the fuses that cut it off, if any; nothing when out of reach.
    chain: Vec<Option<Option<usize>>>,
    links: Vec<(InlineId, Option<usize>)>,
    /// For each slot of a piece.
    reach: Vec<Reach>,
}

impl Graph {
    pub(crate) fn new(vehicle: &Vehicle, state: StateId) -> Self {
        let mut edges = Vec::new();
        let mut at = vec![Vec::new(); vehicle.points.len()];
        for piece in vehicle.pieces() {
            let open = match piece {
                Piece::Inline(id) => match &vehicle.inline(id).kind {
                    InlineKind::Switch { closed } => !closed.contains(&state),
                    // A diode counts as joined: what it may let through is to be borne.
                    InlineKind::Fuse { .. } | InlineKind::Diode { .. } => false,
                },
                _ => false,
            };
            let Some((from, to)) = vehicle.piece_ends(piece).filter(|_| !open) else { continue };
            at[from.index()].push(edges.len());
            at[to.index()].push(edges.len());
            edges.push(Edge { ends: (from.index(), to.index()), piece });
        }
        let mut graph = Self { edges, at, parts: Vec::new() };
        graph.parts = graph.find_parts();
        graph
    }

    fn find_parts(&self) -> Vec<usize> {
        let mut parts = vec![usize::MAX; self.at.len()];
        for first in 0..self.at.len() {
            if parts[first] != usize::MAX {
                continue;
            }
            parts[first] = first;
            let mut open = vec![first];
            while let Some(node) = open.pop() {
                for edge in &self.at[node] {
                    let other = self.other(*edge, node);
                    if parts[other] == usize::MAX {
                        parts[other] = first;
                        open.push(other);
                    }
                }
            }
        }
        parts
    }

    fn other(&self, edge: usize, node: usize) -> usize {
        let (a, b) = self.edges[edge].ends;
        if a == node { b } else { a }
    }

    /// True when metal joins the two points in this state.
    pub(crate) fn joined(&self, a: PointId, b: PointId) -> bool {
        self.parts[a.index()] == self.parts[b.index()]
    }

    /// Pieces that meet a point.
    pub(crate) fn meeting(&self, point: PointId) -> impl Iterator<Item = Piece> + '_ {
        self.at[point.index()].iter().map(|edge| self.edges[*edge].piece)
    }

    /// What a source at a point sees.
    ///
    /// A piece whose loss would cut the rest off is a bridge (Tarjan 1974, by depth-first search);
    /// a fuse that is one protects everything behind it.
    pub(crate) fn view(&self, vehicle: &Vehicle, source: PointId) -> View {
        let n = self.at.len();
        let (mut found, mut low) = (vec![usize::MAX; n], vec![usize::MAX; n]);
        let mut above: Vec<Option<usize>> = vec![None; n];
        let mut order = Vec::new();
        let mut next = vec![0; n];
        let mut path = vec![source.index()];
        found[source.index()] = 0;
        low[source.index()] = 0;
        order.push(source.index());
        while let Some(&node) = path.last() {
            if let Some(&edge) = self.at[node].get(next[node]) {
                next[node] += 1;
                if above[node] == Some(edge) {
                    continue;
                }
                let other = self.other(edge, node);
                if found[other] == usize::MAX {
                    found[other] = order.len();
                    low[other] = order.len();
                    above[other] = Some(edge);
                    order.push(other);
                    path.push(other);
                } else {
                    low[node] = low[node].min(found[other]);
                }
            } else {
                path.pop();
                if let Some(&parent) = path.last() {
                    low[parent] = low[parent].min(low[node]);
                }
            }
        }
        let mut view = View {
            chain: vec![None; n],
            links: Vec::new(),
            reach: vec![Reach::Never; vehicle.pieces().count()],
        };
        for edge in &self.edges {
            if found[edge.ends.0] != usize::MAX {
                view.reach[vehicle.piece_slot(edge.piece)] = Reach::Both;
            }
        }
        view.chain[source.index()] = Some(None);
        for &node in order.iter().skip(1) {
            let Some(edge) = above[node] else { continue };
            let parent = self.other(edge, node);
            let before = view.chain[parent].flatten();
            let bridge = low[node] > found[parent];
            view.chain[node] = Some(before);
            if !bridge {
                continue;
            }
            let Edge { ends, piece } = self.edges[edge];
            view.reach[vehicle.piece_slot(piece)] =
                if ends.0 == parent { Reach::FromFirst } else { Reach::FromSecond };
            if let Piece::Inline(id) = piece
                && matches!(vehicle.inline(id).kind, InlineKind::Fuse { .. })
            {
                view.links.push((id, before));
                view.chain[node] = Some(Some(view.links.len() - 1));
            }
        }
        view
    }
}

impl View {
    /// Fuses any one of which cuts a point off from the source, the nearest to the point first.
    pub(crate) fn fuses(&self, point: PointId) -> Vec<InlineId> {
        let mut fuses = Vec::new();
        let mut link = self.chain[point.index()].flatten();
        while let Some(at) = link {
            let (fuse, before) = self.links[at];
            fuses.push(fuse);
            link = before;
        }
        fuses
    }

    /// True when the source reaches the point.
    pub(crate) fn reaches(&self, point: PointId) -> bool {
        self.chain[point.index()].is_some()
    }

    /// How the source reaches a piece.
    pub(crate) fn reach(&self, vehicle: &Vehicle, piece: Piece) -> Reach {
        self.reach[vehicle.piece_slot(piece)]
    }
}
