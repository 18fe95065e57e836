//! The JSON of who lifts whose ground.

use model::Vehicle;
use network::{Offset, Offsets};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::unsettled::{self, Miss};

shape! {
    /// The answer of `offsets`.
    pub struct GroundOffsets from pub(super) (found: &Found<'_>) {
        let states = found.states.iter().map(|(point, offsets)| OffsetsState {
            state: found.vehicle.state(point.state).id.clone(),
            offsets: pairs(found.vehicle, offsets),
            found: unsettled::is_found(point),
            misses: unsettled::miss(point),
        });
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// One for each state.
        pub states: Vec<OffsetsState> = states.collect(),
    }
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

shape! {
    /// What one load's current does to the ground of another.
    pub struct GroundOffset from (vehicle: &Vehicle, entry: &Offset) {
        /// The load whose current it is.
        pub cause: String = vehicle.load(entry.cause).id.clone(),
        /// The load whose ground is lifted.
        pub victim: String = vehicle.load(entry.victim).id.clone(),
        /// By how much.
        pub volts: f64 = entry.lift.0,
        /// For each ampere of the cause.
        pub volts_per_amp: f64 = entry.per_ampere.0,
        /// The shared piece with the largest part in it.
        pub blame: Option<String> =
            entry.blame.map(|(piece, _)| vehicle.piece_name(piece).to_owned()),
        /// That part.
        pub blame_volts: Option<f64> = entry.blame.map(|(_, volts)| volts.0),
    }
}

fn pairs(vehicle: &Vehicle, offsets: &Offsets) -> Vec<GroundOffset> {
    let entries = offsets.entries.iter();
    entries.map(|entry| GroundOffset::of(vehicle, entry)).collect()
}
