//! `trials`: how often diagnosis is right on random vehicles, as a table.

use std::io::Write;
use std::process::ExitCode;

use clap::Parser;
use trials::dice::Dice;
use trials::run::Case;
use trials::scenario::{self, One, Outcomes};
use trials::table::{self, Row, SCENARIOS};
use trials::vehicle;

/// How often diagnosis is right on random vehicles with hidden faults.
#[derive(Parser, Debug)]
#[command(name = "trials", after_help = "Exit status: 0 every figure is met; 1 one is not.")]
struct Arguments {
    /// Vehicles for each scenario.
    #[arg(long, default_value_t = 500)]
    vehicles: u64,
    /// One scenario only.
    #[arg(long, value_parser = clap::builder::PossibleValuesParser::new(SCENARIOS))]
    scenario: Option<String>,
    /// Where chance begins; the same seed gives the same table.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Also print what was hidden and what was said where the answer was wrong.
    #[arg(long)]
    failures: bool,
    /// Tell every step of the examination of the vehicle with this number, and stop.
    #[arg(long, requires = "scenario")]
    walk: Option<u64>,
    /// Print the file of the vehicle with this number in the scenario, and stop.
    #[arg(long, requires = "scenario")]
    file: Option<u64>,
}

fn main() -> ExitCode {
    match told(&Arguments::parse(), &mut std::io::stdout().lock()) {
        Ok(true) => ExitCode::SUCCESS,
        // A closed pipe is nobody's fault.
        Ok(false) | Err(_) => ExitCode::FAILURE,
    }
}

/// Prints everything; true when every figure is met.
fn told(arguments: &Arguments, out: &mut impl Write) -> std::io::Result<bool> {
    if let (Some(number), Some(scenario)) = (arguments.file, &arguments.scenario) {
        let mut dice = Dice::new(arguments.seed, scenario, number);
        if let Some(subject) = vehicle::draw(&mut dice) {
            write!(out, "{}", subject.text)?;
        }
        return Ok(true);
    }
    if let (Some(number), Some(name)) = (arguments.walk, &arguments.scenario) {
        let case = Case { seed: arguments.seed, number, told: true };
        let words = scenario_of(name)(case).map(|own| own.words);
        writeln!(out, "{}", words.unwrap_or_else(|| "left out".to_owned()))?;
        return Ok(true);
    }
    writeln!(out, "{} vehicles for each scenario, seed {}", arguments.vehicles, arguments.seed)?;
    for line in table::assumptions() {
        writeln!(out, "- {line}")?;
    }
    writeln!(out, "\n{}", table::heads())?;
    let mut met = true;
    for name in SCENARIOS {
        if arguments.scenario.as_deref().is_some_and(|only| only != name) {
            continue;
        }
        let own = outcomes(name, arguments);
        let rows = match name {
            "calibration" => table::calibration_rows(&own),
            _ => table::rows(name, &own),
        };
        failures(&own, name, arguments, out)?;
        met &= print(&rows, out)?;
    }
    Ok(met)
}

fn outcomes(name: &str, arguments: &Arguments) -> Outcomes {
    scenario::run(scenario_of(name), arguments.seed, arguments.vehicles)
}

fn scenario_of(name: &str) -> One {
    match name {
        "calibration" => scenario::anything,
        "pair" => scenario::pair,
        "survey" => scenario::survey,
        "healthy" => scenario::healthy,
        "extra-path" => scenario::extra_path,
        "corrupted" => scenario::corrupted,
        _ => scenario::single,
    }
}

fn print(rows: &[Row], out: &mut impl Write) -> std::io::Result<bool> {
    for row in rows {
        writeln!(out, "{}", row.line())?;
    }
    out.flush()?;
    Ok(rows.iter().all(|row| row.met() != Some(false)))
}

fn failures(
    own: &Outcomes,
    name: &str,
    arguments: &Arguments,
    out: &mut impl Write,
) -> std::io::Result<()> {
    if arguments.failures {
        for wrong in own.outcomes.iter().filter(|own| !own.right) {
            writeln!(out, "  {name} {}: {}", wrong.number, wrong.words)?;
        }
    }
    Ok(())
}
