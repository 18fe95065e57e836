//! Outside checks: the recorded vectors of `checks/`, computed again by general numerical libraries.

use std::path::PathBuf;

use crate::project::{Complaints, Project, output, show};

const REQUIREMENTS: &str = "checks/requirements.txt";

/// Compares the recorded answers with new ones.
pub(crate) fn compare(project: &Project) -> Complaints {
    match python(project) {
        Ok(python) => {
            let python = python.to_string_lossy();
            show(project.command(&python).args(["-B", "checks/regenerate.py", "--check"]))
        }
        Err(complaint) => vec![complaint],
    }
}

/// The Python of an environment that holds the pinned libraries, made anew when the pins change.
fn python(project: &Project) -> Result<PathBuf, String> {
    let pins = project.read(REQUIREMENTS)?;
    let environment = project.target.join("checks-venv");
    let python = environment.join("bin").join("python");
    let installed = environment.join("requirements.txt");
    if std::fs::read_to_string(&installed).is_ok_and(|installed| installed == pins) {
        return Ok(python);
    }
    let first = "import sys, venv, ensurepip; assert sys.version_info >= (3, 11), sys.version";
    output(project.command("python3").args(["-c", first])).map_err(|error| {
        format!("{error}\nneeds Python 3.11 or later with venv: apt-get install python3-venv")
    })?;
    output(project.command("python3").args(["-m", "venv", "--clear"]).arg(&environment))?;
    let install = ["-m", "pip", "install", "--quiet", "--requirement", REQUIREMENTS];
    output(project.command(&python.to_string_lossy()).args(install))?;
    std::fs::write(&installed, pins).map_err(|error| error.to_string())?;
    Ok(python)
}
