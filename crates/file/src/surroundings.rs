//! What air a conductor runs through where the file does not say: beside the engine, when it ends there.

use std::collections::BTreeSet;

use model::{LoadKind, PointId, PointOwner, RegulatedKind, Surroundings, Vehicle};

use crate::read::Reader;

const BESIDE: &str = "an end of it is on the engine, its starter or its alternator";
const AWAY: &str = "no end of it is on the engine, its starter or its alternator";

impl Reader<'_> {
    /// Gives every conductor about which nothing is said the air that its ends suggest.
    pub(crate) fn surroundings(&mut self) {
        let engine = Engine::of(&self.vehicle);
        for id in std::mem::take(&mut self.unsaid_surroundings) {
            let own = self.vehicle.conductor(id);
            let ends = [own.from, own.to].map(|joint| self.vehicle.joint(joint).point);
            let beside = ends.into_iter().any(|end| engine.holds(&self.vehicle, end));
            let (word, why) = if beside { ("engine space", BESIDE) } else { ("outside", AWAY) };
            self.fills.note(format!("{}.surroundings", own.id), word, why);
            if beside {
                self.vehicle.conductors[id.index()].surroundings = Surroundings::EngineSpace;
            }
        }
    }
}

/// The bodies of metal that carry a starter or an alternator, and the terminals of those.
struct Engine {
    bodies: Vec<u32>,
    terminals: BTreeSet<PointId>,
}

impl Engine {
    fn of(vehicle: &Vehicle) -> Self {
        let starters = vehicle.loads.iter().filter(|own| own.kind == LoadKind::Starter);
        let driven = vehicle.regulated.iter().filter(|own| own.kind == RegulatedKind::Alternator);
        let terminals = starters
            .flat_map(|own| [own.positive, own.negative])
            .chain(driven.flat_map(|own| [own.positive, own.negative]));
        Self { bodies: vehicle.engine_bodies(), terminals: terminals.collect() }
    }

    fn holds(&self, vehicle: &Vehicle, point: PointId) -> bool {
        let owner = vehicle.point(point).owner;
        let on_body = matches!(owner, PointOwner::Structure(body) if self.bodies.contains(&body));
        on_body || self.terminals.contains(&point)
    }
}
