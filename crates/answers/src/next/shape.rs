//! The JSON of what to measure next.

use diagnosis::{Proposal, Why};
use model::{Measured, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use super::found::AtHand;
use crate::cautions::{CautionTold, Cautions, told};
use crate::problem::Problem;
use crate::question::ReadingQuestion;
use crate::shape::each;
use crate::told::measuring::arrow;
use crate::unsettled;

shape! {
    /// The answer of `next`.
    pub struct NextReadings from (found: &Found<'_>, own: &AtHand, proposed: Vec<ProposedReading>, cautions: Vec<CautionTold>) {
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The best first.
        pub next: Vec<ProposedReading> = proposed,
        /// States that have no operating point; what is said of them rests on the last attempt.
        pub unsettled: Vec<String> = unsettled::ids(&found.vehicle, &found.unsettled),
        /// Problems of the readings.
        pub problems: Vec<Problem> = found.taken.problems.clone(),
        /// What has to be asked about the readings.
        pub questions: Vec<ReadingQuestion> =
            each(found.vehicle.as_ref(), &own.questions, ReadingQuestion::of),
        /// Cautions that concern taking them, besides the usual ones.
        pub cautions: Vec<CautionTold> = cautions,
    }
}

/// The next readings, or a first plan with `plan`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum NextOrPlan {
    /// The next readings.
    Next(NextReadings),
    /// A first plan.
    Plan(ReadingPlan),
}

/// The answer of `next` for a vehicle that nobody has measured.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ReadingPlan {
    /// The number of the contract.
    pub format: u32,
    /// A first plan of readings.
    pub plan: Vec<ProposedReading>,
    /// States that have no operating point; what is said of them rests on the last attempt.
    pub unsettled: Vec<String>,
    /// Cautions that concern taking them, besides the usual ones.
    pub cautions: Vec<CautionTold>,
}

shape! {
    /// A reading worth taking.
    pub struct ProposedReading from pub (vehicle: &Vehicle, own: &Proposal) {
        let reading = match own.measured {
            Measured::Volts { high, low } => Some(ReadingPlace::Volts {
                from: vehicle.probe_name(high),
                to: vehicle.probe_name(low),
                unit: OfVolts::V,
            }),
            Measured::Amps { conductor } => Some(ReadingPlace::Amps {
                through: vehicle.conductor(conductor).id.clone(),
                towards: arrow(vehicle, own, conductor),
                unit: OfAmperes::A,
            }),
            _ => None,
        };
        /// The operating state.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// Where; null for what is no meter reading.
        pub reading: Option<ReadingPlace> = reading,
        /// What a sound vehicle would show, in that unit; never below zero, since the leads or the clamp are
        /// put so.
        pub sound: f64 = own.sound,
        /// The work.
        pub seconds: f64 = own.time.0,
        /// The expected loss of doubt, in natural units.
        pub information: f64 = own.gain,
        /// Why the engine has to run for it; null where it need not.
        pub why_running: Option<String> = own.why.map(why_running),
    }
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

impl NextOrPlan {
    pub(super) fn of(found: &Found<'_>) -> Self {
        let vehicle: &Vehicle = &found.vehicle;
        let proposed = each(vehicle, &found.proposals, ProposedReading::of);
        let cautions = told(&Cautions::of(vehicle).of_reading());
        match &found.weighed {
            Some(own) => Self::Next(NextReadings::of(found, own, proposed, cautions)),
            None => Self::Plan(ReadingPlan {
                format: crate::FORMAT,
                plan: proposed,
                unsettled: unsettled::ids(vehicle, &found.unsettled),
                cautions,
            }),
        }
    }
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
