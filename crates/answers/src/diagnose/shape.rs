//! The JSON of which joint is bad, and what the readings are worth.

use diagnosis::{Against, Diagnosis, Finding, Observation, SuspectKind};
use file::readings::{Kept, Worthless};
use model::{JointId, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::earlier::EarlierReading;
use crate::holds::{self, NotCleared};
use crate::meaning::{self, MeasuredAt};
use crate::problem::Problem;
use crate::proof::ProvenReading;
use crate::question::{self, ReadingQuestion};
use crate::separating::{self, Separating};
use crate::sides::{self, SideChance};
use crate::{FORMAT, Named};

mod agreement;
mod beliefs;
mod taught;

pub use agreement::{AtOdds, ChiSquareTest, FileAgreement};
pub use beliefs::{Believed, ByPart};
pub use taught::TaughtLimit;

/// The answer of `diagnose`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Diagnosed {
    /// The number of the contract.
    pub format: u32,
    /// Probability that nothing is wrong.
    pub nothing_bad: f64,
    /// On which side the fault lies.
    pub sides: Vec<SideChance>,
    /// Probability of a fault outside the circuit complained of.
    pub elsewhere: f64,
    /// The most probable first.
    pub suspects: Vec<Suspect>,
    /// Whether readings and file fit together at all.
    pub agreement: FileAgreement,
    /// Lists of joints that these readings cannot tell apart.
    pub inseparable: Vec<Vec<String>>,
    /// Why the faults of the best explanation are believed.
    pub account: Vec<AccountedFault>,
    /// Readings that are probably wrong.
    pub take_again: Vec<TakeAgain>,
    /// What each reading is worth.
    pub readings: Vec<WeighedReading>,
    /// Readings that prove nothing.
    pub worthless: Vec<WorthlessReading>,
    /// Entries kept as written.
    pub kept: Vec<KeptEntry>,
    /// What has to be asked about readings before they accuse anybody.
    pub questions: Vec<ReadingQuestion>,
    /// Problems of the readings.
    pub problems: Vec<Problem>,
    /// What is believed of each joint.
    #[schema(value_type = std::collections::BTreeMap<String, JointBelief>)]
    pub joints: Named<JointBelief>,
    /// What is believed of everything else.
    pub beliefs: ByPart,
    /// What keeps this vehicle from being called cleared, whatever the probabilities; empty when nothing does.
    pub not_cleared: Vec<NotCleared>,
    /// Readings from before work that was done since: kept, and not weighed.
    pub before_work: Vec<EarlierReading>,
    /// The same readings before the work and after it.
    pub proof: Vec<ProvenReading>,
    /// Readings too many to be weighed one by one.
    pub crowded: CrowdedReadings,
    /// The readings that would tell joints apart which look alike so far.
    pub separating: Vec<Separating>,
}

/// Readings too many to be weighed one by one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
pub struct CrowdedReadings {
    /// How many count in the mean of an earlier one of the same thing in the same state.
    pub together: usize,
    /// How many are not weighed at all.
    pub left_out: usize,
}

/// What may be at fault.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct SuspectName {
    /// `joint`, `conductor`, `open`, `inline`, `load-drags`, `load-open`, `battery-low`,
    /// `battery-worn`, `source-low` or `extra-path`.
    pub kind: &'static str,
    /// Its name; missing for an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub id: Option<String>,
    /// One end of an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub from: Option<String>,
    /// The other end of an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub to: Option<String>,
}

/// A suspect.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Suspect {
    /// Who.
    #[serde(flatten)]
    pub who: SuspectName,
    /// Probability that it is at fault.
    pub probability: f64,
    /// Its most probable resistance.
    pub ohms: Option<f64>,
}

/// Why one fault is believed.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct AccountedFault {
    /// The fault.
    pub suspect: SuspectName,
    /// Its probability.
    pub probability: f64,
    /// Its resistance.
    pub ohms: Option<f64>,
    /// The state in which the largest fitted current flows through it.
    pub state: Option<String>,
    /// That current.
    pub amps: Option<f64>,
    /// The reading over the stretch in which it lies.
    pub telling: Option<TellingReading>,
    /// The other joints of that stretch.
    pub rivals: Vec<RivalJoint>,
    /// Readings that would be others if this fault alone were put right.
    pub without: Vec<SpeaksAgainst>,
}

/// A voltage over a stretch of metal, taken apart.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct TellingReading {
    /// The reading's number.
    pub number: u32,
    /// Its state.
    pub state: String,
    /// What it shows.
    pub shown_volts: f64,
    /// What the stretch should lose at the currents that flow in it.
    pub expected_volts: f64,
    /// The current through the fault.
    pub amps: f64,
    /// The joints of the stretch.
    pub joints: Vec<String>,
}

/// Another joint of the same stretch.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RivalJoint {
    /// Its name.
    pub id: String,
    /// Readings that speak against it.
    pub against: Vec<SpeaksAgainst>,
}

/// A reading that speaks against something.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SpeaksAgainst {
    /// Its number.
    pub number: u32,
    /// What it shows, in volts or amperes.
    pub shown: f64,
    /// What it would show then.
    pub would: f64,
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
    /// What was measured.
    pub measured: MeasuredAt,
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
    /// The taught limit of this test; null for what is no taught test.
    pub taught_limit: Option<TaughtLimit>,
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

pub(super) fn of(found: &Found<'_>) -> Diagnosed {
    let Found { vehicle, taken, seen, diagnosis, crowded, .. } = found;
    let readings = &taken.readings;
    let again = diagnosis.take_again.iter();
    let sets = diagnosis.sets.iter().filter(|set| set.len() > 1);
    let questions = found.questions.iter();
    let holds = found.holds.iter();
    Diagnosed {
        format: FORMAT,
        nothing_bad: diagnosis.nothing_bad,
        sides: found.sides.sides.iter().map(|own| sides::of(vehicle, own)).collect(),
        elsewhere: found.sides.elsewhere.0,
        suspects: diagnosis.suspects.iter().map(|own| suspect(vehicle, own)).collect(),
        agreement: agreement::of(vehicle, diagnosis, seen),
        inseparable: sets
            .map(|set| set.iter().map(|id| vehicle.joint(*id).id.clone()).collect())
            .collect(),
        account: found.findings.iter().map(|own| accounted(vehicle, own)).collect(),
        take_again: again
            .map(|(number, probability)| TakeAgain { number: *number, probability: *probability })
            .collect(),
        readings: weighed(vehicle, seen, diagnosis),
        worthless: readings.worthless.iter().map(worthless).collect(),
        kept: readings.kept.iter().map(kept).collect(),
        questions: questions.map(|own| question::of(vehicle, own)).collect(),
        problems: taken.problems.clone(),
        joints: joints(vehicle, diagnosis),
        beliefs: beliefs::of(vehicle, &found.beliefs),
        not_cleared: holds.map(|own| holds::of(vehicle, seen, *own)).collect(),
        before_work: taken.earlier.left_out.clone(),
        proof: found.proof.clone(),
        crowded: CrowdedReadings { together: crowded.together, left_out: crowded.left_out },
        separating: found.apart.iter().map(|own| separating::of(vehicle, own)).collect(),
    }
}

fn worthless(own: &Worthless) -> WorthlessReading {
    let Worthless { number, why, instead, .. } = own.clone();
    WorthlessReading { number, why, instead }
}

fn kept(own: &Kept) -> KeptEntry {
    KeptEntry { number: own.number, text: own.text.clone() }
}

fn joints(vehicle: &Vehicle, diagnosis: &Diagnosis) -> Named<JointBelief> {
    let joints = diagnosis.joints.iter().enumerate();
    joints
        .map(|(at, own)| {
            let belief = JointBelief {
                median_ohms: own.median.0,
                low_ohms: own.low.0,
                high_ohms: own.high.0,
                bad: own.bad,
            };
            (vehicle.joint(JointId::at(at)).id.clone(), belief)
        })
        .collect()
}

fn weighed(vehicle: &Vehicle, seen: &[Observation], diagnosis: &Diagnosis) -> Vec<WeighedReading> {
    let seen = seen.iter().enumerate();
    seen.map(|(at, own)| WeighedReading {
        number: own.number,
        state: vehicle.state(own.state).id.clone(),
        measured: meaning::measured(vehicle, own.measured).0,
        value: own.value,
        uncertainty: own.sigma,
        sound: diagnosis.expected[at].0,
        explained: diagnosis.expected[at].1,
        residual: diagnosis.residuals.get(at).copied(),
        taught_limit: taught::of(vehicle, own),
    })
    .collect()
}

/// A suspect by its kind and name.
#[must_use]
pub fn suspect_name(vehicle: &Vehicle, kind: SuspectKind) -> SuspectName {
    let (kind, id) = match kind {
        SuspectKind::Joint(id) => ("joint", &vehicle.joint(id).id),
        SuspectKind::Conductor(id) => ("conductor", &vehicle.conductor(id).id),
        SuspectKind::Open(id) => ("open", &vehicle.conductor(id).id),
        SuspectKind::Inline(id) => ("inline", &vehicle.inline(id).id),
        SuspectKind::LoadDrags(id) => ("load-drags", &vehicle.load(id).id),
        SuspectKind::LoadOpen(id) => ("load-open", &vehicle.load(id).id),
        SuspectKind::BatteryLow(id) => ("battery-low", &vehicle.battery(id).id),
        SuspectKind::BatteryWorn(id) => ("battery-worn", &vehicle.battery(id).id),
        SuspectKind::SourceLow(id) => ("source-low", &vehicle.regulated_source(id).id),
        SuspectKind::ExtraPath { from, to } => {
            let [from, to] = [from, to].map(|end| Some(vehicle.point(end).id.clone()));
            return SuspectName { kind: "extra-path", id: None, from, to };
        }
    };
    SuspectName { kind, id: Some(id.clone()), from: None, to: None }
}

fn suspect(vehicle: &Vehicle, own: &diagnosis::Suspect) -> Suspect {
    Suspect {
        who: suspect_name(vehicle, own.kind),
        probability: own.probability,
        ohms: own.ohms.map(|ohms| ohms.0),
    }
}

fn accounted(vehicle: &Vehicle, own: &Finding) -> AccountedFault {
    let against = |list: &[Against]| -> Vec<SpeaksAgainst> {
        let list = list.iter();
        list.map(|own| SpeaksAgainst { number: own.number, shown: own.shown, would: own.would })
            .collect()
    };
    let telling = own.telling.as_ref().map(|telling| TellingReading {
        number: telling.number,
        state: vehicle.state(telling.state).id.clone(),
        shown_volts: telling.shown.0,
        expected_volts: telling.expected.0,
        amps: telling.amps.0,
        joints: telling.joints.iter().map(|id| vehicle.joint(*id).id.clone()).collect(),
    });
    let rivals = own
        .rivals
        .iter()
        .map(|(id, list)| RivalJoint { id: vehicle.joint(*id).id.clone(), against: against(list) });
    AccountedFault {
        suspect: suspect_name(vehicle, own.suspect.kind),
        probability: own.suspect.probability,
        ohms: own.suspect.ohms.map(|ohms| ohms.0),
        state: own.flows.map(|(state, _)| vehicle.state(state).id.clone()),
        amps: own.flows.map(|(_, amps)| amps.0),
        telling,
        rivals: rivals.collect(),
        without: against(&own.without),
    }
}
