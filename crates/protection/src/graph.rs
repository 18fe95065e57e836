//! Who hangs together with whom in a state, and which fuses stand between a source and a conductor.

use std::collections::BTreeSet;

use model::graph::Parts;
use model::{Conducts, InlineId, InlineKind, Piece, PointId, StateId, Vehicle};

/// What conducts in a state, loads and sources left out; the joints of a conductor belong to it.
#[derive(Debug)]
pub(crate) struct Graph {
    graph: model::graph::Graph,
    /// The piece that each edge stands for.
    pieces: Vec<Piece>,
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
        let (mut edges, mut pieces) = (Vec::new(), Vec::new());
        // A diode counts as joined: what it may let through is to be borne.
        let conducting =
            vehicle.pieces().filter(|piece| vehicle.conducts(*piece, state) != Conducts::Not);
        for piece in conducting {
            let Some((from, to)) = vehicle.piece_ends(piece) else { continue };
            edges.push((from.index(), to.index()));
            pieces.push(piece);
        }
        let parts = Parts::of(vehicle.points.len(), edges.iter().copied()).roots();
        let graph = model::graph::Graph::new(vehicle.points.len(), edges);
        Self { graph, pieces, parts }
    }

    /// True when metal joins the two points in this state.
    pub(crate) fn joined(&self, a: PointId, b: PointId) -> bool {
        self.parts[a.index()] == self.parts[b.index()]
    }

    /// Pieces that meet a point.
    pub(crate) fn meeting(&self, point: PointId) -> impl Iterator<Item = Piece> + '_ {
        self.graph.around(point.index()).iter().map(|edge| self.pieces[*edge])
    }

    /// What a source at a point sees.
    ///
    /// A piece whose loss would cut the rest off is a bridge; a fuse that is one protects everything
    /// behind it.
    pub(crate) fn view(&self, vehicle: &Vehicle, source: PointId) -> View {
        let found = self.graph.search(source.index());
        let bridges: BTreeSet<usize> = found.bridges().collect();
        let mut view = View {
            chain: vec![None; vehicle.points.len()],
            links: Vec::new(),
            reach: vec![Reach::Never; vehicle.pieces().count()],
        };
        view.chain[source.index()] = Some(None);
        for &node in &found.order {
            for edge in self.graph.around(node) {
                view.reach[vehicle.piece_slot(self.pieces[*edge])] = Reach::Both;
            }
        }
        for &node in &found.order {
            let Some(edge) = found.above[node] else { continue };
            let parent = self.graph.other(edge, node);
            let before = view.chain[parent].flatten();
            view.chain[node] = Some(before);
            if !bridges.contains(&edge) {
                continue;
            }
            let piece = self.pieces[edge];
            let first = self.graph.ends(edge).0 == parent;
            view.reach[vehicle.piece_slot(piece)] =
                if first { Reach::FromFirst } else { Reach::FromSecond };
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
