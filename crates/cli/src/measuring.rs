//! Readings, suspects and probes in words, shared by `diagnose`, `next` and `repairs`.

use std::path::PathBuf;

use answers::ask::{Weighed as Weights, weigh};
use answers::earlier::{Earlier, EarlierReading, part};
use diagnosis::{
    Complaint, Diagnosis, Doubt, Observation, Proposal, Question, Session, SuspectKind,
};
use file::readings::Readings;
use model::{Measured, Probe, Problem, Reading, Severity, Told, Vehicle};
use units::{Amperes, Volts, print};

use crate::answer::{Asked, Exit, Failure};
use crate::names;
use crate::option::Options;
use crate::problems::rendered;
use crate::style::{warning, wrapped};
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
    let mut text = String::new();
    let mut works: Vec<(&EarlierReading, Vec<String>)> = Vec::new();
    for own in &earlier.left_out {
        let number = own.number.to_string();
        match works.iter_mut().find(|(known, _)| known.on == own.on && known.date == own.date) {
            Some((_, numbers)) => numbers.push(number),
            None => works.push((own, vec![number])),
        }
    }
    for (own, numbers) in works {
        let date = own.date.as_ref().map_or_else(String::new, |date| format!(" of {date}"));
        let (which, were) = match numbers.as_slice() {
            [only] => (format!("reading {only}"), "was"),
            several => (format!("readings {}", several.join(", ")), "were"),
        };
        let words = format!(
            "{which} {were} taken before the work on {}{date}: kept, and not weighed with those after it.",
            own.on
        );
        text.push_str(&wrapped(&words, asked.width, 2));
        text.push('\n');
    }
    for own in &earlier.same_day {
        let words = format!(
            "reading {} was taken on the day of the work on {} and is weighed; if it is from before it, say so in a column `before`.",
            own.number, own.on
        );
        text.push_str(&wrapped(&words, asked.width, 2));
        text.push('\n');
    }
    text
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

/// A probe's place in words.
pub(crate) fn probe(vehicle: &Vehicle, probe: Probe) -> String {
    match probe {
        Probe::Point(id) => vehicle.point(id).id.clone(),
        Probe::Lug(id) => format!("the lug of {}", vehicle.joint(id).id),
    }
}

/// A probe as written in a readings file.
pub(crate) fn probe_name(vehicle: &Vehicle, probe: Probe) -> String {
    match probe {
        Probe::Point(id) => vehicle.point(id).id.clone(),
        Probe::Lug(id) => vehicle.joint(id).id.clone(),
    }
}

/// Where the leads of a meter go.
pub(crate) fn probes(vehicle: &Vehicle, what: Measured) -> String {
    match what {
        Measured::Volts { high, low } => {
            format!("red on {}, black on {}", probe(vehicle, high), probe(vehicle, low))
        }
        other => measured(vehicle, other),
    }
}

/// What was or is to be measured.
pub(crate) fn measured(vehicle: &Vehicle, measured: Measured) -> String {
    match measured {
        Measured::Volts { high, low } => {
            format!("{} to {}", probe(vehicle, high), probe(vehicle, low))
        }
        Measured::Amps { conductor } => format!("clamp round {}", vehicle.conductor(conductor).id),
        Measured::Ohms { from, to } => {
            format!("ohms from {} to {}", probe(vehicle, from), probe(vehicle, to))
        }
        Measured::JumpLead { from, to, load } => format!(
            "jump lead from {} to {}, watching {}",
            vehicle.point(from).id,
            vehicle.point(to).id,
            vehicle.load(load).id
        ),
        Measured::Moved { joint } => format!("pushing on {}", vehicle.joint(joint).id),
    }
}

/// Where the leads or the clamp go for a reading that is proposed.
pub(crate) fn placed(vehicle: &Vehicle, own: &Proposal) -> String {
    match own.measured {
        Measured::Volts { high, low } => {
            format!("red on {}, black on {}", probe(vehicle, high), probe(vehicle, low))
        }
        Measured::Amps { conductor } => format!(
            "{}, its arrow towards {}",
            measured(vehicle, own.measured),
            answers::next::arrow(vehicle, own, conductor)
        ),
        other => measured(vehicle, other),
    }
}

/// What has to be asked about readings before anything is said about the vehicle; what cannot be has its
/// warning in the line already.
pub(crate) fn questions(vehicle: &Vehicle, questions: &[Question], asked: &Asked) -> String {
    let mut text = String::new();
    for own in questions {
        if matches!(own.doubt, Doubt::Beyond(_) | Doubt::BeyondBatteries(_) | Doubt::Reversed(_)) {
            continue;
        }
        let own = answers::question::of(vehicle, own);
        let words =
            format!("Reading {}: {} As it stands {}.", own.number, own.question, own.answer);
        text.push_str(&format!("{}\n\n", warning(wrapped(&words, asked.width, 0))));
    }
    text
}

/// A value in the unit of what was measured.
pub(crate) fn value(what: Measured, number: f64) -> String {
    if number.is_nan() {
        return "unknown".to_owned();
    }
    match what {
        Measured::Amps { .. } => print::amperes(Amperes(number)),
        _ => print::loss(Volts(number)),
    }
}

/// A reading's value as it was told.
pub(crate) fn told(reading: &Reading) -> String {
    let one = |number: f64| value(reading.measured, number);
    match reading.told {
        Told::Value(number) => one(number),
        Told::Between(low, high) => format!("{} to {}", one(low), one(high)),
        Told::About(number) => format!("about {}", one(number)),
        Told::Nothing => "no drop".to_owned(),
        Told::Held(number) => format!("{} held", one(number)),
        Told::Gauge(number) => format!("{} by a gauge", one(number)),
        Told::Change(change) if change > 0 => "better".to_owned(),
        Told::Change(0) => "the same".to_owned(),
        Told::Change(_) => "worse".to_owned(),
    }
}

/// A suspect by its name alone.
pub(crate) fn suspect_name(vehicle: &Vehicle, kind: SuspectKind) -> String {
    match kind {
        SuspectKind::Joint(id) => vehicle.joint(id).id.clone(),
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => vehicle.conductor(id).id.clone(),
        SuspectKind::Inline(id) => vehicle.inline(id).id.clone(),
        SuspectKind::LoadDrags(id) | SuspectKind::LoadOpen(id) => vehicle.load(id).id.clone(),
        SuspectKind::BatteryLow(id) | SuspectKind::BatteryWorn(id) => {
            vehicle.battery(id).id.clone()
        }
        SuspectKind::SourceLow(id) => vehicle.regulated_source(id).id.clone(),
        SuspectKind::ExtraPath { .. } => suspect(vehicle, kind),
    }
}

/// A suspect in words.
pub(crate) fn suspect(vehicle: &Vehicle, kind: SuspectKind) -> String {
    match kind {
        SuspectKind::Joint(id) => names::piece(vehicle, model::Piece::Joint(id)),
        SuspectKind::Conductor(id) => format!("{}, rotten inside", vehicle.conductor(id).id),
        SuspectKind::Open(id) => format!("{}, open or not there", vehicle.conductor(id).id),
        SuspectKind::Inline(id) => {
            format!("{} ({})", vehicle.inline(id).id, vehicle.inline(id).make)
        }
        SuspectKind::LoadDrags(id) => format!("{} draws too much", vehicle.load(id).id),
        SuspectKind::LoadOpen(id) => format!("{} draws next to nothing", vehicle.load(id).id),
        SuspectKind::BatteryLow(id) => format!("{} is low", battery(&vehicle.battery(id).id)),
        SuspectKind::BatteryWorn(id) => format!("{} is worn", battery(&vehicle.battery(id).id)),
        SuspectKind::SourceLow(id) => {
            format!("{} holds too low a voltage or gives nothing", vehicle.regulated_source(id).id)
        }
        SuspectKind::ExtraPath { from, to } => format!(
            "a path that the file does not show, between {} and {}",
            body(vehicle, from),
            body(vehicle, to)
        ),
    }
}

/// A battery's name, which may say already what it is.
fn battery(id: &str) -> String {
    if id.contains("battery") { id.to_owned() } else { format!("battery {id}") }
}

/// The body of metal, or whatever else a point belongs to.
pub(crate) fn body(vehicle: &Vehicle, point: model::PointId) -> String {
    let id = &vehicle.point(point).id;
    id.split('/').next().unwrap_or(id).to_owned()
}
