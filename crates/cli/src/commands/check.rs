//! `groundloom check`: what is wrong with a file, what is in it, and what was filled in.

use std::fmt::Write;
use std::path::PathBuf;

use catalogue::Confidence;
use model::{InlineKind, Vehicle};
use units::{Metres, print};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::style::{bold, dim, warning, wrapped};
use crate::table::{Column, table};
use crate::vehicle_file;

/// Diagnostics of a vehicle file and a one-screen inventory.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// List every value that was filled in, and why.
    #[arg(long)]
    defaults: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let mut text = opened.problems(asked.width);
    let vehicle = opened.reading.vehicle.as_ref();
    if let Some(vehicle) = vehicle {
        if !text.is_empty() {
            text.push('\n');
        }
        inventory(&mut text, vehicle, asked);
        if arguments.defaults {
            defaults(&mut text, vehicle, asked);
        } else if !vehicle.filled.is_empty() {
            let _ = writeln!(
                text,
                "{}",
                dim(format!(
                    "{} values were filled in; `--defaults` lists each with its reason",
                    vehicle.filled.len()
                ))
            );
        }
    }
    let exit = if opened.reading.errors() > 0 { Exit::Finding } else { Exit::Well };
    let json = json(&answers::check::of(&opened.reading, &opened.text));
    Ok(Answer { text, json, exit })
}

fn inventory(text: &mut String, vehicle: &Vehicle, asked: &Asked) {
    let earth = if vehicle.earth == model::Earth::Negative { "negative" } else { "positive" };
    let _ = writeln!(
        text,
        "{} · {} · {earth} earth · {}\n",
        bold(&vehicle.name),
        print::volts(vehicle.nominal).replace(".00", ""),
        vehicle.environment
    );
    let length: Metres = vehicle.conductors.iter().filter_map(|conductor| conductor.length).sum();
    let off_diagram: Vec<&str> = vehicle
        .conductors
        .iter()
        .filter(|conductor| !conductor.on_diagram)
        .map(|conductor| conductor.id.as_str())
        .collect();
    let stated = vehicle.joints.iter().filter(|joint| joint.stated).count();
    let torqued = vehicle.joints.iter().filter(|joint| joint.torque.is_some()).count();
    let of = |kind: fn(&InlineKind) -> bool| {
        vehicle.inlines.iter().filter(|part| kind(&part.kind)).count()
    };
    let mut rows = vec![
        vec![
            "points".to_owned(),
            vehicle.points.len().to_string(),
            list(vehicle.structures.iter().map(|s| s.id.as_str()), "on "),
        ],
        vec![
            "conductors".to_owned(),
            vehicle.conductors.len().to_string(),
            format!(
                "{}; not on the diagram: {}",
                if length > Metres::ZERO {
                    format!("{} in all", asked.units.length(length))
                } else {
                    "no lengths known".to_owned()
                },
                if off_diagram.is_empty() { "none".to_owned() } else { off_diagram.join(", ") }
            ),
        ],
        vec![
            "joints".to_owned(),
            vehicle.joints.len().to_string(),
            format!("{stated} with a stated resistance, {torqued} with a torque"),
        ],
        vec![
            "incidental paths".to_owned(),
            vehicle.incidentals.len().to_string(),
            list(vehicle.incidentals.iter().map(|p| p.id.as_str()), ""),
        ],
        vec![
            "fuses, switches, diodes".to_owned(),
            format!(
                "{}, {}, {}",
                of(|kind| matches!(kind, InlineKind::Fuse { .. })),
                of(|kind| matches!(kind, InlineKind::Switch { .. })),
                of(|kind| matches!(kind, InlineKind::Diode { .. }))
            ),
            String::new(),
        ],
        vec![
            "batteries".to_owned(),
            vehicle.batteries.len().to_string(),
            list(vehicle.batteries.iter().map(|b| b.id.as_str()), ""),
        ],
        vec![
            "other sources".to_owned(),
            vehicle.regulated.len().to_string(),
            list(vehicle.regulated.iter().map(|s| s.id.as_str()), ""),
        ],
        vec![
            "loads".to_owned(),
            vehicle.loads.len().to_string(),
            list(vehicle.loads.iter().map(|l| l.id.as_str()), ""),
        ],
        vec![
            "states".to_owned(),
            vehicle.states.len().to_string(),
            list(vehicle.states.iter().map(|s| s.id.as_str()), ""),
        ],
    ];
    if !vehicle.work.is_empty() {
        rows.push(vec!["work noted".to_owned(), vehicle.work.len().to_string(), String::new()]);
    }
    let columns = [Column::Left(""), Column::Right("number"), Column::Left("")];
    let _ = writeln!(text, "{}", table(&columns, rows, asked.width));
    let unconfirmed = unconfirmed(vehicle);
    if !unconfirmed.is_empty() {
        let line = format!(
            "resting on values that no published source confirms: {}; `groundloom catalogue` shows each with its source",
            unconfirmed.join(", ")
        );
        let _ = writeln!(
            text,
            "{} {}\n",
            warning("unconfirmed:"),
            wrapped(&line, asked.width.saturating_sub(14), 2)
        );
    }
}

fn list<'n>(names: impl Iterator<Item = &'n str>, lead: &str) -> String {
    let names: Vec<&str> = names.collect();
    if names.is_empty() {
        return String::new();
    }
    let shown = names.iter().take(8).copied().collect::<Vec<_>>().join(", ");
    if names.len() > 8 {
        format!("{lead}{shown} and {} more", names.len() - 8)
    } else {
        format!("{lead}{shown}")
    }
}

/// Catalogue rows that this vehicle uses and that are unconfirmed or only practice.
fn unconfirmed(vehicle: &Vehicle) -> Vec<String> {
    let weak = |confidence: Confidence| {
        matches!(confidence, Confidence::Unconfirmed | Confidence::CommonPractice)
    };
    let mut words = Vec::new();
    let mut note = |word: String| {
        if !words.contains(&word) {
            words.push(word);
        }
    };
    for joint in vehicle.joints.iter().filter(|joint| !joint.stated) {
        if weak(joint.kind.provenance.confidence) {
            note(format!("clean resistance of a {}", joint.kind));
        }
    }
    for path in &vehicle.incidentals {
        if weak(path.kind.provenance.confidence) {
            note("resistance of incidental paths".to_owned());
        }
    }
    for filled in &vehicle.filled {
        if filled.key.ends_with(".resistance") && filled.why.contains("from memory") {
            note("resistance of fuses and batteries".to_owned());
        }
    }
    words
}

fn defaults(text: &mut String, vehicle: &Vehicle, asked: &Asked) {
    let rows = vehicle
        .filled
        .iter()
        .map(|filled| vec![filled.key.clone(), filled.value.clone(), filled.why.clone()])
        .collect();
    let columns = [Column::Left("left out"), Column::Left("taken"), Column::Left("because")];
    let _ = writeln!(text, "{}", table(&columns, rows, asked.width));
}
