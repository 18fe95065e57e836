//! The JSON of which joint is bad, and what the readings are worth.

use diagnosis::{Diagnosis, Observation};
use file::readings::{Kept, Worthless};
use model::{JointId, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::earlier::EarlierReading;
use crate::holds::{self, NotCleared};
use crate::measured_at::{self, MeasuredAt};
use crate::problem::Problem;
use crate::proof::ProvenReading;
use crate::question::{self, ReadingQuestion};
use crate::separating::{self, Separating};
use crate::sides::{self, SideChance};
use crate::suspect::{SuspectName, suspect_name};
use crate::{FORMAT, Named};

mod account;
mod agreement;
mod beliefs;
mod taught;

pub use account::{AccountedFault, RivalJoint, SpeaksAgainst, TellingReading};
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
    /// What was seen, felt or tried without a meter, as it was understood.
    pub seen: Vec<SeenEntry>,
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

/// Something seen, felt or tried.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct SeenEntry {
    /// Its number.
    pub number: u32,
    /// As it was told.
    pub text: String,
    /// As it was understood, in words.
    pub words: String,
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
        account: found.findings.iter().map(|own| account::of(vehicle, own)).collect(),
        take_again: again
            .map(|(number, probability)| TakeAgain { number: *number, probability: *probability })
            .collect(),
        readings: weighed(vehicle, seen, diagnosis),
        worthless: readings.worthless.iter().map(worthless).collect(),
        seen: readings.seen.iter().map(|own| entry(vehicle, own)).collect(),
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

fn entry(vehicle: &Vehicle, own: &model::Seen) -> SeenEntry {
    let words = crate::sights::understood(vehicle, std::slice::from_ref(own));
    SeenEntry { number: own.number, text: own.text.clone(), words }
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
        measured: measured_at::measured(vehicle, own.measured).0,
        value: own.value,
        uncertainty: own.sigma,
        sound: diagnosis.expected[at].0,
        explained: diagnosis.expected[at].1,
        residual: diagnosis.residuals.get(at).copied(),
        taught_limit: taught::of(vehicle, own),
    })
    .collect()
}

fn suspect(vehicle: &Vehicle, own: &diagnosis::Suspect) -> Suspect {
    Suspect {
        who: suspect_name(vehicle, own.kind),
        probability: own.probability,
        ohms: own.ohms.map(|ohms| ohms.0),
    }
}
