//! Checks that no compiler makes, and the one command that runs every check.
#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "reads the project's files and the clock, and reports on the terminal"
)]

mod project;
mod run;
mod test;
mod tidy;
mod supply_chain;
mod vectors;
mod page;
mod tools;
mod fuzz;
mod manual;

use std::process::ExitCode;
use std::time::Duration;

use project::Project;
use run::Run;

const USAGE: &str = "\
cargo xtask test               every check, in the order of the cheapest first
cargo xtask tidy               house rules: who may depend on whom, files, messages
cargo xtask supply-chain       licences, versions and origins of everything that is built in
cargo xtask vectors            outside checks: the recorded answers, computed again in Python
cargo xtask page               the page: types, lints, unit tests, and a browser before the program
cargo xtask page-speed         how quick the page is by the clock: figures, no verdict
cargo xtask fuzz [SECONDS]     each fuzz target for so long, 20 s if not said
cargo xtask man                manual pages and shell completions, into the target folder";

fn main() -> ExitCode {
    let words = std::env::args().skip(1).collect::<Vec<_>>();
    let words = words.iter().map(String::as_str).collect::<Vec<_>>();
    let project = Project::here();
    let mut run = Run::default();
    let needed = match words[..] {
        ["test"] => &tools::ALL[..],
        ["page" | "page-speed"] => &tools::OF_THE_PAGE[..],
        _ => &[],
    };
    if let Some(line) = tools::missing(needed, &tools::Search::here()) {
        println!("xtask: {line}");
        return ExitCode::from(2);
    }
    match words[..] {
        ["test"] => test::everything(&project, &mut run),
        ["tidy"] => run.step("house rules", || tidy::tidy(&project)),
        ["supply-chain"] => run.step("supply chain", || supply_chain::supply_chain(&project)),
        ["vectors"] => run.step("outside checks", || vectors::compare(&project)),
        ["page"] => test::page(&project, &mut run),
        ["page-speed"] => run.step("how quick the page is", || page::speed(&project)),
        ["man"] => run.step("manual", || manual::write(&project)),
        ["fuzz"] => run.step("fuzz", || fuzz::fuzz(&project, fuzz::SHORT, None)),
        ["fuzz", seconds] => match seconds.parse() {
            Ok(seconds) => {
                run.step("fuzz", || fuzz::fuzz(&project, Duration::from_secs(seconds), None));
            }
            Err(_) => run.fail("fuzz", format!("`{seconds}` is no whole number of seconds")),
        },
        _ => {
            println!("{USAGE}");
            return ExitCode::from(2);
        }
    }
    run.close()
}
