//! The five sides on which a fault may lie.

use diagnosis::SideBelief;
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

use crate::suspect::{SuspectName, suspect_name};

/// One side of a circuit, and how likely the fault lies there.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SideChance {
    /// `source`, `feed`, `return`, `load` or `control`.
    pub side: &'static str,
    /// Probability that the fault lies there.
    pub probability: f64,
    /// The first suspect there.
    pub first: Option<SuspectName>,
}

/// What is believed of one side.
#[must_use]
pub fn of(vehicle: &Vehicle, own: &SideBelief) -> SideChance {
    SideChance {
        side: own.side.word(),
        probability: own.probability.0,
        first: own.first.map(|kind| suspect_name(vehicle, kind)),
    }
}
