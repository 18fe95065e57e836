//! `groundloom failures`: what fails when something fails, how soon, and what would help.

use std::ops::ControlFlow;
use std::path::PathBuf;

use answers::failures::Told;
use failures::{Fault, Finding, fault};
use model::Vehicle;

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::option::nearest;
use crate::vehicle_file;
use crate::watching::Watcher;

mod aftermath;
mod text;
pub(crate) mod words;

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

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let states = vehicle_file::states(vehicle, arguments.state.as_deref())?;
    if let Some(name) = &arguments.after {
        let fault = happened(vehicle, name)?;
        return Ok(aftermath::answer(vehicle, &states, fault, asked));
    }
    let mut watcher = Watcher::new();
    let told = Told::of(vehicle, &states, arguments.most, arguments.pairs, &mut |what, at| {
        let share = at.done as f64 / at.all.max(1) as f64;
        let goes_on = watcher.tell(answers::room::Progress { what, share });
        if goes_on { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
    });
    drop(watcher);
    let damage = told.survey.cases.iter().any(|case| {
        case.findings.iter().any(|finding| match finding {
            Finding::Conductor { endurance, .. } => endurance.passes_limit(),
            Finding::Path { .. } => true,
            _ => false,
        })
    });
    Ok(Answer {
        text: text::text(&told, asked),
        json: json(&answers::failures::of(&told)),
        exit: if damage { Exit::Finding } else { Exit::Well },
    })
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
