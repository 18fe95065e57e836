//! Volts between places, from what batteries and sources hold, with nothing lost on the way.

use std::collections::BTreeMap;

use model::{BatteryId, Conducts, Piece, PointId, RegulatedId, StateId, Vehicle};
use units::Volts;

/// A source between two pieces of metal.
struct Edge {
    low: usize,
    high: usize,
    volts: Volts,
}

/// Volts of pieces of metal, each against the one from which it was reached.
pub(crate) struct Potentials {
    roots: Vec<usize>,
    /// The first piece of those that hang together by sources, and volts against it.
    known: BTreeMap<usize, (usize, Volts)>,
}

impl Potentials {
    /// What is joined by pieces that `joins` says yes to has one potential; batteries have these volts, and
    /// where they leave something unknown sources have those.
    pub(crate) fn of(
        vehicle: &Vehicle,
        joins: impl Fn(Piece) -> bool,
        battery: impl Fn(BatteryId) -> Volts,
        source: impl Fn(RegulatedId) -> Option<Volts>,
    ) -> Self {
        let roots = vehicle.parts(joins).roots();
        let edge = |low: PointId, high: PointId, volts| Edge {
            low: roots[low.index()],
            high: roots[high.index()],
            volts,
        };
        let batteries = vehicle.batteries.iter().enumerate();
        let mut edges: Vec<Edge> = batteries
            .map(|(at, own)| edge(own.negative, own.positive, battery(BatteryId::at(at))))
            .collect();
        let sources = vehicle.regulated.iter().enumerate();
        edges.extend(sources.filter_map(|(at, own)| {
            Some(edge(own.negative, own.positive, source(RegulatedId::at(at))?))
        }));
        let known = spread(&edges);
        Self { roots, known }
    }

    /// The same by the nominal volts of batteries alone, through metal as it is joined in a state.
    pub(crate) fn nominal(vehicle: &Vehicle, state: StateId) -> Self {
        let joins = |piece| vehicle.conducts(piece, state) == Conducts::BothWays;
        Self::of(vehicle, joins, |id| vehicle.battery(id).nominal, |_| None)
    }

    /// Volts from one point to another, where sources join them.
    pub(crate) fn across(&self, high: PointId, low: PointId) -> Option<Volts> {
        let of = |point: PointId| {
            let root = self.roots[point.index()];
            self.known.get(&root).copied().unwrap_or((root, Volts::ZERO))
        };
        let ((first, high), (second, low)) = (of(high), of(low));
        (first == second).then_some(high - low)
    }
}

/// Goes from each piece of metal to all that sources join to it, those that stand first in the list first.
fn spread(edges: &[Edge]) -> BTreeMap<usize, (usize, Volts)> {
    let mut known: BTreeMap<usize, (usize, Volts)> = BTreeMap::new();
    for first in edges {
        known.entry(first.low).or_insert((first.low, Volts::ZERO));
        while let Some(edge) =
            edges.iter().find(|own| known.contains_key(&own.low) != known.contains_key(&own.high))
        {
            if let Some(&(base, volts)) = known.get(&edge.low) {
                known.insert(edge.high, (base, volts + edge.volts));
            } else if let Some(&(base, volts)) = known.get(&edge.high) {
                known.insert(edge.low, (base, volts - edge.volts));
            }
        }
    }
    known
}
