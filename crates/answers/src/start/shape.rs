//! The JSON of a story: the sides, what each line was worth, what to measure next, the files.

use diagnosis::{SideBelief, Standing};
use serde::Serialize;
use utoipa::ToSchema;

use super::found::{Files, Found};
use super::plain;
use super::setup::earth_word;
use super::story::{Outcome, Said};
use super::symptom::symptom_word;
use super::told::{WORTH_TAKING, commands, outcomes, worth_words};
use crate::cautions::{CautionTold, Cautions};
use crate::diagnose::TakeAgain;
use crate::holds::{self, NotCleared};
use crate::next::{ProposedReading, proposed};
use crate::problem::{self, Problem};
use crate::sides::{self, SideChance};
use crate::suspect::{SuspectName, suspect_name};

/// How many of the suspects are told.
const MOST_SUSPECTS: usize = 10;

/// The answer of `start`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Started {
    /// The number of the contract.
    pub format: u32,
    /// What was taken of the vehicle.
    pub setup: StartSetup,
    /// `slow-crank`, `no-crank`, `weak`, `not-charging`, `disturbed` or `hot`.
    pub symptom: &'static str,
    /// Cautions that concern taking readings, besides the usual ones.
    pub cautions: Vec<CautionTold>,
    /// The load it is about; null where it is about none.
    pub load: Option<String>,
    /// When it shows.
    pub state: String,
    /// The five sides, the likeliest first.
    pub sides: Vec<StartSide>,
    /// Probability of a fault outside this circuit.
    pub elsewhere: f64,
    /// Probability that nothing is wrong.
    pub nothing_bad: f64,
    /// What keeps sides from being called cleared.
    pub not_cleared: Vec<NotCleared>,
    /// The likeliest suspects.
    pub suspects: Vec<StartSuspect>,
    /// Readings that are probably wrong.
    pub take_again: Vec<TakeAgain>,
    /// Every line, and what it was worth.
    pub told: Vec<StartLine>,
    /// The reading that splits best what is left; null where none tells much.
    pub next: Option<StartNext>,
    /// Answers to questions that were not understood.
    pub notes: Vec<String>,
    /// The path of the rough vehicle; null where it was not written.
    pub written: Option<String>,
    /// The path of the readings; null where they were not written.
    pub readings_written: Option<String>,
    /// Why nothing was written; null where nobody tried, or it was.
    pub not_written: Option<String>,
    /// The rough vehicle file where it was not written.
    pub file: Option<String>,
    /// The file of the readings where it was not written; null where there are none.
    pub readings_file: Option<String>,
    /// What to go on with at the command line; null where nothing was written.
    pub commands: Option<Vec<String>>,
}

/// What was taken of the vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StartSetup {
    /// The layout that is nearest.
    pub layout: &'static str,
    /// The nominal voltage.
    pub nominal_volts: f64,
    /// Batteries side by side.
    pub batteries: u32,
    /// `near` or `far`.
    pub battery_place: &'static str,
    /// `engine`, `engine-body`, `engine-frame` or `engine-frame-body`.
    pub metal: &'static str,
    /// `none`, `live` or `earthed`.
    pub battery_switch: &'static str,
    /// `negative` or `positive`.
    pub earth: &'static str,
    /// Where it lives.
    pub surroundings: &'static str,
}

/// What is believed of a side.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StartSide {
    /// The side.
    #[serde(flatten)]
    pub side: SideChance,
    /// Its probability before any reading.
    pub before: f64,
    /// `suspect`, `open`, `cleared`, `unlikely-so-far` or `unlikely`.
    pub standing: &'static str,
}

/// A suspect.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StartSuspect {
    /// Who.
    #[serde(flatten)]
    pub who: SuspectName,
    /// Probability that it is at fault.
    pub probability: f64,
}

/// A line that was told.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StartLine {
    /// Its number.
    pub number: u32,
    /// As it was said.
    pub said: String,
    /// As it was read.
    pub read: String,
    /// The state that was taken because none was told; null otherwise.
    pub assumed_state: Option<String>,
    /// True where a value without a sign was taken as the current flows.
    pub turned: bool,
    /// `weighed`, `nothing` or `kept`.
    pub worth: &'static str,
    /// What it was worth, in words.
    pub words: String,
    /// What it did to each side; null where it was not weighed.
    pub moved: Option<Vec<StartMove>>,
    /// Why it is not weighed, or was not understood; null otherwise.
    pub problem: Option<Problem>,
    /// The states of which one has to be told before it is weighed, the likeliest first; null otherwise.
    pub may_be: Option<Vec<String>>,
}

/// What a line did to a side.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StartMove {
    /// The side.
    pub side: &'static str,
    /// Its probability before.
    pub before: f64,
    /// Its probability after.
    pub after: f64,
}

/// The reading that splits best what is left.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StartNext {
    /// The reading.
    #[serde(flatten)]
    pub reading: ProposedReading,
    /// What it may show, and what each would point to.
    pub outcomes: Vec<StartOutcome>,
}

/// What a reading may show.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct StartOutcome {
    /// The value.
    pub near: String,
    /// What it points to, in words.
    pub points_to: String,
}

pub(super) fn of(found: &Found) -> Started {
    let Found { vehicle, weighed, .. } = found;
    let sides = &weighed.account.sides;
    let diagnosis = &weighed.account.diagnosis;
    let next = weighed.next.first().filter(|own| own.gain > WORTH_TAKING);
    let (files, failed) = match &found.written {
        Some(Ok(files)) => (Some(files), None),
        Some(Err(why)) => (None, Some(why.clone())),
        None => (None, None),
    };
    Started {
        format: crate::FORMAT,
        setup: setup(found),
        symptom: symptom_word(found.symptom),
        cautions: crate::cautions::told(&Cautions::of(vehicle).of_reading()),
        load: weighed.heard.load.map(|load| vehicle.load(load).id.clone()),
        state: vehicle.state(weighed.heard.state).id.clone(),
        sides: sides.sides.iter().map(|own| side(found, own)).collect(),
        elsewhere: sides.elsewhere.0,
        nothing_bad: sides.nothing.0,
        not_cleared: weighed
            .holds
            .iter()
            .map(|own| holds::of(vehicle, &weighed.seen, *own))
            .collect(),
        suspects: diagnosis
            .suspects
            .iter()
            .take(MOST_SUSPECTS)
            .map(|own| StartSuspect {
                who: suspect_name(vehicle, own.kind),
                probability: own.probability,
            })
            .collect(),
        take_again: diagnosis
            .take_again
            .iter()
            .map(|own| TakeAgain { number: own.0, probability: own.1 })
            .collect(),
        told: found.told.iter().map(|own| line(found, own)).collect(),
        next: next.map(|own| StartNext {
            reading: proposed(vehicle, own),
            outcomes: outcomes(found, own)
                .into_iter()
                .map(|(near, points_to)| StartOutcome {
                    near: plain(&near.into()),
                    points_to: plain(&points_to),
                })
                .collect(),
        }),
        notes: found.notes.clone(),
        written: files.map(|own| own.vehicle.clone()),
        readings_written: files.and_then(|own| own.readings.clone()),
        not_written: failed,
        file: files.is_none().then(|| found.file()),
        readings_file: found.readings_file().filter(|_| files.is_none()),
        commands: files.map(|own: &Files| commands(found, own)),
    }
}

fn setup(found: &Found) -> StartSetup {
    let setup = &found.setup;
    StartSetup {
        layout: setup.layout,
        nominal_volts: setup.nominal.0,
        batteries: setup.batteries,
        battery_place: setup.place.word(),
        metal: setup.metal.word(),
        battery_switch: setup.isolator.word(),
        earth: earth_word(setup.earth),
        surroundings: setup.surroundings,
    }
}

fn side(found: &Found, own: &SideBelief) -> StartSide {
    StartSide {
        side: sides::of(&found.vehicle, own),
        before: found.weighed.first(own.side).0,
        standing: match found.weighed.standing(own) {
            Standing::Suspect => "suspect",
            Standing::Open => "open",
            Standing::Cleared => "cleared",
            Standing::UnlikelySoFar => "unlikely-so-far",
            Standing::Unlikely => "unlikely",
        },
    }
}

fn line(found: &Found, own: &Said) -> StartLine {
    let Found { vehicle, weighed, .. } = found;
    let state = |id| vehicle.state(id).id.clone();
    let step = weighed.steps.iter().find(|step| step.number == own.number);
    StartLine {
        number: own.number,
        said: own.said.clone(),
        read: own.read.clone(),
        assumed_state: own.assumed.map(state),
        turned: own.turned,
        worth: match &own.outcome {
            Outcome::Reading(_) if weighed.left_out(own.number).is_some() => "kept",
            Outcome::Reading(_) | Outcome::Seen(_) => "weighed",
            Outcome::Worthless(_) => "nothing",
            _ => "kept",
        },
        words: plain(&worth_words(found, own)),
        moved: step.map(|step| {
            let each = step.sides.iter().map(|(side, before, after)| StartMove {
                side: side.word(),
                before: before.0,
                after: after.0,
            });
            each.collect()
        }),
        problem: own
            .outcome
            .problem()
            .and_then(|problem| problem::of(std::slice::from_ref(problem), &own.read).pop()),
        may_be: match &own.outcome {
            Outcome::WhichState { states, .. } => Some(states.iter().copied().map(state).collect()),
            _ => None,
        },
    }
}
