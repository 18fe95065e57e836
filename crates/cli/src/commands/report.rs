//! `groundloom report`: a vehicle's answers on one page that opens anywhere and asks nobody.

use std::path::PathBuf;

use garage::Garage;
use serde_json::json;
use server::ReportParts;

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::style::bold;
use crate::written::{For, not_written, path_text, write_new};
use crate::{kept, vehicle_file};

/// One page to hand on: plan, volts, readings, failures, jobs; opens from disk, prints cleanly.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file.
    file: PathBuf,
    /// A file of readings.
    readings: Option<PathBuf>,
    /// Write the page to this file; one that exists is left alone.
    #[arg(long, short)]
    output: PathBuf,
    /// Put remarks and people's names in too; they are left out otherwise.
    #[arg(long)]
    notes: bool,
    /// Put the vehicle file in too.
    #[arg(long)]
    with_file: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    vehicle_file::open(&arguments.file)?.vehicle(asked.width)?;
    let failed = |error: garage::GarageError| Failure(error.to_string());
    let mut garage = Garage::in_memory().map_err(failed)?;
    let vehicle = kept::bring_one(&mut garage, &arguments.file, arguments.readings.as_deref())?;
    let parts = ReportParts { notes: arguments.notes, photos: true, file: arguments.with_file };
    let program = concat!("groundloom ", env!("CARGO_PKG_VERSION"));
    let page = server::report_of(garage, vehicle, program, parts).map_err(|what| {
        Failure::new(what, "a vehicle file without errors, and a program with the page built in")
    })?;
    let path = &arguments.output;
    write_new(path, page.as_bytes(), For::Anybody).map_err(|error| not_written(path, &error))?;
    let notes = if arguments.notes {
        "remarks and names are in it"
    } else {
        "remarks and names are left out"
    };
    let text = format!(
        "{} is written, {} kB; {notes}. Any browser opens it, without a network.\n",
        bold(path.display()),
        page.len().div_ceil(1000)
    );
    let json = json!({ "format": 1, "written": path_text(path), "bytes": page.len(), "notes": arguments.notes });
    Ok(Answer { text, json, exit: Exit::Well })
}
