//! The five sides on which a fault may lie.

use diagnosis::SideBelief;
use model::Vehicle;

use crate::suspect::{SuspectName, suspect_name};

shape! {
    /// One side of a circuit, and how likely the fault lies there.
    pub struct SideChance from pub (vehicle: &Vehicle, own: &SideBelief) {
        /// `source`, `feed`, `return`, `load` or `control`.
        pub side: &'static str = own.side.word(),
        /// Probability that the fault lies there.
        pub probability: f64 = own.probability.0,
        /// The first suspect there.
        pub first: Option<SuspectName> = own.first.map(|kind| suspect_name(vehicle, kind)),
    }
}
