//! What to measure next.

use diagnosis::Proposal;
use model::{Measured, Probe, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

use crate::cautions::{CautionTold, Cautions, told};
use crate::problem::Problem;

/// The answer of `next`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NextReadings {
    /// The number of the contract.
    pub format: u32,
    /// The best first.
    pub next: Vec<ProposedReading>,
    /// Problems of the readings.
    pub problems: Vec<Problem>,
    /// Cautions that concern taking them, besides the usual ones.
    pub cautions: Vec<CautionTold>,
}

/// The answer of `next` for a vehicle that nobody has measured.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ReadingPlan {
    /// The number of the contract.
    pub format: u32,
    /// A first plan of readings.
    pub plan: Vec<ProposedReading>,
    /// Cautions that concern taking them, besides the usual ones.
    pub cautions: Vec<CautionTold>,
}

/// A reading worth taking.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ProposedReading {
    /// The operating state.
    pub state: String,
    /// Where; null for what is no meter reading.
    pub reading: Option<ReadingPlace>,
    /// What a sound vehicle would show, in that unit.
    pub sound: f64,
    /// The work.
    pub seconds: f64,
    /// The expected loss of doubt, in natural units.
    pub information: f64,
}

/// Where a reading is to be taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum ReadingPlace {
    /// Volts between two places.
    Volts {
        /// The red lead.
        from: String,
        /// The black lead.
        to: String,
        /// The unit of the value.
        unit: OfVolts,
    },
    /// Amperes by a clamp.
    Amps {
        /// The conductor.
        through: String,
        /// The unit of the value.
        unit: OfAmperes,
    },
}

/// The unit of a reading of volts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
pub enum OfVolts {
    /// Volts.
    V,
}

/// The unit of a reading of amperes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
pub enum OfAmperes {
    /// Amperes.
    A,
}

/// A probe's place as a readings file names it.
pub(crate) fn probe(vehicle: &Vehicle, probe: Probe) -> String {
    match probe {
        Probe::Point(id) => vehicle.point(id).id.clone(),
        Probe::Lug(id) => vehicle.joint(id).id.clone(),
    }
}

/// The answer for readings that were proposed.
#[must_use]
pub fn next_of(vehicle: &Vehicle, proposals: &[Proposal], problems: Vec<Problem>) -> NextReadings {
    let next = proposals.iter().map(|own| proposed(vehicle, own)).collect();
    let cautions = told(&Cautions::of(vehicle).of_reading());
    NextReadings { format: crate::FORMAT, next, problems, cautions }
}

/// The answer for a first plan.
#[must_use]
pub fn plan_of(vehicle: &Vehicle, plan: &[Proposal]) -> ReadingPlan {
    ReadingPlan {
        format: crate::FORMAT,
        plan: plan.iter().map(|own| proposed(vehicle, own)).collect(),
        cautions: told(&Cautions::of(vehicle).of_reading()),
    }
}

/// A reading that was proposed.
#[must_use]
pub fn proposed(vehicle: &Vehicle, own: &Proposal) -> ProposedReading {
    let reading = match own.measured {
        Measured::Volts { high, low } => Some(ReadingPlace::Volts {
            from: probe(vehicle, high),
            to: probe(vehicle, low),
            unit: OfVolts::V,
        }),
        Measured::Amps { conductor } => Some(ReadingPlace::Amps {
            through: vehicle.conductor(conductor).id.clone(),
            unit: OfAmperes::A,
        }),
        _ => None,
    };
    ProposedReading {
        state: vehicle.state(own.state).id.clone(),
        reading,
        sound: own.sound,
        seconds: own.time.0,
        information: own.gain,
    }
}
