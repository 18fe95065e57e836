//! Everything that an answer about failures tells, in the order in which it is worked out.

use std::ops::ControlFlow;

use ::failures::{
    Aftermath, Analysis, Case, Fault, Finding, HiddenFuse, HiddenPath, Inspect, LostWay, Pairs,
    Protection, Remedy, Survey, fault,
};
use model::{ConductorId, StateId, Vehicle};

use super::Asked;
use crate::Refusal;
use crate::refusal::{Refused, states};
use crate::room::{Progress, Watch};

/// Failures for which a remedy is looked for.
const REMEDIES: usize = 3;
/// Failures whose incidental paths are told.
const PATHS_OF: usize = 2;

/// A conductor that burns after a failure in a state.
type Burning = (Fault, StateId, ConductorId);

/// What was found of failures.
#[derive(Debug)]
pub enum Found<'v> {
    /// What each of them does.
    Survey(Surveyed<'v>),
    /// What one that has happened did.
    After(After<'v>),
}

impl<'v> Found<'v> {
    pub(super) fn of(
        vehicle: &'v Vehicle,
        asked: &Asked,
        watch: Watch<'_>,
    ) -> Result<Self, Refused> {
        let mut refused = Refused::default();
        let states = refused.keep(states(vehicle, asked.state.as_deref()));
        if asked.pairs && asked.after.is_some() {
            let what = "`pairs` and `after` are asked at once";
            refused.0.push(Refusal::new(what, "one of them: pairs are of what has not happened"));
        }
        let after = asked.after.as_deref();
        let after = after.and_then(|name| refused.keep(happened(vehicle, name)));
        let states = refused.unless(states)?;
        Ok(match after {
            Some(fault) => Self::After(After::of(vehicle, &states, fault)),
            None => Self::Survey(Surveyed::of(vehicle, &states, asked, watch)),
        })
    }

    /// False when it was stopped before the end; what was found so far is told all the same.
    #[must_use]
    pub fn complete(&self) -> bool {
        match self {
            Self::Survey(own) => own.complete(),
            Self::After(_) => true,
        }
    }

    /// True when something is damaged, or what has happened did anything.
    pub(super) fn wants_attention(&self) -> bool {
        match self {
            Self::Survey(own) => own.damage() || !own.unsettled.is_empty(),
            Self::After(own) => !own.harmless(),
        }
    }
}

/// The failure with a name, or a refusal that names the nearest.
fn happened(vehicle: &Vehicle, name: &str) -> Result<Fault, Refusal> {
    fault::named(vehicle, name).ok_or_else(|| {
        let pieces = vehicle.pieces().map(|piece| vehicle.piece_name(piece));
        let batteries = vehicle.batteries.iter().map(|own| own.id.as_str());
        let sources = vehicle.regulated.iter().map(|own| own.id.as_str());
        let near = file::suggest::nearest(name, pieces.chain(batteries).chain(sources));
        let what = format!("`{}` has nothing that fails by the name `{name}`", vehicle.name);
        let expected = "a conductor, a joint such as `NAME.to`, a fuse, a switch, a battery or an \
                        alternator of the file";
        let hint = near.map(|near| format!("did you mean `{near}`?"));
        Refusal { hint, ..Refusal::new(what, expected) }
    })
}

/// What a failure that has happened did.
#[derive(Debug)]
pub struct After<'v> {
    /// The vehicle.
    pub vehicle: &'v Vehicle,
    /// What has happened.
    pub fault: Fault,
    /// What it did in each state.
    pub states: Vec<Aftermath>,
    /// What to look at, the most harmful first.
    pub inspect: Vec<Inspect>,
    /// What has no way home any more.
    pub lost: Option<LostWay>,
}

impl<'v> After<'v> {
    fn of(vehicle: &'v Vehicle, states: &[StateId], fault: Fault) -> Self {
        let (states, inspect) = Analysis::new(vehicle, states).aftermath(fault);
        Self { vehicle, fault, states, inspect, lost: LostWay::of(vehicle, fault) }
    }

    fn harmless(&self) -> bool {
        self.inspect.is_empty()
            && self.lost.is_none()
            && self.states.iter().all(|own| own.findings.is_empty())
    }
}

/// What each failure does.
#[derive(Debug)]
pub struct Surveyed<'v> {
    /// The vehicle.
    pub vehicle: &'v Vehicle,
    /// What is wrong in each state before anything fails.
    pub already: Vec<(StateId, Vec<Finding>)>,
    /// States without an operating point.
    pub unsettled: Vec<StateId>,
    /// Every single failure.
    pub survey: Survey,
    /// What stands in the way of each overload that is shown.
    pub protections: Vec<(Burning, Protection)>,
    /// Conductors that burn when something elsewhere fails.
    pub hidden: Vec<HiddenFuse>,
    /// Where the current goes astray.
    pub paths: Vec<(Fault, Vec<HiddenPath>)>,
    /// What would help against the worst.
    pub remedies: Vec<(Fault, StateId, Option<Remedy>)>,
    /// Two ways open at once, if asked for.
    pub pairs: Option<Pairs>,
    /// How many failures are shown.
    pub most: usize,
}

impl<'v> Surveyed<'v> {
    /// Goes through the failures; protection is judged for those of the worst that are shown.
    fn of(vehicle: &'v Vehicle, states: &[StateId], asked: &Asked, watch: Watch<'_>) -> Self {
        let most = asked.most;
        let mut analysis = Analysis::new(vehicle, states);
        let survey = analysis.survey(&mut |at| tell(watch, "single failures", at));
        let pairs = (asked.pairs && survey.complete)
            .then(|| analysis.pairs(&mut |at| tell(watch, "pairs of failures", at)));
        let hidden = analysis.hidden_fuses(&survey);
        let protections = protections(&mut analysis, &survey, &hidden, most);
        let of_paths = astray(&survey, &hidden);
        let paths = of_paths.into_iter().map(|own| (own, analysis.hidden_paths(own))).collect();
        let remedies = worst(&survey)
            .into_iter()
            .map(|(fault, state)| (fault, state, analysis.remedy(fault, state)))
            .collect();
        Self {
            vehicle,
            already: analysis.already(),
            unsettled: analysis.unsettled.clone(),
            survey,
            protections,
            hidden,
            paths,
            remedies,
            pairs,
            most,
        }
    }

    /// False when it was stopped before the end.
    #[must_use]
    pub fn complete(&self) -> bool {
        self.survey.complete && self.pairs.as_ref().is_none_or(|pairs| pairs.complete)
    }

    /// True when a failure damages something that the file shows.
    fn damage(&self) -> bool {
        self.survey.cases.iter().flat_map(|case| &case.findings).any(|finding| match finding {
            Finding::Conductor { endurance, .. } => endurance.passes_limit(),
            Finding::Path { .. } => true,
            _ => false,
        })
    }

    /// What stands in the way of an overload, where that was judged.
    #[must_use]
    pub fn protection(
        &self,
        fault: Fault,
        state: StateId,
        conductor: ConductorId,
    ) -> Option<Protection> {
        let key = (fault, state, conductor);
        self.protections.iter().find(|(known, _)| *known == key).map(|(_, protection)| *protection)
    }
}

/// Tells how far the failures are gone through.
fn tell(watch: Watch<'_>, what: &'static str, at: ::failures::Progress) -> ControlFlow<()> {
    let share = at.done as f64 / at.all.max(1) as f64;
    if watch(Progress { what, share }) { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
}

fn protections(
    analysis: &mut Analysis<'_>,
    survey: &Survey,
    hidden: &[HiddenFuse],
    most: usize,
) -> Vec<(Burning, Protection)> {
    let shown = survey.ranked.iter().take(most).map(|ranked| &survey.cases[ranked.cases[0]]);
    let findings = shown.flat_map(|case| case.findings.iter().map(move |own| (case, own)));
    let burning = findings.filter_map(|(case, own)| match *own {
        Finding::Conductor { conductor, endurance, .. } => {
            Some(((case.fault, case.state, conductor), endurance))
        }
        _ => None,
    });
    let hidden = hidden.iter().map(|own| ((own.fault, own.state, own.conductor), own.endurance));
    let mut protections: Vec<(Burning, Protection)> = Vec::new();
    for (key, endurance) in burning.chain(hidden) {
        if !protections.iter().any(|(known, _)| *known == key) {
            let (fault, state, conductor) = key;
            let protection = analysis.protection(fault, state, conductor, &endurance);
            protections.push((key, protection));
        }
    }
    protections
}

/// Where the current goes astray: what hurts a path first, then what burns a hidden fuse.
fn astray(survey: &Survey, hidden: &[HiddenFuse]) -> Vec<Fault> {
    let hurt = survey.ranked.iter().filter(|ranked| {
        let mut findings = ranked.cases.iter().flat_map(|at| &survey.cases[*at].findings);
        findings.any(|finding| matches!(finding, Finding::Path { .. }))
    });
    let mut found: Vec<Fault> = Vec::new();
    for fault in hurt.map(|ranked| ranked.fault).chain(hidden.iter().map(|own| own.fault)) {
        let worn = matches!(fault, Fault::Worn(..));
        if !worn && !found.contains(&fault) && found.len() < PATHS_OF {
            found.push(fault);
        }
    }
    found
}

/// The worst failures that damage something, each in its worst state.
fn worst(survey: &Survey) -> Vec<(Fault, StateId)> {
    let harmful = |case: &&Case| {
        case.findings.iter().any(|finding| {
            matches!(finding, Finding::Conductor { endurance, .. } if endurance.passes_limit())
                || matches!(finding, Finding::Path { .. })
        })
    };
    survey
        .ranked
        .iter()
        .filter_map(|ranked| ranked.cases.iter().map(|at| &survey.cases[*at]).find(harmful))
        .filter(|case| !matches!(case.fault, Fault::Worn(..)))
        .map(|case| (case.fault, case.state))
        .take(REMEDIES)
        .collect()
}
