//! What is left without a fuse by custom: common practice, told as that and as no protection.

use std::collections::BTreeMap;

use model::{
    ConductorId, InlineKind, LoadId, LoadKind, Piece, PointId, RegulatedId, RegulatedKind,
};
use model::{StateId, Vehicle};
use network::Network;
use units::Amperes;

use crate::feeds::Fed;
use crate::state_view::{NOTHING, Seen};

/// A conductor carries this share of a starter's or an alternator's current when it is its cable.
const MOST_OF_IT: f64 = 0.5;

/// Why a conductor has no fuse, where it is usual that it has none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Custom {
    /// It is a starter's cable.
    Starter,
    /// It is the cable between an alternator and a battery.
    Charging,
    /// It joins the posts of batteries.
    BatteryLink,
    /// It ends at fuses and nothing else.
    UpToFuses,
}

/// Cables that are left without a fuse by custom: those of starters and alternators.
pub(crate) fn customs(vehicle: &Vehicle) -> BTreeMap<ConductorId, Custom> {
    let mut customs = BTreeMap::new();
    let mut network = Network::new(vehicle);
    for state in (0..vehicle.states.len()).map(StateId::at) {
        let (starters, alternators) = (starters(vehicle, state), alternators(vehicle, state));
        if starters.is_empty() && alternators.is_empty() {
            continue;
        }
        let point = network.operating_point(state);
        let starting: Amperes = starters.iter().map(|id| point.load(*id).amps).sum();
        for id in (0..vehicle.conductors.len()).map(ConductorId::at) {
            let amps = point.piece(vehicle, Piece::Conductor(id)).amps.abs();
            if starting > NOTHING && amps > starting * MOST_OF_IT {
                customs.insert(id, Custom::Starter);
            }
        }
        for alternator in alternators {
            let live = vehicle.regulated_terminals(alternator).0;
            for id in (0..vehicle.conductors.len()).map(ConductorId::at) {
                let at_it = vehicle
                    .piece_ends(Piece::Conductor(id))
                    .is_some_and(|(from, to)| from == live || to == live);
                if at_it {
                    customs.entry(id).or_insert(Custom::Charging);
                }
            }
        }
    }
    customs
}

/// The starters that turn in a state.
fn starters(vehicle: &Vehicle, state: StateId) -> Vec<LoadId> {
    let turns = |id: &LoadId| {
        let load = vehicle.load(*id);
        load.kind == LoadKind::Starter && load.is_on_in(state)
    };
    (0..vehicle.loads.len()).map(LoadId::at).filter(turns).collect()
}

/// The alternators that run in a state.
fn alternators(vehicle: &Vehicle, state: StateId) -> Vec<RegulatedId> {
    let runs = |id: &RegulatedId| {
        let source = vehicle.regulated_source(*id);
        source.kind == RegulatedKind::Alternator && source.runs_in(state)
    };
    (0..vehicle.regulated.len()).map(RegulatedId::at).filter(runs).collect()
}

/// True when both ends of a conductor are posts of batteries.
pub(crate) fn between_posts(vehicle: &Vehicle, fed: &Fed) -> bool {
    let post = |point: PointId| {
        vehicle.batteries.iter().any(|own| own.positive == point || own.negative == point)
    };
    post(fed.near) && post(fed.far)
}

/// True when everything that goes on at a conductor's far end is a fuse.
pub(crate) fn up_to_fuses(vehicle: &Vehicle, fed: &Fed, seen: &[Seen]) -> bool {
    let own = Piece::Conductor(fed.conductor);
    let Some(seen) = seen.iter().find(|seen| seen.state == fed.state) else { return false };
    let mut beyond = seen.graph.meeting(fed.far).filter(|piece| *piece != own).peekable();
    beyond.peek().is_some()
        && beyond.all(|piece| match piece {
            Piece::Inline(id) => matches!(vehicle.inline(id).kind, InlineKind::Fuse { .. }),
            _ => false,
        })
}
