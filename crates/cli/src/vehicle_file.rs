//! Opening a vehicle file: the one place where the command line reads what a person wrote.

use std::path::{Path, PathBuf};

use model::{LoadId, StateId, Vehicle};

use crate::answer::Failure;
use crate::problems::{count, rendered};

/// A file that was read, with whatever is wrong with it.
pub(crate) struct Opened {
    pub path: PathBuf,
    pub text: String,
    pub reading: file::Reading,
}

/// Reads a file and understands it as far as it goes.
pub(crate) fn open(path: &Path) -> Result<Opened, Failure> {
    let bytes = read_bytes(path)?;
    let reading = file::read(&bytes);
    let text = String::from_utf8_lossy(&bytes).into_owned();
    Ok(Opened { path: path.to_owned(), text, reading })
}

/// The bytes of a file, `-` for standard input.
pub(crate) fn read_bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    if path == Path::new("-") {
        let mut bytes = Vec::new();
        return std::io::Read::read_to_end(&mut std::io::stdin().lock(), &mut bytes)
            .map(|_| bytes)
            .map_err(|error| {
                Failure::new(format!("standard input cannot be read: {error}"), "a vehicle file")
            });
    }
    #[expect(clippy::disallowed_methods, reason = "this is the door through which files come in")]
    std::fs::read(path).map_err(|error| {
        let why = match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
            std::io::ErrorKind::PermissionDenied => "you may not read it".to_owned(),
            std::io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
            _ => error.to_string(),
        };
        Failure::new(
            format!("{}: {why}", path.display()),
            "a vehicle file such as `groundloom new` writes",
        )
    })
}

impl Opened {
    pub(crate) fn problems(&self, width: usize) -> String {
        rendered(&self.reading.problems, &self.path.display().to_string(), &self.text, width)
    }

    /// The vehicle, or its errors as a failure.
    pub(crate) fn vehicle(&self, width: usize) -> Result<&Vehicle, Failure> {
        self.reading.vehicle.as_ref().ok_or_else(|| Failure(self.problems(width)))
    }

    /// A line about warnings, to be shown beside an answer.
    pub(crate) fn warnings_line(&self) -> Option<String> {
        let warnings = self.reading.warnings();
        (warnings > 0).then(|| {
            format!(
                "{}; `groundloom check {}` tells more",
                count(warnings, "warning"),
                self.path.display()
            )
        })
    }
}

/// The state with a name, or a failure that lists the states.
pub(crate) fn state(vehicle: &Vehicle, name: &str) -> Result<StateId, Failure> {
    vehicle.state_named(name).ok_or_else(|| {
        let states: Vec<String> =
            vehicle.states.iter().map(|state| format!("`{}`", state.id)).collect();
        Failure::new(
            format!("`{}` has no state `{name}`", vehicle.name),
            format!("one of {}", states.join(", ")),
        )
    })
}

/// The states asked for, or all.
pub(crate) fn states(vehicle: &Vehicle, name: Option<&str>) -> Result<Vec<StateId>, Failure> {
    match name {
        Some(name) => state(vehicle, name).map(|id| vec![id]),
        None => Ok((0..vehicle.states.len()).map(StateId::at).collect()),
    }
}

/// The load with a name, or a failure that names the nearest.
pub(crate) fn load(vehicle: &Vehicle, name: &str) -> Result<LoadId, Failure> {
    vehicle.load_named(name).ok_or_else(|| {
        let nearest = vehicle
            .loads
            .iter()
            .map(|load| (strsim::damerau_levenshtein(&load.id, name), &load.id))
            .min()
            .filter(|(distance, _)| *distance <= name.len() / 2)
            .map(|(_, id)| format!("; did you mean `{id}`?"));
        let loads: Vec<String> =
            vehicle.loads.iter().take(40).map(|load| format!("`{}`", load.id)).collect();
        Failure::new(
            format!("`{}` has no load `{name}`{}", vehicle.name, nearest.unwrap_or_default()),
            format!("one of {}", loads.join(", ")),
        )
    })
}
