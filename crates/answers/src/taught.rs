//! What is taught about a reading: its limit and where that comes from, beside the reading.

use catalogue::{DropLimit, Row};
use diagnosis::{Observation, taught_limit};
use model::Vehicle;
use serde::Serialize;
use units::{Amperes, Volts};
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

/// A reading beside its limit.
#[derive(Debug)]
pub struct Beside {
    /// The catalogue's row.
    pub limit: &'static DropLimit,
    /// What it allows in this vehicle.
    pub allowed: Volts,
    /// More than the limit, by more than the meter's own uncertainty.
    pub above: bool,
}

/// The limit of a reading; nothing for one that is no taught test.
#[must_use]
pub fn beside(vehicle: &Vehicle, own: &Observation) -> Option<Beside> {
    let limit = taught_limit(vehicle, own.state, own.measured)?;
    // Defaults do not follow the current (a test of the catalogue says so).
    let allowed = limit.limit.allowed(Amperes::ZERO, vehicle.nominal);
    let above = own.value.abs() - 2.0 * own.sigma > allowed.0;
    Some(Beside { limit, allowed, above })
}

/// The limit of one reading for programs.
#[must_use]
pub fn of(vehicle: &Vehicle, own: &Observation) -> Option<TaughtLimit> {
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
