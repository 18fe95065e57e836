//! The JSON of failures.

mod aftermath;
mod finding;
mod harmed;

use ::failures::{Case, Fault, Finding, HiddenFuse, HiddenPath, PairCase, Pairs, Ranked, Remedy};
use model::{StateId, Vehicle};
use serde::Serialize;
use units::{Amperes, Ratio};
use utoipa::ToSchema;

use super::{Found, Surveyed};
use crate::shape::each;

pub use aftermath::{AfterState, CarriedMore, FailureAftermath, NoWayHome, ToInspect};
pub use finding::{
    ContactHarm, FailedPart, FailureFinding, PartEndurance, ProtectionVerdict, RemedyChange,
    findings,
};

pub use harmed::HarmedPiece;

/// The answer of `failures`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum Failures {
    /// What each failure does.
    Survey(FailureSurvey),
    /// What one that has happened did, with `after`.
    After(FailureAftermath),
}

shape! {
    /// What each failure does.
    pub struct FailureSurvey from (found: &Surveyed<'_>) {
        let vehicle = found.vehicle;
        let survey = &found.survey;
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// False when it was stopped before the end.
        pub complete: bool = found.complete(),
        /// Failures times states.
        pub tried: usize = survey.tried,
        /// How many of them were solved fully.
        pub solved: usize = survey.solved,
        /// States that have no operating point even with nothing failed.
        pub without_point: Vec<String> =
            found.unsettled.iter().map(|state| vehicle.state(*state).id.clone()).collect(),
        /// What is wrong before anything fails.
        pub already: Vec<AlreadyWrong> = each(vehicle, &found.already, AlreadyWrong::of),
        /// The largest risk first.
        pub failures: Vec<RankedFailure> = each(found, &survey.ranked, RankedFailure::of),
        /// Conductors that burn when something elsewhere fails, the soonest first.
        pub hidden_fuses: Vec<HiddenFuseFound> = each(found, &found.hidden, HiddenFuseFound::of),
        /// Incidental paths that take over the current of the worst failures.
        pub paths: Vec<PathsOfFailure> = each(vehicle, &found.paths, PathsOfFailure::of),
        /// The cheapest change that takes the harm away, for the worst failures.
        pub remedies: Vec<RemedyOfFailure> = each(vehicle, &found.remedies, RemedyOfFailure::of),
        /// Two ways open at once; null when nobody asked.
        pub pairs: Option<PairsFound> =
            found.pairs.as_ref().map(|own| PairsFound::of(vehicle, own)),
    }

    /// What is wrong in a state before anything fails.
    pub struct AlreadyWrong from (vehicle: &Vehicle, own: &(StateId, Vec<Finding>)) {
        let (state, found) = own;
        /// The state.
        pub state: String = vehicle.state(*state).id.clone(),
        /// What is wrong.
        pub findings: Vec<FailureFinding> = findings(vehicle, found),
    }

    /// A failure with what it does.
    pub struct RankedFailure from (found: &Surveyed<'_>, own: &Ranked) {
        let vehicle = found.vehicle;
        let cases = own.cases.iter().map(|at| &found.survey.cases[*at]);
        /// What fails.
        pub fault: FailedPart = FailedPart::of(vehicle, own.fault),
        /// How likely, from the condition of what fails.
        pub chance: f64 = own.chance.0,
        /// Its harm in the worst state.
        pub harm: f64 = own.harm,
        /// Harm times chance.
        pub risk: f64 = own.risk,
        /// One for each state in which it does anything.
        pub cases: Vec<FailureCase> = cases
            .map(|case| FailureCase::of(vehicle, case))
            .collect(),
    }

    /// What a failure does in one state.
    pub struct FailureCase from (vehicle: &Vehicle, case: &Case) {
        /// The state.
        pub state: String = vehicle.state(case.state).id.clone(),
        /// How much harm it is.
        pub harm: f64 = case.harm,
        /// What goes wrong.
        pub findings: Vec<FailureFinding> = findings(vehicle, &case.findings),
        /// What of it is damaged, each piece of the drawing once.
        pub harmed: Vec<HarmedPiece> = harmed::of(vehicle, &case.findings),
    }

    /// A conductor that burns when something elsewhere fails.
    pub struct HiddenFuseFound from (found: &Surveyed<'_>, own: &HiddenFuse) {
        let vehicle = found.vehicle;
        let protection = found.protection(own.fault, own.state, own.conductor);
        /// The conductor.
        pub conductor: String = vehicle.conductor(own.conductor).id.clone(),
        /// The failure after which it burns soonest.
        pub fault: FailedPart = FailedPart::of(vehicle, own.fault),
        /// The state in which it does.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// What the current does to it.
        pub endurance: PartEndurance = PartEndurance::of(&own.endurance),
        /// How many failures burn it.
        pub failures_count: usize = own.faults,
        /// Whether a fuse opens first.
        pub protection: Option<ProtectionVerdict> =
            protection.map(|own| ProtectionVerdict::of(vehicle, own)),
        /// What becomes of it.
        pub harmed: HarmedPiece = harmed::burning(vehicle, own),
    }

    /// Where the current goes when something fails.
    pub struct PathsOfFailure from (vehicle: &Vehicle, own: &(Fault, Vec<HiddenPath>)) {
        let (own, paths) = own;
        /// What fails.
        pub fault: FailedPart = FailedPart::of(vehicle, *own),
        /// The incidental paths.
        pub paths: Vec<PathTaken> = paths.iter().map(|own| PathTaken::of(vehicle, own)).collect(),
    }

    /// What an incidental path carries after a failure.
    pub struct PathTaken from (vehicle: &Vehicle, own: &HiddenPath) {
        let current = |flow: Option<(Amperes, Ratio)>| {
            flow.map(|(amps, share)| PathCurrent::of(amps, share))
        };
        /// Its name.
        pub name: String = vehicle.incidental(own.path).id.clone(),
        /// While the engine is cranked.
        pub cranking: Option<PathCurrent> = current(own.cranking),
        /// While the battery is charged.
        pub charging: Option<PathCurrent> = current(own.charging),
        /// Current from which damage is to be feared.
        pub damage_amps: Option<f64> = own.damage.map(|amps| amps.0),
    }

    /// A current, and its share of all that comes home.
    pub struct PathCurrent from (amps: Amperes, share: Ratio) {
        /// The current.
        pub amps: f64 = amps.0,
        /// Its share.
        pub share: f64 = share.0,
    }

    /// What would take the harm of a failure away.
    pub struct RemedyOfFailure from (vehicle: &Vehicle, own: &(Fault, StateId, Option<Remedy>)) {
        let (own, state, change) = own;
        /// What fails.
        pub fault: FailedPart = FailedPart::of(vehicle, *own),
        /// In which state.
        pub state: String = vehicle.state(*state).id.clone(),
        /// The change; null when none was found.
        pub remedy: Option<RemedyFound> =
            change.as_ref().map(|change| RemedyFound::of(vehicle, change)),
    }

    /// A change and what it leaves.
    pub struct RemedyFound from (vehicle: &Vehicle, own: &Remedy) {
        /// What to change.
        pub change: RemedyChange = finding::change(vehicle, own.change),
        /// The failure's harm as things are.
        pub harm_before: f64 = own.harm_before,
        /// Its harm after the change.
        pub harm_after: f64 = own.harm_after,
        /// True when nothing is damaged any more.
        pub no_damage: bool = own.no_damage,
        /// What still goes wrong.
        pub left: Vec<FailureFinding> = findings(vehicle, &own.left),
    }

    /// Two ways open at once.
    pub struct PairsFound from (vehicle: &Vehicle, own: &Pairs) {
        /// Pairs times states.
        pub tried: usize = own.tried,
        /// How many of them were solved fully.
        pub solved: usize = own.solved,
        /// Pairs solved as a sample of those passed over.
        pub sampled: usize = own.sampled,
        /// Of the sample, those that should not have been passed over.
        pub missed: usize = own.missed,
        /// Bound on their share, with 95 % confidence.
        pub missed_at_most: f64 = own.missed_at_most.0,
        /// The largest risk first.
        pub cases: Vec<FailurePair> = each(vehicle, &own.cases, FailurePair::of),
    }

    /// Two failures that do together what neither does alone.
    pub struct FailurePair from (vehicle: &Vehicle, own: &PairCase) {
        /// What fails.
        pub faults: Vec<FailedPart> =
            own.faults.iter().map(|own| FailedPart::of(vehicle, *own)).collect(),
        /// In which state.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// How likely both are.
        pub chance: f64 = own.chance.0,
        /// How much harm it is.
        pub harm: f64 = own.harm,
        /// Harm times chance.
        pub risk: f64 = own.risk,
        /// What goes wrong.
        pub findings: Vec<FailureFinding> = findings(vehicle, &own.findings),
    }
}

impl Failures {
    pub(super) fn of(found: &Found<'_>) -> Self {
        match found {
            Found::Survey(own) => Failures::Survey(FailureSurvey::of(own)),
            Found::After(own) => Failures::After(FailureAftermath::of(own)),
        }
    }
}
