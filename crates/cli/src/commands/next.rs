//! `groundloom next`: the reading that tells most per minute, and what each outcome would mean.

use std::fmt::Write;
use std::path::PathBuf;

use answers::arguments::at_least_one;
use diagnosis::{Practice, Proposal, Session, SuspectKind};
use model::{Measured, Vehicle};
use units::print;

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::measuring::{self, Source, Weighed};
use crate::names;
use crate::option::Options;
use crate::render;
use crate::style::{bold, dim, wrapped};
use crate::vehicle_file;

/// What to measure next, or a whole first plan for a vehicle that nobody has measured.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file.
    file: PathBuf,
    #[command(flatten)]
    source: Source,
    /// How many readings to propose.
    #[arg(long, default_value_t = 3, value_parser = at_least_one)]
    most: usize,
    /// Nobody helps: what is cranked is read where both probes are within reach.
    #[arg(long)]
    alone: bool,
    /// A state that cannot be had, such as cranking; may be given several times.
    #[arg(long, value_name = "STATE")]
    without: Vec<String>,
    /// A cover that is off already, by the name of its access group; may be given several times.
    #[arg(long, value_name = "GROUP")]
    open: Vec<String>,
    /// A first plan of readings on the shared feed and return, to print and fill in.
    #[arg(long)]
    plan: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let practice = practice(arguments, opened.vehicle(asked.width)?)?;
    if arguments.plan {
        let vehicle = opened.vehicle(asked.width)?;
        let mut session = Session::new(vehicle);
        session.practise(practice);
        let plan = session.survey(arguments.most.max(20));
        let json = json(&answers::next::plan_of(vehicle, &plan));
        return Ok(Answer { text: sheet(vehicle, &plan, asked), json, exit: Exit::Well });
    }
    let Weighed { vehicle, taken, seen, questions, mut session, diagnosis } =
        measuring::weighed(&opened, &arguments.source, asked)?;
    session.practise(practice);
    let mut proposals = session.next(&diagnosis, &seen, taken.complaint);
    proposals.truncate(arguments.most);
    let mut text = taken.problems.clone();
    let _ = writeln!(text, "{}\n", bold(&vehicle.name));
    text.push_str(&measuring::questions(vehicle, &questions, asked));
    // That nothing is wrong is not said where something keeps the vehicle from being called cleared.
    let holds = session.holds(&diagnosis, &seen, taken.complaint.map(|own| own.load));
    if diagnosis.surer_than(0.95) && (holds.is_empty() || diagnosis.nothing_bad < 0.5) {
        text.push_str(&wrapped(
            "The readings at hand say enough: `groundloom diagnose` names what they point to. Further readings would only confirm it:\n",
            asked.width,
            0,
        ));
        text.push_str("\n\n");
    }
    for (rank, own) in proposals.iter().enumerate() {
        proposal_text(&mut text, vehicle, rank + 1, own, asked);
    }
    caution(&mut text, vehicle, &proposals, asked);
    let exit = taken.exit();
    let json = json(&answers::next::next_of(vehicle, &proposals, taken.told, &questions));
    Ok(Answer { text, json, exit })
}

/// What can be had, with every name that the vehicle lacks told at once.
fn practice(arguments: &Arguments, vehicle: &Vehicle) -> Result<Practice, Failure> {
    let mut options = Options::default();
    let without = arguments
        .without
        .iter()
        .filter_map(|name| options.keep(vehicle_file::state(vehicle, name)))
        .collect();
    let open = arguments
        .open
        .iter()
        .filter_map(|name| options.keep(vehicle_file::access_group(vehicle, name)))
        .collect();
    if !options.all_right() {
        return Err(options.failure());
    }
    Ok(Practice { alone: arguments.alone, without, open })
}

fn proposal_text(text: &mut String, vehicle: &Vehicle, rank: usize, own: &Proposal, asked: &Asked) {
    let state = vehicle.state(own.state);
    let place = measuring::placed(vehicle, own);
    let _ = writeln!(text, "{}", bold(format!("{rank}. {}, {}", place, state.name)));
    let _ = writeln!(
        text,
        "   a sound vehicle shows {}; about {} of work",
        measuring::value(own.measured, own.sound),
        print::duration(own.time)
    );
    if let Some(why) = own.why {
        let words = format!("engine running: {}", answers::next::why_running(why));
        let _ = writeln!(text, "   {}", wrapped(&words, asked.width.saturating_sub(5), 5));
    }
    // The two outcomes that tell most apart.
    let mut outcomes: Vec<(String, f64, f64)> = Vec::new();
    for (faults, value, weight) in &own.outcomes {
        let words = if faults.is_empty() {
            "nothing here is wrong".to_owned()
        } else {
            faults.iter().map(|kind| short(vehicle, *kind)).collect::<Vec<_>>().join(" and ")
        };
        match outcomes
            .iter_mut()
            .find(|(_, known, _)| (known.abs() - value.abs()).abs() < 0.03 * value.abs() + 0.004)
        {
            Some((known, _, sum)) => {
                if !known.contains(&words) && known.len() < 90 {
                    known.push_str(", or ");
                    known.push_str(&words);
                }
                *sum += weight;
            }
            None => outcomes.push((words, *value, *weight)),
        }
    }
    for (words, value, _) in outcomes.iter().take(4) {
        let line = format!("near {}: {words}", measuring::value(own.measured, *value));
        let _ = writeln!(text, "   {}", wrapped(&line, asked.width.saturating_sub(5), 5));
    }
    let _ = writeln!(text, "   {}\n", dim(format!("as a reading: {}", line_to_type(vehicle, own))));
}

pub(crate) fn short(vehicle: &Vehicle, kind: SuspectKind) -> String {
    names::written(&answers::told::measuring::short(vehicle, kind))
}

/// The reading as a person would type it, its value left open.
pub(crate) fn line_to_type(vehicle: &Vehicle, own: &Proposal) -> String {
    names::written(&answers::told::measuring::line_to_type(vehicle, own))
}

pub(crate) fn caution(text: &mut String, vehicle: &Vehicle, proposals: &[Proposal], asked: &Asked) {
    let mut told = answers::told::Told::default();
    answers::told::measuring::caution(&mut told, vehicle, proposals);
    text.push_str(&render::text(&told, asked));
}

/// A sheet to print and take along.
fn sheet(vehicle: &Vehicle, plan: &[Proposal], asked: &Asked) -> String {
    let mut text = format!("{}: first readings\n", bold(&vehicle.name));
    let words = "red lead, then black lead; of a clamp its arrow points to the place behind →, so that a sound vehicle shows no minus";
    let _ = writeln!(text, "{}\n", dim(wrapped(words, asked.width, 0)));
    let mut state = None;
    for (number, own) in plan.iter().enumerate() {
        if state != Some(own.state) {
            state = Some(own.state);
            let _ = writeln!(text, "{}", bold(&vehicle.state(own.state).name));
        }
        let (first, second, unit) = match own.measured {
            Measured::Volts { high, low } => {
                let [red, black] = [high, low].map(|own| measuring::probe_name(vehicle, own));
                (red, black, "V")
            }
            Measured::Amps { conductor } => (
                format!("clamp {}", vehicle.conductor(conductor).id),
                format!("→ {}", answers::next::arrow(vehicle, own, conductor)),
                "A",
            ),
            other => (measuring::measured(vehicle, other), String::new(), ""),
        };
        let _ = writeln!(
            text,
            "  {:>2}  {first:<28} {second:<28} sound {:>8}  ______ {unit}",
            number + 1,
            measuring::value(own.measured, own.sound)
        );
        if let Some(why) = own.why {
            let words = format!("engine running: {}", answers::next::why_running(why));
            let _ =
                writeln!(text, "      {}", dim(wrapped(&words, asked.width.saturating_sub(6), 6)));
        }
    }
    text.push('\n');
    caution(&mut text, vehicle, plan, asked);
    text
}
