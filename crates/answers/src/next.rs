//! What to measure next.

use diagnosis::{Proposal, Why};
use model::{Measured, Probe, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

use crate::cautions::{CautionTold, Cautions, told};
use crate::problem::Problem;
use crate::question::{self, ReadingQuestion};

/// The answer of `next`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NextReadings {
    /// The number of the contract.
    pub format: u32,
    /// The best first.
    pub next: Vec<ProposedReading>,
    /// Problems of the readings.
    pub problems: Vec<Problem>,
    /// What has to be asked about the readings.
    pub questions: Vec<ReadingQuestion>,
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
    /// What a sound vehicle would show, in that unit; never below zero, since the leads or the clamp are
    /// put so.
    pub sound: f64,
    /// The work.
    pub seconds: f64,
    /// The expected loss of doubt, in natural units.
    pub information: f64,
    /// Why the engine has to run for it; null where it need not.
    pub why_running: Option<String>,
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
        /// The point at its end towards which the clamp's arrow points.
        towards: String,
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
pub fn next_of(
    vehicle: &Vehicle,
    proposals: &[Proposal],
    problems: Vec<Problem>,
    questions: &[diagnosis::Question],
) -> NextReadings {
    let next = proposals.iter().map(|own| proposed(vehicle, own)).collect();
    let questions = questions.iter().map(|own| question::of(vehicle, own)).collect();
    let cautions = told(&Cautions::of(vehicle).of_reading());
    NextReadings { format: crate::FORMAT, next, problems, questions, cautions }
}

/// Why the engine has to run for a reading, in words.
#[must_use]
pub fn why_running(why: Why) -> String {
    match why {
        Why::OnlyThen => "what is complained of shows only while the engine runs".to_owned(),
        Why::Again => "the reading in doubt was taken while the engine ran".to_owned(),
        Why::TellsMore(share) if share < 0.05 => {
            "without the engine running nothing in reach tells this".to_owned()
        }
        Why::TellsMore(share) => format!(
            "without the engine running the best reading tells {:.0} % of what this one does",
            100.0 * share
        ),
    }
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
            towards: arrow(vehicle, own, conductor),
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
        why_running: own.why.map(why_running),
    }
}

/// The point towards which a clamp's arrow is to point: the end of the conductor unless told otherwise.
#[must_use]
pub fn arrow(vehicle: &Vehicle, own: &Proposal, conductor: model::ConductorId) -> String {
    let end = own.towards.unwrap_or(vehicle.conductor_ends(conductor).1);
    vehicle.point(end).id.clone()
}
