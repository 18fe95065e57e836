//! Whether readings and file fit together at all.

use diagnosis::{Assumption, ChiSquare, Diagnosis, Moved, Observation};
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

use crate::diagnose::found::oddest;

/// How well readings and file fit together.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FileAgreement {
    /// True when they do not fit under any explanation that was tried.
    pub contradicts: bool,
    /// Against the vehicle of the file; null when nothing was measured that counts.
    pub as_filed: Option<ChiSquareTest>,
    /// Against the best explanation.
    pub explained: Option<ChiSquareTest>,
    /// The reading with the largest normalised residual above three.
    pub oddest_reading: Option<u32>,
    /// What the file says and is most at odds with the readings.
    pub at_odds: Vec<AtOdds>,
}

/// A chi-square test.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ChiSquareTest {
    /// The weighted sum of squares.
    pub chi_square: f64,
    /// Degrees of freedom.
    pub degrees: usize,
    /// Probability of so large a sum by chance.
    pub p_value: f64,
}

/// Something the file says that the readings want otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct AtOdds {
    /// `resistance`, `draw`, `battery-volts`, `battery-ohms` or `held-volts`.
    pub what: &'static str,
    /// Of what.
    pub id: String,
    /// How many times what the file says; null for volts.
    pub factor: Option<f64>,
    /// By how many volts; null for the others.
    pub volts: Option<f64>,
    /// The same in standard deviations.
    pub deviations: f64,
    /// The normalised residual, of which three is the usual limit.
    pub normalised_residual: f64,
}

/// Both tests, the reading to take again, and what the file may have wrong.
pub(super) fn of(vehicle: &Vehicle, diagnosis: &Diagnosis, seen: &[Observation]) -> FileAgreement {
    let agreement = &diagnosis.agreement;
    let test = |own: Option<ChiSquare>| {
        own.map(|own| ChiSquareTest {
            chi_square: own.statistic,
            degrees: own.degrees,
            p_value: own.p_value,
        })
    };
    FileAgreement {
        contradicts: agreement.contradicts(),
        as_filed: test(agreement.as_filed),
        explained: test(agreement.explained),
        oddest_reading: oddest(diagnosis, seen).map(|(number, _)| number),
        at_odds: agreement.at_odds.iter().map(|own| at_odds(vehicle, own)).collect(),
    }
}

fn at_odds(vehicle: &Vehicle, moved: &Moved) -> AtOdds {
    let (what, id) = match moved.assumption {
        Assumption::Resistance(piece) => ("resistance", vehicle.piece_name(piece)),
        Assumption::Draw(id) => ("draw", vehicle.load(id).id.as_str()),
        Assumption::BatteryVolts(id) => ("battery-volts", vehicle.battery(id).id.as_str()),
        Assumption::BatteryOhms(id) => ("battery-ohms", vehicle.battery(id).id.as_str()),
        Assumption::Held(id) => ("held-volts", vehicle.regulated_source(id).id.as_str()),
    };
    let in_volts = moved.assumption.in_volts();
    AtOdds {
        what,
        id: id.to_owned(),
        factor: (!in_volts).then(|| moved.by.exp()),
        volts: in_volts.then_some(moved.by),
        deviations: moved.deviations,
        normalised_residual: moved.normalised,
    }
}
