//! The JSON of which joint is bad, and what the readings are worth.

use diagnosis::{Crowded, Diagnosis, Observation, beside};
use model::{JointId, Vehicle};
use readings::{Kept, Worthless};

use super::Found;
use crate::cautions::{self, CautionTold, Cautions};
use crate::earlier::EarlierReading;
use crate::holds::NotCleared;
use crate::measured_at::MeasuredAt;
use crate::problem::Problem;
use crate::proof::ProvenReading;
use crate::question::ReadingQuestion;
use crate::separating::Separating;
use crate::shape::each;
use crate::sides::SideChance;
use crate::suspect::{SuspectName, suspect_name};
use crate::{FORMAT, Named, holds, measured_at, unsettled};

mod account;
mod agreement;
mod beliefs;
mod taught;

pub use account::{AccountedFault, RivalJoint, SpeaksAgainst, TellingReading};
pub use agreement::{AtOdds, ChiSquareTest, FileAgreement};
pub use beliefs::{Believed, ByPart};
pub use taught::TaughtLimit;

shape! {
    /// The answer of `diagnose`.
    pub struct Diagnosed from pub(super) (found: &Found<'_>) {
        let Found { vehicle, taken, seen, diagnosis, crowded, .. } = found;
        let readings = &taken.readings;
        let sets = diagnosis.sets.iter().filter(|set| set.len() > 1);
        /// The number of the contract.
        pub format: u32 = FORMAT,
        /// Probability that nothing is wrong.
        pub nothing_bad: f64 = diagnosis.nothing_bad,
        /// On which side the fault lies.
        pub sides: Vec<SideChance> = each(found.vehicle, &found.sides.sides, SideChance::of),
        /// Probability of a fault outside the circuit complained of.
        pub elsewhere: f64 = found.sides.elsewhere.0,
        /// The most probable first.
        pub suspects: Vec<Suspect> = each(found.vehicle, &diagnosis.suspects, Suspect::of),
        /// Whether readings and file fit together at all.
        pub agreement: FileAgreement = FileAgreement::of(vehicle, diagnosis, seen),
        /// Lists of joints that these readings cannot tell apart.
        pub inseparable: Vec<Vec<String>> = sets
            .map(|set| set.iter().map(|id| vehicle.joint(*id).id.clone()).collect())
            .collect(),
        /// Why the faults of the best explanation are believed.
        pub account: Vec<AccountedFault> = each(found.vehicle, &found.findings, AccountedFault::of),
        /// Readings that are probably wrong.
        pub take_again: Vec<TakeAgain> = diagnosis.take_again.iter().map(TakeAgain::of).collect(),
        /// What each reading is worth.
        pub readings: Vec<WeighedReading> = weighed(vehicle, seen, diagnosis),
        /// Readings that prove nothing.
        pub worthless: Vec<WorthlessReading> =
            readings.worthless.iter().map(WorthlessReading::of).collect(),
        /// What was seen, felt or tried without a meter, as it was understood.
        pub seen: Vec<SeenEntry> = each(found.vehicle, &readings.seen, SeenEntry::of),
        /// Entries kept as written.
        pub kept: Vec<KeptEntry> = readings.kept.iter().map(KeptEntry::of).collect(),
        /// What has to be asked about readings before they accuse anybody.
        pub questions: Vec<ReadingQuestion> =
            each(found.vehicle, &found.questions, ReadingQuestion::of),
        /// States that have no operating point; what is said of them rests on the last attempt.
        pub unsettled: Vec<String> = unsettled::ids(vehicle, &found.unsettled),
        /// Problems of the readings.
        pub problems: Vec<Problem> = taken.problems.clone(),
        /// What is believed of each joint.
        #[schema(value_type = std::collections::BTreeMap<String, JointBelief>)]
        pub joints: Named<JointBelief> = joints(vehicle, diagnosis),
        /// What is believed of everything else.
        pub beliefs: ByPart = ByPart::of(vehicle, &found.beliefs),
        /// What keeps this vehicle from being called cleared, whatever the probabilities; empty when nothing does.
        pub not_cleared: Vec<NotCleared> =
            found.holds.iter().map(|own| holds::of(vehicle, seen, *own)).collect(),
        /// Readings from before work that was done since: kept, and not weighed.
        pub before_work: Vec<EarlierReading> = taken.earlier.left_out.clone(),
        /// The same readings before the work and after it.
        pub proof: Vec<ProvenReading> = found.proof.clone(),
        /// Readings too many to be weighed one by one.
        pub crowded: CrowdedReadings = CrowdedReadings::of(crowded),
        /// The readings that would tell joints apart which look alike so far.
        pub separating: Vec<Separating> = each(found.vehicle, &found.apart, Separating::of),
        /// What concerns whoever opens the likelier suspects.
        pub cautions: Vec<CautionTold> =
            cautions::told(&Cautions::of(vehicle).of_suspects(&diagnosis.suspects)),
    }

    /// Readings too many to be weighed one by one.
    #[derive(Copy, Eq)]
    pub struct CrowdedReadings from (crowded: &Crowded) {
        /// How many count in the mean of an earlier one of the same thing in the same state.
        pub together: usize = crowded.together,
        /// How many are not weighed at all.
        pub left_out: usize = crowded.left_out,
    }

    /// A suspect.
    pub struct Suspect from (vehicle: &Vehicle, own: &diagnosis::Suspect) {
        /// Who.
        #[serde(flatten)]
        pub who: SuspectName = suspect_name(vehicle, own.kind),
        /// Probability that it is at fault.
        pub probability: f64 = own.probability,
        /// Its most probable resistance.
        pub ohms: Option<f64> = own.ohms.map(|ohms| ohms.0),
    }

    /// A reading that is probably wrong.
    pub struct TakeAgain from pub(crate) (own: &(u32, f64)) {
        /// Its number.
        pub number: u32 = own.0,
        /// Probability that it is wrong.
        pub probability: f64 = own.1,
    }

    /// A reading beside what was expected, in volts, or in amperes for a clamp.
    pub struct WeighedReading from (
        vehicle: &Vehicle, diagnosis: &Diagnosis, at: usize, own: &Observation,
    ) {
        /// Its number.
        pub number: u32 = own.number,
        /// Its state.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// What was measured.
        pub measured: MeasuredAt = measured_at::measured(vehicle, own.measured).0,
        /// Its value.
        pub value: f64 = own.value,
        /// Its standard uncertainty.
        pub uncertainty: f64 = own.sigma,
        /// What a sound vehicle would show.
        pub sound: f64 = diagnosis.expected[at].0,
        /// What the best explanation would show.
        pub explained: f64 = diagnosis.expected[at].1,
        /// The misfit, as a multiple of the uncertainty.
        pub residual: Option<f64> = diagnosis.residuals.get(at).copied(),
        /// The taught limit of this test; null for what is no taught test.
        pub taught_limit: Option<TaughtLimit> = beside(vehicle, own).map(TaughtLimit::of),
    }

    /// A reading that proves nothing.
    #[derive(Eq)]
    pub struct WorthlessReading from (own: &Worthless) {
        let Worthless { number, why, instead, .. } = own.clone();
        /// Its number.
        pub number: u32 = number,
        /// Why.
        pub why: String = why,
        /// What to do instead.
        pub instead: String = instead,
    }

    /// Something seen, felt or tried.
    pub struct SeenEntry from (vehicle: &Vehicle, own: &model::Seen) {
        /// Its number.
        pub number: u32 = own.number,
        /// As it was told.
        pub text: String = own.text.clone(),
        /// As it was understood, in words.
        pub words: String = crate::sights::understood(vehicle, std::slice::from_ref(own)),
    }

    /// An entry kept as written.
    #[derive(Eq)]
    pub struct KeptEntry from (own: &Kept) {
        /// Its number.
        pub number: u32 = own.number,
        /// As written.
        pub text: String = own.text.clone(),
    }

    /// What is believed of one joint.
    pub struct JointBelief from (own: &diagnosis::JointBelief) {
        /// As likely more as less.
        pub median_ohms: f64 = own.median.0,
        /// The 5 % point.
        pub low_ohms: f64 = own.low.0,
        /// The 95 % point.
        pub high_ohms: f64 = own.high.0,
        /// Probability that it is bad.
        pub bad: f64 = own.bad,
    }
}

fn joints(vehicle: &Vehicle, diagnosis: &Diagnosis) -> Named<JointBelief> {
    let joints = diagnosis.joints.iter().enumerate();
    joints
        .map(|(at, own)| {
            let belief = JointBelief::of(own);
            (vehicle.joint(JointId::at(at)).id.clone(), belief)
        })
        .collect()
}

fn weighed(vehicle: &Vehicle, seen: &[Observation], diagnosis: &Diagnosis) -> Vec<WeighedReading> {
    let seen = seen.iter().enumerate();
    seen.map(|(at, own)| WeighedReading::of(vehicle, diagnosis, at, own)).collect()
}
