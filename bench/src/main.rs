//! How long Groundloom takes, beside general-purpose peers on the same matrices in the same run.
#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "reads the example and the clock, and reports on the terminal"
)]

mod timer;
mod table;
mod linear;
mod generated;
mod demo;
mod peers;
mod questions;

use std::path::Path;
use std::process::ExitCode;

use network::Network;

use demo::{Open, busiest, linearised};
use peers::scipy::Scipy;
use peers::suitesparse;
use table::Table;

const EXAMPLE: &str = "examples/rescue-ambulance.toml";

fn main() -> ExitCode {
    let bench = Path::new(env!("CARGO_MANIFEST_DIR"));
    let root = bench.parent().unwrap_or(bench);
    let bytes = match std::fs::read(root.join(EXAMPLE)) {
        Ok(bytes) => bytes,
        Err(error) => {
            println!("{EXAMPLE}: {error}");
            return ExitCode::FAILURE;
        }
    };
    let reading = file::read(&bytes);
    let Some(vehicle) = reading.vehicle else {
        println!("{EXAMPLE} has errors: `groundloom check {EXAMPLE}` tells them");
        return ExitCode::FAILURE;
    };
    let scipy = Scipy::new(root);
    println!("{}", machine());
    println!("{}", suitesparse::versions().unwrap_or_else(|| "SuiteSparse not here".to_owned()));
    println!("{}\n", scipy.versions());

    let state = busiest(&vehicle);
    let mut network = Network::new(&vehicle);
    let point = network.operating_point(state);
    let demo = linearised(&network, &point, Open::Nothing).linear;

    let mut table = Table::new();
    questions::reading::measure(&mut table, &bytes);
    let known: Vec<f64> = point.all_volts().iter().map(|volts| volts.0).collect();
    questions::refactor::measure(&mut table, "demo", &demo, Some(&known), Some(8e-6), &scipy);
    let tree = generated::tree_with_loops(200, 20, 40);
    questions::refactor::measure(&mut table, "generated tree", &tree, None, None, &scipy);
    questions::states::measure(&mut table, &vehicle, state);
    questions::what_if::measure(&mut table, &vehicle, state);
    questions::draws::measure(&mut table, &vehicle, state);
    let sheet = generated::sheet(400, 250);
    questions::large::measure(&mut table, "generated sheet, 400 by 250", &sheet, &scipy);
    let long = generated::bonded_tree(100_000);
    let branches = long.branches.len();
    let name = format!("generated long tree with {} loops", branches + 1 - long.n);
    questions::large::measure(&mut table, &name, &long, &scipy);
    ExitCode::SUCCESS
}

/// Processor, threads and load at the beginning, as far as the system tells.
fn machine() -> String {
    let processor = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = processor.lines().find_map(|line| line.strip_prefix("model name\t: "));
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    format!(
        "{}, {} threads, load in the minute before {}",
        model.unwrap_or("unknown processor"),
        rayon::current_num_threads(),
        load.split(' ').next().unwrap_or("unknown")
    )
}
