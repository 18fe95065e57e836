//! The page's own checks: types, lints, unit tests, and a real browser in front of the real program.

use std::path::PathBuf;

use crate::project::{Complaints, Project, show};
use crate::tools::{self, Search};

/// Installs what the page and its tests need, exactly as its lock file says.
pub(crate) fn packages(project: &Project) -> Complaints {
    npm(project, &["ci", "--no-audit", "--no-fund", "--loglevel=error"], &[])
}

/// Types, lints and unit tests.
pub(crate) fn without_browser(project: &Project) -> Complaints {
    let steps = [&["run", "check"][..], &["run", "lint"], &["test"]];
    steps.into_iter().flat_map(|words| npm(project, words, &[])).collect()
}

/// The built program, driven by a browser.
pub(crate) fn with_browser(project: &Project) -> Complaints {
    let search = Search::here();
    let Some(chromium) = search.chromium() else {
        return tools::missing(&tools::OF_THE_PAGE, &search).into_iter().collect();
    };
    let built = project.cargo(&["build", "--locked", "--package", "cli"], &[]);
    if !built.is_empty() {
        return built;
    }
    // The report is opened as the build made it, too.
    let pages = npm(project, &["run", "build"], &[]);
    if !pages.is_empty() {
        return pages;
    }
    let program = project.target.join("debug/groundloom");
    let variables = [("GROUNDLOOM", program), ("CHROMIUM", chromium)];
    npm(project, &["run", "test:browser"], &variables)
}

/// How quick the page is by the clock: figures to be read, in front of the release program.
pub(crate) fn speed(project: &Project) -> Complaints {
    let search = Search::here();
    let Some(chromium) = search.chromium() else {
        return tools::missing(&tools::OF_THE_PAGE, &search).into_iter().collect();
    };
    let built = project.cargo(&["build", "--locked", "--release", "--package", "cli"], &[]);
    if !built.is_empty() {
        return built;
    }
    let program = project.target.join("release/groundloom");
    let variables = [("GROUNDLOOM", program), ("CHROMIUM", chromium)];
    npm(project, &["run", "bench:browser"], &variables)
}

fn npm(project: &Project, words: &[&str], variables: &[(&str, PathBuf)]) -> Complaints {
    let name = if cfg!(windows) { "npm.cmd" } else { "npm" };
    let mut command = project.command(name);
    command.current_dir(project.root.join("web")).args(words);
    command.envs(variables.iter().map(|(name, value)| (name, value)));
    show(&mut command)
}
