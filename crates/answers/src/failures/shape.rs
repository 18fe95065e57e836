//! The JSON of failures.

mod aftermath;
mod finding;

use ::failures::{HiddenFuse, HiddenPath, PairCase, Pairs, Ranked, Remedy};
use model::{StateId, Vehicle};
use serde::Serialize;
use units::{Amperes, Ratio};
use utoipa::ToSchema;

use super::{Found, Surveyed};

pub use aftermath::{AfterState, CarriedMore, FailureAftermath, NoWayHome, ToInspect};
pub use finding::{
    ContactHarm, FailedPart, FailureFinding, PartEndurance, ProtectionVerdict, RemedyChange,
    endurance, fault, findings,
};

/// The answer of `failures`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum Failures {
    /// What each failure does.
    Survey(FailureSurvey),
    /// What one that has happened did, with `after`.
    After(FailureAftermath),
}

/// What each failure does.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FailureSurvey {
    /// The number of the contract.
    pub format: u32,
    /// False when it was stopped before the end.
    pub complete: bool,
    /// Failures times states.
    pub tried: usize,
    /// How many of them were solved fully.
    pub solved: usize,
    /// States that have no operating point even with nothing failed.
    pub without_point: Vec<String>,
    /// What is wrong before anything fails.
    pub already: Vec<AlreadyWrong>,
    /// The largest risk first.
    pub failures: Vec<RankedFailure>,
    /// Conductors that burn when something elsewhere fails, the soonest first.
    pub hidden_fuses: Vec<HiddenFuseFound>,
    /// Incidental paths that take over the current of the worst failures.
    pub paths: Vec<PathsOfFailure>,
    /// The cheapest change that takes the harm away, for the worst failures.
    pub remedies: Vec<RemedyOfFailure>,
    /// Two ways open at once; null when nobody asked.
    pub pairs: Option<PairsFound>,
}

/// What is wrong in a state before anything fails.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct AlreadyWrong {
    /// The state.
    pub state: String,
    /// What is wrong.
    pub findings: Vec<FailureFinding>,
}

/// A failure with what it does.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RankedFailure {
    /// What fails.
    pub fault: FailedPart,
    /// How likely, from the condition of what fails.
    pub chance: f64,
    /// Its harm in the worst state.
    pub harm: f64,
    /// Harm times chance.
    pub risk: f64,
    /// One for each state in which it does anything.
    pub cases: Vec<FailureCase>,
}

/// What a failure does in one state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FailureCase {
    /// The state.
    pub state: String,
    /// How much harm it is.
    pub harm: f64,
    /// What goes wrong.
    pub findings: Vec<FailureFinding>,
}

/// A conductor that burns when something elsewhere fails.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct HiddenFuseFound {
    /// The conductor.
    pub conductor: String,
    /// The failure after which it burns soonest.
    pub fault: FailedPart,
    /// The state in which it does.
    pub state: String,
    /// What the current does to it.
    pub endurance: PartEndurance,
    /// How many failures burn it.
    pub failures_count: usize,
    /// Whether a fuse opens first.
    pub protection: Option<ProtectionVerdict>,
}

/// Where the current goes when something fails.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PathsOfFailure {
    /// What fails.
    pub fault: FailedPart,
    /// The incidental paths.
    pub paths: Vec<PathTaken>,
}

/// What an incidental path carries after a failure.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PathTaken {
    /// Its name.
    pub name: String,
    /// While the engine is cranked.
    pub cranking: Option<PathCurrent>,
    /// While the battery is charged.
    pub charging: Option<PathCurrent>,
    /// Current from which damage is to be feared.
    pub damage_amps: Option<f64>,
}

/// A current, and its share of all that comes home.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PathCurrent {
    /// The current.
    pub amps: f64,
    /// Its share.
    pub share: f64,
}

/// What would take the harm of a failure away.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RemedyOfFailure {
    /// What fails.
    pub fault: FailedPart,
    /// In which state.
    pub state: String,
    /// The change; null when none was found.
    pub remedy: Option<RemedyFound>,
}

/// A change and what it leaves.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RemedyFound {
    /// What to change.
    pub change: RemedyChange,
    /// The failure's harm as things are.
    pub harm_before: f64,
    /// Its harm after the change.
    pub harm_after: f64,
    /// True when nothing is damaged any more.
    pub no_damage: bool,
    /// What still goes wrong.
    pub left: Vec<FailureFinding>,
}

/// Two ways open at once.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PairsFound {
    /// Pairs times states.
    pub tried: usize,
    /// How many of them were solved fully.
    pub solved: usize,
    /// Pairs solved as a sample of those passed over.
    pub sampled: usize,
    /// Of the sample, those that should not have been passed over.
    pub missed: usize,
    /// Bound on their share, with 95 % confidence.
    pub missed_at_most: f64,
    /// The largest risk first.
    pub cases: Vec<FailurePair>,
}

/// Two failures that do together what neither does alone.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FailurePair {
    /// What fails.
    pub faults: Vec<FailedPart>,
    /// In which state.
    pub state: String,
    /// How likely both are.
    pub chance: f64,
    /// How much harm it is.
    pub harm: f64,
    /// Harm times chance.
    pub risk: f64,
    /// What goes wrong.
    pub findings: Vec<FailureFinding>,
}

pub(super) fn of(found: &Found<'_>) -> Failures {
    match found {
        Found::Survey(own) => Failures::Survey(surveyed(own)),
        Found::After(own) => Failures::After(aftermath::of(own)),
    }
}

fn surveyed(found: &Surveyed<'_>) -> FailureSurvey {
    let vehicle = found.vehicle;
    let survey = &found.survey;
    let name = |state: StateId| vehicle.state(state).id.clone();
    let already = found.already.iter();
    let hidden = found.hidden.iter();
    let paths = found.paths.iter();
    let remedies = found.remedies.iter();
    FailureSurvey {
        format: crate::FORMAT,
        complete: found.complete(),
        tried: survey.tried,
        solved: survey.solved,
        without_point: found.unsettled.iter().map(|state| name(*state)).collect(),
        already: already
            .map(|(state, own)| AlreadyWrong {
                state: name(*state),
                findings: findings(vehicle, own),
            })
            .collect(),
        failures: survey.ranked.iter().map(|own| ranked(found, own)).collect(),
        hidden_fuses: hidden.map(|own| hidden_fuse(found, own)).collect(),
        paths: paths
            .map(|(own, paths)| PathsOfFailure {
                fault: fault(vehicle, *own),
                paths: paths.iter().map(|own| path(vehicle, own)).collect(),
            })
            .collect(),
        remedies: remedies
            .map(|(own, state, change)| RemedyOfFailure {
                fault: fault(vehicle, *own),
                state: name(*state),
                remedy: change.as_ref().map(|change| remedy(vehicle, change)),
            })
            .collect(),
        pairs: found.pairs.as_ref().map(|own| pairs(vehicle, own)),
    }
}

fn ranked(found: &Surveyed<'_>, own: &Ranked) -> RankedFailure {
    let vehicle = found.vehicle;
    let cases = own.cases.iter().map(|at| &found.survey.cases[*at]);
    RankedFailure {
        fault: fault(vehicle, own.fault),
        chance: own.chance.0,
        harm: own.harm,
        risk: own.risk,
        cases: cases
            .map(|case| FailureCase {
                state: vehicle.state(case.state).id.clone(),
                harm: case.harm,
                findings: findings(vehicle, &case.findings),
            })
            .collect(),
    }
}

fn hidden_fuse(found: &Surveyed<'_>, own: &HiddenFuse) -> HiddenFuseFound {
    let vehicle = found.vehicle;
    let protection = found.protection(own.fault, own.state, own.conductor);
    HiddenFuseFound {
        conductor: vehicle.conductor(own.conductor).id.clone(),
        fault: fault(vehicle, own.fault),
        state: vehicle.state(own.state).id.clone(),
        endurance: endurance(&own.endurance),
        failures_count: own.faults,
        protection: protection.map(|own| finding::protection(vehicle, own)),
    }
}

fn path(vehicle: &Vehicle, own: &HiddenPath) -> PathTaken {
    let current = |flow: Option<(Amperes, Ratio)>| {
        flow.map(|(amps, share)| PathCurrent { amps: amps.0, share: share.0 })
    };
    PathTaken {
        name: vehicle.incidental(own.path).id.clone(),
        cranking: current(own.cranking),
        charging: current(own.charging),
        damage_amps: own.damage.map(|amps| amps.0),
    }
}

fn remedy(vehicle: &Vehicle, own: &Remedy) -> RemedyFound {
    RemedyFound {
        change: finding::change(vehicle, own.change),
        harm_before: own.harm_before,
        harm_after: own.harm_after,
        no_damage: own.no_damage,
        left: findings(vehicle, &own.left),
    }
}

fn pairs(vehicle: &Vehicle, own: &Pairs) -> PairsFound {
    PairsFound {
        tried: own.tried,
        solved: own.solved,
        sampled: own.sampled,
        missed: own.missed,
        missed_at_most: own.missed_at_most.0,
        cases: own.cases.iter().map(|own| pair(vehicle, own)).collect(),
    }
}

fn pair(vehicle: &Vehicle, own: &PairCase) -> FailurePair {
    FailurePair {
        faults: own.faults.iter().map(|own| fault(vehicle, *own)).collect(),
        state: vehicle.state(own.state).id.clone(),
        chance: own.chance.0,
        harm: own.harm,
        risk: own.risk,
        findings: findings(vehicle, &own.findings),
    }
}
