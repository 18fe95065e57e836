//! The page's own checks: types, lints, unit tests, and a real browser in front of the real program.

use std::path::PathBuf;

use crate::project::{Complaints, Project, output, show};

/// Where browsers of this kind usually are; `CHROMIUM` names another.
const CHROMIUM: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];

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
    let Some(chromium) = chromium(project) else {
        return vec![
            "no Chromium found: install it (apt-get install chromium) or name it in CHROMIUM"
                .to_owned(),
        ];
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
    let variables = [("GROUNDLOOM", program), ("CHROMIUM", PathBuf::from(chromium))];
    npm(project, &["run", "test:browser"], &variables)
}

fn chromium(project: &Project) -> Option<String> {
    if let Ok(named) = std::env::var("CHROMIUM") {
        return Some(named);
    }
    CHROMIUM.into_iter().find_map(|name| {
        let found = output(project.command("which").arg(name)).ok()?;
        found.lines().next().map(str::to_owned)
    })
}

fn npm(project: &Project, words: &[&str], variables: &[(&str, PathBuf)]) -> Complaints {
    let name = if cfg!(windows) { "npm.cmd" } else { "npm" };
    let mut command = project.command(name);
    command.current_dir(project.root.join("web")).args(words);
    command.envs(variables.iter().map(|(name, value)| (name, value)));
    show(&mut command)
}
