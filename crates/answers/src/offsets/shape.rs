//! The JSON of who lifts whose ground.

use model::Vehicle;
use network::Offsets;
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::solve::Miss;
use crate::unsettled;

/// The answer of `offsets`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct GroundOffsets {
    /// The number of the contract.
    pub format: u32,
    /// One for each state.
    pub states: Vec<OffsetsState>,
}

/// One operating state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct OffsetsState {
    /// Its name.
    pub state: String,
    /// One for each pair.
    pub offsets: Vec<GroundOffset>,
    /// False when the state has no operating point; the numbers are then those of the last attempt.
    pub found: bool,
    /// The device that fits worst, when none was found.
    pub misses: Option<Miss>,
}

/// What one load's current does to the ground of another.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct GroundOffset {
    /// The load whose current it is.
    pub cause: String,
    /// The load whose ground is lifted.
    pub victim: String,
    /// By how much.
    pub volts: f64,
    /// For each ampere of the cause.
    pub volts_per_amp: f64,
    /// The shared piece with the largest part in it.
    pub blame: Option<String>,
    /// That part.
    pub blame_volts: Option<f64>,
}

pub(super) fn of(found: &Found<'_>) -> GroundOffsets {
    let states = found.states.iter().map(|(point, offsets)| OffsetsState {
        state: found.vehicle.state(point.state).id.clone(),
        offsets: pairs(found.vehicle, offsets),
        found: unsettled::is_found(point),
        misses: unsettled::miss(point),
    });
    GroundOffsets { format: crate::FORMAT, states: states.collect() }
}

fn pairs(vehicle: &Vehicle, offsets: &Offsets) -> Vec<GroundOffset> {
    let entries = offsets.entries.iter();
    entries
        .map(|entry| GroundOffset {
            cause: vehicle.load(entry.cause).id.clone(),
            victim: vehicle.load(entry.victim).id.clone(),
            volts: entry.lift.0,
            volts_per_amp: entry.per_ampere.0,
            blame: entry.blame.map(|(piece, _)| vehicle.piece_name(piece).to_owned()),
            blame_volts: entry.blame.map(|(_, volts)| volts.0),
        })
        .collect()
}
