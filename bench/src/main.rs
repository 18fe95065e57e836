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

    let begin = Moment::now();
    let state = busiest(&vehicle);
    let mut network = Network::new(&vehicle);
    let point = network.operating_point(state);
    let demo = linearised(&network, &point, Open::Nothing).linear;

    let mut table = Table::new();
    // `-- estimation` and `-- failures` ask for that part alone.
    let wanted = std::env::args().nth(1);
    let asked = |part: &str| wanted.as_deref().is_none_or(|own| own == part);
    let known: Vec<f64> = point.all_volts().iter().map(|volts| volts.0).collect();
    if wanted.is_none() {
        questions::reading::measure(&mut table, &bytes);
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
    }
    if asked("failures") {
        questions::failures::measure(&mut table, &vehicle, &demo, &known, &scipy);
    }
    if asked("estimation") {
        questions::estimation::measure(&mut table, root, &vehicle, &scipy);
    }
    if let Some(others) = begin.and_then(taken_by_others) {
        println!("\nOther programs took {others:.0} % of the processors' time.");
    }
    ExitCode::SUCCESS
}

/// Processor and threads, as far as the system tells.
fn machine() -> String {
    let processor = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = processor.lines().find_map(|line| line.strip_prefix("model name\t: "));
    let threads = rayon::current_num_threads();
    format!("{}, {threads} threads", model.unwrap_or("unknown processor"))
}

/// Share of the processors' time since the `earlier` moment that other programs took, in per cent.
fn taken_by_others(earlier: Moment) -> Option<f64> {
    let now = Moment::now()?;
    let others = (now.busy - earlier.busy) - (now.own - earlier.own);
    Some(100.0 * others.max(0.0) / (now.all - earlier.all))
}

/// Clock ticks since the system began, of all processors together.
#[derive(Debug, Clone, Copy)]
struct Moment {
    all: f64,
    busy: f64,
    /// Of this program and of those that it ran.
    own: f64,
}

impl Moment {
    /// Nothing where the system does not tell.
    fn now() -> Option<Self> {
        let numbers = |text: &str| -> Vec<f64> {
            text.split_whitespace().filter_map(|word| word.parse().ok()).collect()
        };
        let system = std::fs::read_to_string("/proc/stat").ok()?;
        let counts = numbers(system.lines().next()?);
        let all = counts.iter().take(8).sum::<f64>();
        let idle = counts.get(3)? + counts.get(4)?;
        let own = std::fs::read_to_string("/proc/self/stat").ok()?;
        // After the name in brackets and the state, which is a letter: fields 14 to 17 of proc(5).
        let own = numbers(own.rsplit_once(')')?.1).get(10..14)?.iter().sum();
        Some(Self { all, busy: all - idle, own })
    }
}
