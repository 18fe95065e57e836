//! Readings, suspects and probes in words, shared by `diagnose`, `next` and `repairs`.

use std::path::PathBuf;

use answers::ask::{Weighed as Weights, weigh};
use answers::earlier::{Earlier, part};
use answers::told::measuring as words;
use diagnosis::{Complaint, Diagnosis, Observation, Proposal, Question, Session, SuspectKind};
use file::readings::Readings;
use model::{Measured, Probe, Problem, Reading, Severity, Vehicle};

use crate::answer::{Asked, Exit, Failure};
use crate::names::written;
use crate::option::Options;
use crate::problems::rendered;
use crate::render;
use crate::vehicle_file::{self, Opened};

/// Where the readings and the complaint come from.
#[derive(clap::Args, Debug)]
pub(crate) struct Source {
    /// The readings file: TOML, CSV or one reading a line.
    pub readings: Option<PathBuf>,
    /// One reading as a person would write it: `cranking: block/front to main/- 0.41 V`. May be repeated.
    #[arg(long = "reading", value_name = "WORDS")]
    pub lines: Vec<String>,
    /// The load that does not do its job, and the state: `starter@cranking`.
    #[arg(long, value_name = "LOAD@STATE")]
    pub complaint: Option<String>,
}

/// Readings with what was said about them.
pub(crate) struct Taken {
    pub readings: Readings,
    /// From before work that was done since: kept, and not weighed.
    pub earlier: Earlier,
    pub complaint: Option<Complaint>,
    /// Problems of the readings, rendered; empty when there are none.
    pub problems: String,
    /// The same for programs.
    pub told: Vec<answers::problem::Problem>,
    /// True when a reading could not be used.
    errors: bool,
}

impl Taken {
    /// How a command went that has answered: readings that could not be used want attention.
    pub(crate) fn exit(&self) -> Exit {
        if self.errors { Exit::Finding } else { Exit::Well }
    }
}

/// A vehicle with its readings weighed: what `diagnose`, `next` and `repairs` begin with.
pub(crate) struct Weighed<'v> {
    pub vehicle: &'v Vehicle,
    pub taken: Taken,
    pub seen: Vec<Observation>,
    pub questions: Vec<Question>,
    pub session: Session<'v>,
    pub diagnosis: Diagnosis,
}

/// Takes the readings for a vehicle file that was opened, and weighs them.
pub(crate) fn weighed<'v>(
    opened: &'v Opened,
    source: &Source,
    asked: &Asked,
) -> Result<Weighed<'v>, Failure> {
    let vehicle = opened.vehicle(asked.width)?;
    let taken = taken(source, vehicle, asked)?;
    let Weights { seen, questions, session, diagnosis } =
        weigh(vehicle, &taken.readings.readings, taken.complaint, |_| true);
    Ok(Weighed { vehicle, taken, seen, questions, session, diagnosis })
}

/// Reads everything that was given.
fn taken(source: &Source, vehicle: &Vehicle, asked: &Asked) -> Result<Taken, Failure> {
    let mut readings = Readings::default();
    let (mut problems, mut all_told) = (String::new(), Vec::new());
    let mut errors = false;
    let mut tell = |told: &[Problem], path: &str, text: &str| {
        problems.push_str(&rendered(told, path, text, asked.width));
        all_told.extend(answers::problem::of(told, text));
        errors |= told.iter().any(|problem| problem.severity == Severity::Error);
    };
    if let Some(path) = &source.readings {
        let bytes = vehicle_file::read_bytes(path, "a file with one reading a line")?;
        readings = file::readings::read(&bytes, vehicle);
        let text = String::from_utf8_lossy(&bytes);
        tell(&readings.problems, &path.display().to_string(), &text);
    }
    if !source.lines.is_empty() {
        // Typed lines are a small file of their own, numbered on from the other one.
        let text = source.lines.join("\n");
        let typed = file::readings::read(text.as_bytes(), vehicle);
        tell(&typed.problems, "--reading", &text);
        let last = readings.readings.len() + readings.worthless.len() + readings.kept.len();
        let on = u32::try_from(last).unwrap_or(u32::MAX / 2);
        readings.readings.extend(typed.readings.into_iter().map(|mut own| {
            own.number += on;
            own
        }));
        readings.worthless.extend(typed.worthless.into_iter().map(|mut own| {
            own.number += on;
            own
        }));
        readings.kept.extend(typed.kept.into_iter().map(|mut own| {
            own.number += on;
            own
        }));
        readings.beside_work.extend(typed.beside_work.into_iter().map(|mut own| {
            own.number += on;
            own
        }));
    }
    let earlier = part(&mut readings, vehicle);
    problems.push_str(&earlier_text(&earlier, asked));
    let complaint = match &source.complaint {
        Some(words) => Some(complaint(words, vehicle)?),
        None => readings
            .complaint
            .as_ref()
            .and_then(|own| Some(Complaint { load: own.load?, state: own.state? })),
    };
    Ok(Taken { readings, earlier, complaint, problems, told: all_told, errors })
}

/// Which readings are not weighed because of work that was done since, and which may be such.
fn earlier_text(earlier: &Earlier, asked: &Asked) -> String {
    let mut told = answers::told::Told::default();
    words::earlier(&mut told, earlier);
    render::text(&told, asked)
}

fn complaint(words: &str, vehicle: &Vehicle) -> Result<Complaint, Failure> {
    let (load, state) = words.split_once('@').ok_or_else(|| {
        Failure::new(
            format!("`--complaint {words}` names no state"),
            "a load and a state, such as `starter@cranking`",
        )
    })?;
    let mut options = Options::default();
    let load = options.keep(vehicle_file::load(vehicle, load.trim()));
    let state = options.keep(vehicle_file::state(vehicle, state.trim()));
    match (load, state) {
        (Some(load), Some(state)) => Ok(Complaint { load, state }),
        _ => Err(options.failure()),
    }
}

/// A probe as written in a readings file.
pub(crate) fn probe_name(vehicle: &Vehicle, probe: Probe) -> String {
    words::probe_name(vehicle, probe).to_owned()
}

/// Where the leads of a meter go.
pub(crate) fn probes(vehicle: &Vehicle, what: Measured) -> String {
    written(&words::probes(vehicle, what))
}

/// What was or is to be measured.
pub(crate) fn measured(vehicle: &Vehicle, measured: Measured) -> String {
    written(&words::measured(vehicle, measured))
}

/// Where the leads or the clamp go for a reading that is proposed.
pub(crate) fn placed(vehicle: &Vehicle, own: &Proposal) -> String {
    written(&words::placed(vehicle, own))
}

/// What has to be asked about readings before anything is said about the vehicle.
pub(crate) fn questions(vehicle: &Vehicle, questions: &[Question], asked: &Asked) -> String {
    let mut told = answers::told::Told::default();
    words::questions(&mut told, vehicle, questions);
    render::text(&told, asked)
}

/// A value in the unit of what was measured.
pub(crate) fn value(what: Measured, number: f64) -> String {
    written(&words::value(what, number).into())
}

/// A reading's value as it was told.
pub(crate) fn told(reading: &Reading) -> String {
    written(&words::told(reading))
}

/// A suspect by its name alone.
pub(crate) fn suspect_name(vehicle: &Vehicle, kind: SuspectKind) -> String {
    written(&words::suspect_name(vehicle, kind))
}

/// A suspect in words.
pub(crate) fn suspect(vehicle: &Vehicle, kind: SuspectKind) -> String {
    written(&words::suspect(vehicle, kind))
}

/// The body of metal, or whatever else a point belongs to.
pub(crate) fn body(vehicle: &Vehicle, point: model::PointId) -> String {
    words::body(vehicle, point).to_owned()
}
