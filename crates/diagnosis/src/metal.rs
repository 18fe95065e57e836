//! What hangs together by metal, and what still does when one piece is taken away.

use std::collections::BTreeSet;

use model::graph::Graph;
use model::{ConductorId, InlineId, JointId, PointId, Vehicle};

/// The points of a vehicle as a graph of its metal, switches closed.
pub(crate) struct Metal {
    graph: Graph,
    inlines: usize,
    /// The edge of each joint that stands by itself.
    standing: Vec<Option<usize>>,
}

impl Metal {
    pub(crate) fn of(vehicle: &Vehicle) -> Self {
        Self::with(vehicle, true)
    }

    /// The same without metal that was never meant to carry current.
    pub(crate) fn without_incidental(vehicle: &Vehicle) -> Self {
        Self::with(vehicle, false)
    }

    fn with(vehicle: &Vehicle, incidental: bool) -> Self {
        let mut edges = Vec::new();
        for conductor in &vehicle.conductors {
            let ends = [conductor.from, conductor.to].map(|end| vehicle.joint(end).point.index());
            edges.push((ends[0], ends[1]));
        }
        let inlines = edges.len();
        edges.extend(vehicle.inlines.iter().map(|own| (own.from.index(), own.to.index())));
        edges.extend(vehicle.stretches.iter().map(|own| (own.from.index(), own.to.index())));
        let incidentals = vehicle.incidentals.iter().filter(|_| incidental);
        edges.extend(incidentals.map(|own| (own.from.index(), own.to.index())));
        let standing = vehicle.joints.iter().map(|joint| {
            let own = vehicle.own_point(joint.this)?;
            edges.push((own.index(), joint.point.index()));
            Some(edges.len() - 1)
        });
        let standing = standing.collect();
        Self { graph: Graph::new(vehicle.points.len(), edges), inlines, standing }
    }

    pub(crate) fn conductor(&self, id: ConductorId) -> usize {
        id.index()
    }

    pub(crate) fn inline(&self, id: InlineId) -> usize {
        self.inlines + id.index()
    }

    /// The edge of a joint that stands by itself: a device's case, a stud's foot, a mated pin.
    pub(crate) fn standing(&self, id: JointId) -> Option<usize> {
        self.standing[id.index()]
    }

    /// Every point that metal joins to any of these, one edge taken away.
    pub(crate) fn reached(
        &self,
        from: impl Iterator<Item = PointId>,
        without: Option<usize>,
    ) -> BTreeSet<usize> {
        self.reached_without(from, without.as_slice())
    }

    /// The same, several edges taken away.
    pub(crate) fn reached_without(
        &self,
        from: impl Iterator<Item = PointId>,
        without: &[usize],
    ) -> BTreeSet<usize> {
        self.graph.reached(from.map(PointId::index), without)
    }
}
