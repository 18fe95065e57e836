//! The JSON of a story: the sides, what each line was worth, what to measure next, the files.

use diagnosis::{Side, SideBelief, Standing, Suspect};
use model::Vehicle;
use serde::Serialize;
use units::Ratio;
use utoipa::ToSchema;

use super::found::{Files, Found};
use super::plain;
use super::setup::{EARTH_WORDS, ISOLATOR_WORDS, METAL_WORDS, PLACE_WORDS};
use super::story::{Outcome, Said};
use super::symptom::SYMPTOM_WORDS;
use super::told::{WORTH_TAKING, commands, outcomes, worth_words};
use crate::arguments::word_for;
use crate::cautions::{CautionTold, Cautions};
use crate::diagnose::TakeAgain;
use crate::holds::{self, NotCleared};
use crate::next::ProposedReading;
use crate::problem::{self, Problem};
use crate::sides::SideChance;
use crate::suspect::{SuspectName, suspect_name};
use crate::unsettled;

/// How many of the suspects are told.
const MOST_SUSPECTS: usize = 10;

shape! {
    /// The answer of `start`.
    pub struct Started from pub(super) (found: &Found) {
        let Found { vehicle, weighed, .. } = found;
        let sides = &weighed.account.sides;
        let diagnosis = &weighed.account.diagnosis;
        let next = weighed.next.first().filter(|own| own.gain > WORTH_TAKING);
        let (files, failed) = match &found.written {
            Some(Ok(files)) => (Some(files), None),
            Some(Err(why)) => (None, Some(why.clone())),
            None => (None, None),
        };
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// What was taken of the vehicle.
        pub setup: StartSetup = StartSetup::of(found),
        /// `slow-crank`, `no-crank`, `weak`, `not-charging`, `disturbed` or `hot`.
        pub symptom: &'static str = word_for(&SYMPTOM_WORDS, found.symptom),
        /// Cautions that concern taking readings, besides the usual ones.
        pub cautions: Vec<CautionTold> = crate::cautions::told(&Cautions::of(vehicle).of_reading()),
        /// The load it is about; null where it is about none.
        pub load: Option<String> = weighed.heard.load.map(|load| vehicle.load(load).id.clone()),
        /// When it shows.
        pub state: String = vehicle.state(weighed.heard.state).id.clone(),
        /// The five sides, the likeliest first.
        pub sides: Vec<StartSide> =
            sides.sides.iter().map(|own| StartSide::of(found, own)).collect(),
        /// Probability of a fault outside this circuit.
        pub elsewhere: f64 = sides.elsewhere.0,
        /// Probability that nothing is wrong.
        pub nothing_bad: f64 = sides.nothing.0,
        /// States that have no operating point; what is said of them rests on the last attempt.
        pub unsettled: Vec<String> = unsettled::ids(vehicle, &found.unsettled),
        /// What keeps sides from being called cleared.
        pub not_cleared: Vec<NotCleared> = weighed
            .holds
            .iter()
            .map(|own| holds::of(vehicle, &weighed.seen, *own))
            .collect(),
        /// The likeliest suspects.
        pub suspects: Vec<StartSuspect> = diagnosis
            .suspects
            .iter()
            .take(MOST_SUSPECTS)
            .map(|own| StartSuspect::of(vehicle, own))
            .collect(),
        /// Readings that are probably wrong.
        pub take_again: Vec<TakeAgain> = diagnosis.take_again.iter().map(TakeAgain::of).collect(),
        /// Every line, and what it was worth.
        pub told: Vec<StartLine> = found.told.iter().map(|own| StartLine::of(found, own)).collect(),
        /// The reading that splits best what is left; null where none tells much.
        pub next: Option<StartNext> = next.map(|own| StartNext {
            reading: ProposedReading::of(vehicle, own),
            outcomes: outcomes(found, own)
                .into_iter()
                .map(|(near, points_to)| StartOutcome {
                    near: plain(&near.into()),
                    points_to: plain(&points_to),
                })
                .collect(),
        }),
        /// Answers to questions that were not understood.
        pub notes: Vec<String> = found.notes.clone(),
        /// The path of the rough vehicle; null where it was not written.
        pub written: Option<String> = files.map(|own| own.vehicle.clone()),
        /// The path of the readings; null where they were not written.
        pub readings_written: Option<String> = files.and_then(|own| own.readings.clone()),
        /// Why nothing was written; null where nobody tried, or it was.
        pub not_written: Option<String> = failed,
        /// The rough vehicle file where it was not written.
        pub file: Option<String> = files.is_none().then(|| found.file()),
        /// The file of the readings where it was not written; null where there are none.
        pub readings_file: Option<String> = found.readings_file().filter(|_| files.is_none()),
        /// What to go on with at the command line; null where nothing was written.
        pub commands: Option<Vec<String>> = files.map(|own: &Files| commands(found, own)),
    }

    /// What was taken of the vehicle.
    pub struct StartSetup from (found: &Found) {
        let setup = &found.setup;
        /// The layout that is nearest.
        pub layout: &'static str = setup.layout,
        /// The nominal voltage.
        pub nominal_volts: f64 = setup.nominal.0,
        /// Batteries side by side.
        pub batteries: u32 = setup.batteries,
        /// `near` or `far`.
        pub battery_place: &'static str = word_for(&PLACE_WORDS, setup.place),
        /// `engine`, `engine-body`, `engine-frame` or `engine-frame-body`.
        pub metal: &'static str = word_for(&METAL_WORDS, setup.metal),
        /// `none`, `live` or `earthed`.
        pub battery_switch: &'static str = word_for(&ISOLATOR_WORDS, setup.isolator),
        /// `negative` or `positive`.
        pub earth: &'static str = word_for(&EARTH_WORDS, setup.earth),
        /// Where it lives.
        pub surroundings: &'static str = setup.surroundings,
    }

    /// What is believed of a side.
    pub struct StartSide from (found: &Found, own: &SideBelief) {
        /// The side.
        #[serde(flatten)]
        pub side: SideChance = SideChance::of(&found.vehicle, own),
        /// Its probability before any reading.
        pub before: f64 = found.weighed.first(own.side).0,
        /// `suspect`, `open`, `cleared`, `unlikely-so-far` or `unlikely`.
        pub standing: &'static str = match found.weighed.standing(own) {
            Standing::Suspect => "suspect",
            Standing::Open => "open",
            Standing::Cleared => "cleared",
            Standing::UnlikelySoFar => "unlikely-so-far",
            Standing::Unlikely => "unlikely",
        },
    }

    /// A suspect.
    pub struct StartSuspect from (vehicle: &Vehicle, own: &Suspect) {
        /// Who.
        #[serde(flatten)]
        pub who: SuspectName = suspect_name(vehicle, own.kind),
        /// Probability that it is at fault.
        pub probability: f64 = own.probability,
    }

    /// A line that was told.
    pub struct StartLine from (found: &Found, own: &Said) {
        let Found { vehicle, weighed, .. } = found;
        let state = |id| vehicle.state(id).id.clone();
        let step = weighed.steps.iter().find(|step| step.number == own.number);
        /// Its number.
        pub number: u32 = own.number,
        /// As it was said.
        pub said: String = own.said.clone(),
        /// As it was read.
        pub read: String = own.read.clone(),
        /// The state that was taken because none was told; null otherwise.
        pub assumed_state: Option<String> = own.assumed.map(state),
        /// True where a value without a sign was taken as the current flows.
        pub turned: bool = own.turned,
        /// `weighed`, `nothing` or `kept`.
        pub worth: &'static str = match &own.outcome {
            Outcome::Reading(_) if weighed.left_out(own.number).is_some() => "kept",
            Outcome::Reading(_) | Outcome::Seen(_) => "weighed",
            Outcome::Worthless(_) => "nothing",
            _ => "kept",
        },
        /// What it was worth, in words.
        pub words: String = plain(&worth_words(found, own)),
        /// What it did to each side; null where it was not weighed.
        pub moved: Option<Vec<StartMove>> = step.map(|step| {
            let each = step.sides.iter().map(StartMove::of);
            each.collect()
        }),
        /// Why it is not weighed, or was not understood; null otherwise.
        pub problem: Option<Problem> = own
            .outcome
            .problem()
            .and_then(|problem| problem::of(std::slice::from_ref(problem), &own.read).pop()),
        /// The states of which one has to be told before it is weighed, the likeliest first; null otherwise.
        pub may_be: Option<Vec<String>> = match &own.outcome {
            Outcome::WhichState { states, .. } => Some(states.iter().copied().map(state).collect()),
            _ => None,
        },
    }

    /// What a line did to a side.
    pub struct StartMove from (own: &(Side, Ratio, Ratio)) {
        let (side, before, after) = own;
        /// The side.
        pub side: &'static str = side.word(),
        /// Its probability before.
        pub before: f64 = before.0,
        /// Its probability after.
        pub after: f64 = after.0,
    }
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
