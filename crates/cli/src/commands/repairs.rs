//! `groundloom repairs`: what is worth doing, ranked by volts gained for a minute of work.

use std::fmt::Write;
use std::path::PathBuf;

use diagnosis::{Action, Repair};
use model::Vehicle;
use serde_json::{Value, json};
use units::{Ratio, UnitSystem, print};

use crate::answer::{Answer, Asked, Failure};
use crate::measuring::{self, Source, Weighed};
use crate::option::at_least_one;
use crate::style::{bold, dim, wrapped};
use crate::table::{Column, table};
use crate::vehicle_file;

/// Repairs and additions ranked by what they gain for a minute of work.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file.
    file: PathBuf,
    #[command(flatten)]
    source: Source,
    /// How many to show.
    #[arg(long, default_value_t = 8, value_parser = at_least_one)]
    most: usize,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let Weighed { vehicle, taken, mut session, diagnosis, .. } =
        measuring::weighed(&opened, &arguments.source, asked)?;
    let mut repairs = session.repairs(&diagnosis, taken.complaint);
    repairs.truncate(arguments.most);
    let mut text = taken.problems.clone();
    let _ = writeln!(text, "{}: what is worth doing\n", bold(&vehicle.name));
    let rows = repairs
        .iter()
        .map(|own| {
            vec![
                action(vehicle, own.action, asked.units),
                format!("{} at {}", print::loss(own.best.volts), vehicle.load(own.best.load).id),
                vehicle.state(own.best.state).id.clone(),
                print::percent(Ratio(own.helps)),
                print::duration(own.time),
            ]
        })
        .collect();
    let columns = [
        Column::Left("do"),
        Column::Right("expected gain"),
        Column::Left("while"),
        Column::Right("helps"),
        Column::Right("work"),
    ];
    let _ = writeln!(text, "{}", table(&columns, rows, asked.width));
    if let Some(first) = repairs.first() {
        for (load, state, volts) in &first.still_short {
            let _ = writeln!(
                text,
                "after the first, {} while {} would still be short: {}",
                vehicle.load(*load).id,
                vehicle.state(*state).name,
                print::volts(*volts)
            );
        }
    }
    let _ = writeln!(
        text,
        "{}",
        dim(wrapped(
            "Gains are expected values over what the readings leave possible; minutes are our judgement unless the file gives access times. Clean: bare bright metal, the maker's torque, protection afterwards; negative off first and on last, after the maker's wait. Take the same reading again when it is done.",
            asked.width,
            0
        ))
    );
    let json = json!({ "format": 1, "repairs": repairs.iter().map(|own| repair_json(vehicle, own)).collect::<Vec<_>>(), "problems": taken.problems_json });
    Ok(Answer { text, json, exit: taken.exit() })
}

fn action(vehicle: &Vehicle, action: Action, units: UnitSystem) -> String {
    match action {
        Action::Clean(id) => {
            let joint = vehicle.joint(id);
            let torque = joint
                .torque
                .map_or_else(String::new, |torque| format!(" to {}", units.torque(torque)));
            format!("clean and tighten {}{torque}", joint.id)
        }
        Action::Replace(id) => format!("replace {} with its ends", vehicle.conductor(id).id),
        Action::Add { from, to, length, .. } => format!(
            "add {} of 25 mm² from {} to {}",
            units.length(length),
            vehicle.point(from).id,
            vehicle.point(to).id
        ),
    }
}

fn repair_json(vehicle: &Vehicle, own: &Repair) -> Value {
    let what = match own.action {
        Action::Clean(id) => json!({ "clean": vehicle.joint(id).id }),
        Action::Replace(id) => json!({ "replace": vehicle.conductor(id).id }),
        Action::Add { from, to, length, ohms } => json!({
            "add": { "from": vehicle.point(from).id, "to": vehicle.point(to).id, "metres": length.0, "ohms": ohms.0 },
        }),
    };
    json!({
        "action": what,
        "load": vehicle.load(own.best.load).id,
        "state": vehicle.state(own.best.state).id,
        "gain_volts": own.best.volts.0,
        "helps": own.helps,
        "seconds": own.time.0,
        "gains": own.gains.iter().map(|gain| json!({
            "load": vehicle.load(gain.load).id, "state": vehicle.state(gain.state).id,
            "volts": gain.volts.0, "after_volts": gain.after.0,
        })).collect::<Vec<_>>(),
        "still_short": own.still_short.iter().map(|(load, state, volts)| json!({
            "load": vehicle.load(*load).id, "state": vehicle.state(*state).id, "volts": volts.0,
        })).collect::<Vec<_>>(),
    })
}
