//! Every check of the project, in one order, here and in continuous integration.

use crate::fuzz;
use crate::project::{Complaints, Project, output};
use crate::run::Run;
use crate::{page, supply_chain, tidy, vectors};

/// The short fuzz run draws the same numbers each time, so that a failure is the change's own.
const SEED: u32 = 1;

pub(crate) fn everything(project: &Project, run: &mut Run) {
    run.step("format", || project.cargo(&["fmt", "--all", "--check"], &[]));
    run.step("house rules", || tidy::tidy(project));
    run.step("supply chain", || supply_chain::supply_chain(project));
    run.step("packages of the page", || page::packages(project));
    run.step("page", || page::without_browser(project));
    run.step("lints", || {
        let words = ["clippy", "--workspace", "--all-targets", "--locked", "--keep-going"];
        project.cargo(&[&words[..], &["--", "-D", "warnings"]].concat(), &[])
    });
    run.step("tests", || tests(project));
    run.step("page in a browser", || page::with_browser(project));
    run.step("examples in the documentation", || {
        project.cargo(&["test", "--workspace", "--locked", "--doc"], &[])
    });
    run.step("documentation", || {
        let words = ["doc", "--workspace", "--locked", "--no-deps", "--document-private-items"];
        project.cargo(&words, &[("RUSTDOCFLAGS", "-D warnings")])
    });
    run.step("outside checks", || vectors::compare(project));
    run.step("fuzz", || fuzz::fuzz(project, fuzz::SHORT, Some(SEED)));
}

/// What concerns the page alone.
pub(crate) fn page(project: &Project, run: &mut Run) {
    run.step("packages of the page", || page::packages(project));
    run.step("page", || page::without_browser(project));
    run.step("page in a browser", || page::with_browser(project));
}

/// The tests of every crate, by the faster runner where it is installed.
fn tests(project: &Project) -> Complaints {
    let nextest = output(project.command("cargo").args(["nextest", "--version"])).is_ok();
    let words: &[&str] = if nextest {
        &["nextest", "run", "--workspace", "--locked", "--no-fail-fast"]
    } else {
        &["test", "--workspace", "--locked", "--no-fail-fast", "--lib", "--bins", "--tests"]
    };
    project.cargo(words, &[])
}
