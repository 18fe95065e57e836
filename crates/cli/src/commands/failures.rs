//! `groundloom failures`: what fails when something fails, how soon, and what would help.

use std::path::PathBuf;

use failures::{
    Analysis, Fault, Finding, HiddenFuse, HiddenPath, Pairs, Protection, Remedy, Survey, fault,
};
use model::{ConductorId, StateId, Vehicle};

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::option::nearest;
use crate::vehicle_file;
use crate::watching::Watcher;

mod aftermath;
mod json;
mod text;
pub(crate) mod words;

/// Failures for which a remedy is looked for.
const REMEDIES: usize = 3;
/// Failures whose incidental paths are told.
const PATHS_OF: usize = 2;
/// Pairs whose protection is looked at, and that are shown.
const PAIRS: usize = 10;

/// What fails when something fails: every joint and conductor opened and worn, every fuse blown,
/// each battery and alternator lost, ranked by harm and likelihood.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// One operating state; all that the file has when left out.
    #[arg(long)]
    state: Option<String>,
    /// Two ways open at once too, where together they do what neither does alone.
    #[arg(long, conflicts_with = "after")]
    pairs: bool,
    /// A failure that has happened: what carried the current since, and what to inspect.
    #[arg(long, value_name = "NAME")]
    after: Option<String>,
    /// How many failures to show.
    #[arg(long, default_value_t = 8)]
    most: usize,
}

/// Everything that the answer tells.
struct Told<'v> {
    vehicle: &'v Vehicle,
    already: Vec<(StateId, Vec<Finding>)>,
    unsettled: Vec<StateId>,
    survey: Survey,
    /// What stands in the way of each overload that is shown.
    protections: Vec<((Fault, StateId, ConductorId), Protection)>,
    hidden: Vec<HiddenFuse>,
    paths: Vec<(Fault, Vec<HiddenPath>)>,
    remedies: Vec<(Fault, StateId, Option<Remedy>)>,
    pairs: Option<Pairs>,
    most: usize,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let states = vehicle_file::states(vehicle, arguments.state.as_deref())?;
    if let Some(name) = &arguments.after {
        let fault = happened(vehicle, name)?;
        return Ok(aftermath::answer(vehicle, &states, fault, asked));
    }
    let told = told(vehicle, &states, arguments);
    let damage = told.survey.cases.iter().any(|case| {
        case.findings.iter().any(|finding| match finding {
            Finding::Conductor { endurance, .. } => endurance.passes_limit(),
            Finding::Path { .. } => true,
            _ => false,
        })
    });
    Ok(Answer {
        text: text::text(&told, asked),
        json: json::json(&told),
        exit: if damage { Exit::Finding } else { Exit::Well },
    })
}

fn told<'v>(vehicle: &'v Vehicle, states: &[StateId], arguments: &Arguments) -> Told<'v> {
    let mut watcher = Watcher::new();
    let mut analysis = Analysis::new(vehicle, states);
    let survey = analysis.survey(&mut |at| watcher.tell("single failures", at.done, at.all));
    let pairs = (arguments.pairs && survey.complete)
        .then(|| analysis.pairs(&mut |at| watcher.tell("pairs of failures", at.done, at.all)));
    let hidden = analysis.hidden_fuses(&survey);
    let shown: Vec<_> = survey.ranked.iter().take(arguments.most).collect();
    let mut overloads: Vec<(Fault, StateId, failures::Endurance, ConductorId)> = shown
        .iter()
        .map(|ranked| &survey.cases[ranked.cases[0]])
        .flat_map(|case| {
            case.findings.iter().filter_map(|finding| match *finding {
                Finding::Conductor { conductor, endurance, .. } => {
                    Some((case.fault, case.state, endurance, conductor))
                }
                _ => None,
            })
        })
        .collect();
    overloads.extend(hidden.iter().map(|own| (own.fault, own.state, own.endurance, own.conductor)));
    let mut protections: Vec<((Fault, StateId, ConductorId), Protection)> = Vec::new();
    for (fault, state, endurance, conductor) in overloads {
        let key = (fault, state, conductor);
        if !protections.iter().any(|(known, _)| *known == key) {
            let protection = analysis.protection(fault, state, conductor, &endurance);
            protections.push((key, protection));
        }
    }
    let harmful = |case: &failures::Case| {
        case.findings.iter().any(|finding| {
            matches!(finding, Finding::Conductor { endurance, .. } if endurance.passes_limit())
                || matches!(finding, Finding::Path { .. })
        })
    };
    // Where the current goes astray: what hurts a path first, then what burns a hidden fuse.
    let hurt = survey.ranked.iter().filter(|ranked| {
        let mut findings = ranked.cases.iter().flat_map(|at| &survey.cases[*at].findings);
        findings.any(|finding| matches!(finding, Finding::Path { .. }))
    });
    let mut of_paths: Vec<Fault> = Vec::new();
    for fault in hurt.map(|ranked| ranked.fault).chain(hidden.iter().map(|own| own.fault)) {
        let worn = matches!(fault, Fault::Worn(..));
        if !worn && !of_paths.contains(&fault) && of_paths.len() < PATHS_OF {
            of_paths.push(fault);
        }
    }
    let paths = of_paths.into_iter().map(|own| (own, analysis.hidden_paths(own))).collect();
    let worst: Vec<(Fault, StateId)> = survey
        .ranked
        .iter()
        .filter_map(|ranked| ranked.cases.iter().map(|at| &survey.cases[*at]).find(|c| harmful(c)))
        .filter(|case| !matches!(case.fault, Fault::Worn(..)))
        .map(|case| (case.fault, case.state))
        .take(REMEDIES)
        .collect();
    let remedies = worst
        .into_iter()
        .map(|(fault, state)| (fault, state, analysis.remedy(fault, state)))
        .collect();
    Told {
        vehicle,
        already: analysis.already(),
        unsettled: analysis.unsettled.clone(),
        survey,
        protections,
        hidden,
        paths,
        remedies,
        pairs,
        most: arguments.most,
    }
}

impl Told<'_> {
    fn protection(
        &self,
        fault: Fault,
        state: StateId,
        conductor: ConductorId,
    ) -> Option<Protection> {
        let key = (fault, state, conductor);
        self.protections.iter().find(|(known, _)| *known == key).map(|(_, protection)| *protection)
    }
}

/// The failure with a name, or a failure to answer that names the nearest.
fn happened(vehicle: &Vehicle, name: &str) -> Result<Fault, Failure> {
    fault::named(vehicle, name).ok_or_else(|| {
        let pieces = vehicle.pieces().map(|piece| vehicle.piece_name(piece));
        let batteries = vehicle.batteries.iter().map(|own| own.id.as_str());
        let sources = vehicle.regulated.iter().map(|own| own.id.as_str());
        let near = nearest(name, pieces.chain(batteries).chain(sources));
        let near = near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
        Failure::new(
            format!("`{}` has nothing that fails by the name `{name}`{near}", vehicle.name),
            "a conductor, a joint such as `NAME.to`, a fuse, a switch, a battery or an alternator of the file",
        )
    })
}
