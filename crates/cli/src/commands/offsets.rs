//! `groundloom offsets`: who lifts whose ground, by how much, and through which shared piece.

use std::fmt::Write;
use std::path::PathBuf;

use answers::ask::MOST_PAIRS;
use answers::offsets::{GroundOffsets, OffsetsState};
use model::{LoadId, LoadKind, StateId, Vehicle};
use network::{Network, Offset, Offsets};
use units::{Ohms, Volts, print};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::commands::solve::state_words;
use crate::names;
use crate::option::{Options, whole_number};
use crate::style::{bold, dim, wrapped};
use crate::vehicle_file;

/// Lifts below this are not worth a line in text.
const LEAST_LIFT: Volts = Volts(1e-4);

/// By how many millivolts each load's current lifts every other one's ground.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// The operating state; all that the file has when left out.
    #[arg(long)]
    state: Option<String>,
    /// Only what lifts the ground of this load; may be given several times.
    #[arg(long = "load")]
    loads: Vec<String>,
    /// Lines for each lifted load, the largest lifts first.
    #[arg(long, default_value_t = 3, value_parser = whole_number::<usize>)]
    causes: usize,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let mut options = Options::default();
    let states = options.keep(vehicle_file::states(vehicle, arguments.state.as_deref()));
    let victims: Vec<LoadId> = arguments
        .loads
        .iter()
        .filter_map(|name| options.keep(vehicle_file::load(vehicle, name)))
        .collect();
    let (Some(states), true) = (states, options.all_right()) else {
        return Err(options.failure());
    };
    let asked_for = if victims.is_empty() { vehicle.loads.len() } else { victims.len() };
    if asked_for.saturating_mul(vehicle.loads.len()) > MOST_PAIRS {
        return Err(Failure::new(
            format!("{} loads make {} pairs", vehicle.loads.len(), asked_for * vehicle.loads.len()),
            "the loads that matter, each with `--load NAME`",
        ));
    }
    let mut network = Network::new(vehicle);
    let (mut text, mut all) = (String::new(), Vec::new());
    for state in states {
        let point = network.operating_point(state);
        let offsets = network.offsets(&point, &[], &victims);
        offsets_text(&mut text, vehicle, state, &offsets, arguments.causes, asked);
        all.push(OffsetsState {
            state: vehicle.state(state).id.clone(),
            offsets: answers::offsets::of(vehicle, &offsets),
        });
    }
    let offsets = GroundOffsets { format: answers::FORMAT, states: all };
    Ok(Answer { text, json: json(&offsets), exit: Exit::Well })
}

/// Lifted loads that are on or whose ground is a reference, references first, then by total lift.
fn in_order(vehicle: &Vehicle, state: StateId, offsets: &Offsets) -> Vec<(LoadId, Vec<Offset>)> {
    let reference =
        |id: LoadId| matches!(vehicle.load(id).kind, LoadKind::Module | LoadKind::Sensor);
    let mut lifted: Vec<(LoadId, Vec<Offset>)> = offsets
        .victims
        .iter()
        .map(|victim| {
            let mut own: Vec<Offset> = offsets
                .entries
                .iter()
                .filter(|entry| {
                    entry.victim == *victim
                        && entry.cause != *victim
                        && entry.lift.abs() > LEAST_LIFT
                })
                .copied()
                .collect();
            own.sort_by(|a, b| b.lift.0.abs().total_cmp(&a.lift.0.abs()));
            (*victim, own)
        })
        .filter(|(victim, own)| {
            !own.is_empty() && (reference(*victim) || vehicle.load(*victim).is_on_in(state))
        })
        .collect();
    let reference =
        |id: LoadId| matches!(vehicle.load(id).kind, LoadKind::Module | LoadKind::Sensor);
    lifted.sort_by(|a, b| {
        let total = |own: &[Offset]| own.iter().map(|entry| entry.lift.0).sum::<f64>().abs();
        reference(b.0).cmp(&reference(a.0)).then(total(&b.1).total_cmp(&total(&a.1)))
    });
    lifted
}

fn offsets_text(
    text: &mut String,
    vehicle: &Vehicle,
    state: StateId,
    offsets: &Offsets,
    causes: usize,
    asked: &Asked,
) {
    let _ = writeln!(
        text,
        "{} · {}: grounds lifted\n",
        bold(&vehicle.name),
        bold(state_words(vehicle, state))
    );
    let lifted = in_order(vehicle, state, offsets);
    if lifted.is_empty() {
        text.push_str("no load lifts another one's ground by more than 0.1 mV\n\n");
        return;
    }
    for (victim, own) in &lifted {
        let total: Volts = own.iter().map(|entry| entry.lift).sum();
        let subject = vehicle.load(*victim);
        let name = format!("{} ({})", subject.id, subject.kind.word());
        let _ = writeln!(text, "{:>9}  {}", print::loss(total), bold(name));
        for entry in own.iter().take(causes) {
            let blame = entry.blame.map_or_else(String::new, |(piece, volts)| {
                let name = names::piece(vehicle, piece);
                let name = name.split(" (").next().unwrap_or_default();
                format!("{} of it in {name}", print::loss(volts))
            });
            let _ = writeln!(
                text,
                "{:>13}  {}",
                print::loss(entry.lift),
                wrapped(
                    &format!(
                        "by {}, {} per ampere; {blame}",
                        vehicle.load(entry.cause).id,
                        per_ampere(entry.per_ampere)
                    ),
                    asked.width.saturating_sub(15),
                    15
                )
            );
        }
    }
    let _ = writeln!(
        text,
        "\n{}\n",
        dim(wrapped(
            "lift: rise of a load's own ground against the earthed post of its battery, by all other loads together and by the largest of them; modules and sensors first; `--causes N` shows more",
            asked.width,
            0
        ))
    );
}

fn per_ampere(ohms: Ohms) -> String {
    format!("{} mV", print::fixed(ohms.0 * 1e3, 3))
}
