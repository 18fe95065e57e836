//! What is taught about a reading: its limit and where that comes from, beside the reading.

use catalogue::Row;
use diagnosis::{Beside, Observation, beside};
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

/// A taught limit beside a reading.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct TaughtLimit {
    /// Its row in the catalogue.
    pub key: String,
    /// Who teaches it.
    pub rule_set: String,
    /// The test that is taught.
    pub test: String,
    /// The most it allows.
    pub allowed_volts: f64,
    /// True when the reading is above it by more than the meter's own uncertainty.
    pub above: bool,
    /// Where it is written.
    pub source: String,
    /// How sure that is.
    pub confidence: &'static str,
}

/// The limit of one reading for programs.
pub(super) fn of(vehicle: &Vehicle, own: &Observation) -> Option<TaughtLimit> {
    let Beside { limit, allowed, above } = beside(vehicle, own)?;
    Some(TaughtLimit {
        key: limit.key().to_owned(),
        rule_set: limit.rule_set.to_string(),
        test: limit.test.clone(),
        allowed_volts: allowed.0,
        above,
        source: limit.provenance.source.clone(),
        confidence: limit.provenance.confidence.word(),
    })
}
