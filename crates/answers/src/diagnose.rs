//! Which joint is bad, and what the readings are worth.

use diagnosis::{Diagnosis, Observation, Suspect as Found, SuspectKind};
use file::readings::Readings;
use model::{JointId, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

use crate::Named;
use crate::problem::Problem;

/// The answer of `diagnose`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Diagnosed {
    /// The number of the contract.
    pub format: u32,
    /// Probability that nothing is wrong.
    pub nothing_bad: f64,
    /// The most probable first.
    pub suspects: Vec<Suspect>,
    /// Lists of joints that these readings cannot tell apart.
    pub inseparable: Vec<Vec<String>>,
    /// Readings that are probably wrong.
    pub take_again: Vec<TakeAgain>,
    /// What each reading is worth.
    pub readings: Vec<WeighedReading>,
    /// Readings that prove nothing.
    pub worthless: Vec<WorthlessReading>,
    /// Entries kept as written.
    pub kept: Vec<KeptEntry>,
    /// Problems of the readings.
    pub problems: Vec<Problem>,
    /// What is believed of each joint.
    #[schema(value_type = std::collections::BTreeMap<String, JointBelief>)]
    pub joints: Named<JointBelief>,
}

/// A suspect.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Suspect {
    /// `joint`, `conductor`, `open`, `inline`, `load-drags`, `load-open`, `battery-low`,
    /// `battery-worn` or `extra-path`.
    pub kind: &'static str,
    /// Its name; missing for an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// One end of an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// The other end of an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
    /// Probability that it is at fault.
    pub probability: f64,
    /// Its most probable resistance.
    pub ohms: Option<f64>,
}

/// A reading that is probably wrong.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct TakeAgain {
    /// Its number.
    pub number: u32,
    /// Probability that it is wrong.
    pub probability: f64,
}

/// A reading beside what was expected, in volts, or in amperes for a clamp.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct WeighedReading {
    /// Its number.
    pub number: u32,
    /// Its state.
    pub state: String,
    /// Its value.
    pub value: f64,
    /// Its standard uncertainty.
    pub uncertainty: f64,
    /// What a sound vehicle would show.
    pub sound: f64,
    /// What the best explanation would show.
    pub explained: f64,
    /// The misfit, as a multiple of the uncertainty.
    pub residual: Option<f64>,
}

/// A reading that proves nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct WorthlessReading {
    /// Its number.
    pub number: u32,
    /// Why.
    pub why: String,
    /// What to do instead.
    pub instead: String,
}

/// An entry kept as written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct KeptEntry {
    /// Its number.
    pub number: u32,
    /// As written.
    pub text: String,
}

/// What is believed of one joint.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct JointBelief {
    /// As likely more as less.
    pub median_ohms: f64,
    /// The 5 % point.
    pub low_ohms: f64,
    /// The 95 % point.
    pub high_ohms: f64,
    /// Probability that it is bad.
    pub bad: f64,
}

/// The answer for readings that were weighed.
#[must_use]
pub fn of(
    vehicle: &Vehicle,
    readings: &Readings,
    problems: Vec<Problem>,
    seen: &[Observation],
    diagnosis: &Diagnosis,
) -> Diagnosed {
    let again = diagnosis.take_again.iter();
    let sets = diagnosis.sets.iter().filter(|set| set.len() > 1);
    let worthless = readings.worthless.iter();
    let kept = readings.kept.iter();
    let joints = diagnosis.joints.iter().enumerate();
    Diagnosed {
        format: crate::FORMAT,
        nothing_bad: diagnosis.nothing_bad,
        suspects: diagnosis.suspects.iter().map(|own| suspect(vehicle, own)).collect(),
        inseparable: sets
            .map(|set| set.iter().map(|id| vehicle.joint(*id).id.clone()).collect())
            .collect(),
        take_again: again
            .map(|(number, probability)| TakeAgain { number: *number, probability: *probability })
            .collect(),
        readings: weighed(vehicle, seen, diagnosis),
        worthless: worthless
            .map(|own| WorthlessReading {
                number: own.number,
                why: own.why.clone(),
                instead: own.instead.clone(),
            })
            .collect(),
        kept: kept.map(|own| KeptEntry { number: own.number, text: own.text.clone() }).collect(),
        problems,
        joints: joints
            .map(|(at, own)| {
                let belief = JointBelief {
                    median_ohms: own.median.0,
                    low_ohms: own.low.0,
                    high_ohms: own.high.0,
                    bad: own.bad,
                };
                (vehicle.joint(JointId::at(at)).id.clone(), belief)
            })
            .collect(),
    }
}

fn weighed(vehicle: &Vehicle, seen: &[Observation], diagnosis: &Diagnosis) -> Vec<WeighedReading> {
    let seen = seen.iter().enumerate();
    seen.map(|(at, own)| WeighedReading {
        number: own.number,
        state: vehicle.state(own.state).id.clone(),
        value: own.value,
        uncertainty: own.sigma,
        sound: diagnosis.expected[at].0,
        explained: diagnosis.expected[at].1,
        residual: diagnosis.residuals.get(at).copied(),
    })
    .collect()
}

fn suspect(vehicle: &Vehicle, own: &Found) -> Suspect {
    let (kind, id) = match own.kind {
        SuspectKind::Joint(id) => ("joint", &vehicle.joint(id).id),
        SuspectKind::Conductor(id) => ("conductor", &vehicle.conductor(id).id),
        SuspectKind::Open(id) => ("open", &vehicle.conductor(id).id),
        SuspectKind::Inline(id) => ("inline", &vehicle.inline(id).id),
        SuspectKind::LoadDrags(id) => ("load-drags", &vehicle.load(id).id),
        SuspectKind::LoadOpen(id) => ("load-open", &vehicle.load(id).id),
        SuspectKind::BatteryLow(id) => ("battery-low", &vehicle.battery(id).id),
        SuspectKind::BatteryWorn(id) => ("battery-worn", &vehicle.battery(id).id),
        SuspectKind::ExtraPath { from, to } => {
            return Suspect {
                kind: "extra-path",
                id: None,
                from: Some(vehicle.point(from).id.clone()),
                to: Some(vehicle.point(to).id.clone()),
                probability: own.probability,
                ohms: own.ohms.map(|ohms| ohms.0),
            };
        }
    };
    Suspect {
        kind,
        id: Some(id.clone()),
        from: None,
        to: None,
        probability: own.probability,
        ohms: own.ohms.map(|ohms| ohms.0),
    }
}
