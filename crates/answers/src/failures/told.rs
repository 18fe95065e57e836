//! Everything that an answer about failures tells, in the order in which it is worked out.

use std::ops::ControlFlow;

use failures::{
    Analysis, Case, Endurance, Fault, Finding, HiddenFuse, HiddenPath, Pairs, Progress, Protection,
    Remedy, Survey,
};
use model::{ConductorId, StateId, Vehicle};

/// Failures for which a remedy is looked for.
const REMEDIES: usize = 3;
/// Failures whose incidental paths are told.
const PATHS_OF: usize = 2;

/// Told what is being gone through and how far it is; says whether to go on.
pub type Watch<'w> = &'w mut dyn FnMut(&'static str, Progress) -> ControlFlow<()>;

/// A conductor that burns after a failure in a state.
type Burning = (Fault, StateId, ConductorId);

/// Everything that the answer tells.
#[derive(Debug)]
pub struct Told<'v> {
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

impl<'v> Told<'v> {
    /// Goes through the failures; protection is judged for the worst `most` of them.
    pub fn of(
        vehicle: &'v Vehicle,
        states: &[StateId],
        most: usize,
        with_pairs: bool,
        watch: Watch<'_>,
    ) -> Self {
        let mut analysis = Analysis::new(vehicle, states);
        let survey = analysis.survey(&mut |at| watch("single failures", at));
        let pairs = (with_pairs && survey.complete)
            .then(|| analysis.pairs(&mut |at| watch("pairs of failures", at)));
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

fn protections(
    analysis: &mut Analysis<'_>,
    survey: &Survey,
    hidden: &[HiddenFuse],
    most: usize,
) -> Vec<(Burning, Protection)> {
    let shown = survey.ranked.iter().take(most).map(|ranked| &survey.cases[ranked.cases[0]]);
    let mut overloads: Vec<(Burning, Endurance)> = shown
        .flat_map(|case| {
            case.findings.iter().filter_map(|finding| match *finding {
                Finding::Conductor { conductor, endurance, .. } => {
                    Some(((case.fault, case.state, conductor), endurance))
                }
                _ => None,
            })
        })
        .collect();
    overloads
        .extend(hidden.iter().map(|own| ((own.fault, own.state, own.conductor), own.endurance)));
    let mut protections: Vec<(Burning, Protection)> = Vec::new();
    for (key, endurance) in overloads {
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
