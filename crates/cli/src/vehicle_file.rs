//! Opening a vehicle file: the one place where the command line reads what a person wrote.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use model::Vehicle;

use crate::answer::Failure;
use crate::problems::{count, rendered};

/// A file that was read, with whatever is wrong with it.
pub(crate) struct Opened {
    pub path: PathBuf,
    pub text: String,
    pub reading: file::Reading,
}

/// What is expected where a vehicle file is wanted.
pub(crate) const VEHICLE_FILE: &str = "a vehicle file such as `groundloom new` writes";

/// Reads a file and understands it as far as it goes.
pub(crate) fn open(path: &Path) -> Result<Opened, Failure> {
    Ok(understood(path, &read_bytes(path, VEHICLE_FILE)?))
}

/// What the bytes of a file mean, as far as it goes.
pub(crate) fn understood(path: &Path, bytes: &[u8]) -> Opened {
    let reading = file::read(bytes);
    let text = String::from_utf8_lossy(bytes).into_owned();
    Opened { path: path.to_owned(), text, reading }
}

/// The bytes of a file, `-` for standard input; of a larger one than is ever read, the beginning.
///
/// `expected` says what kind of file is wanted.
pub(crate) fn read_bytes(path: &Path, expected: &str) -> Result<Vec<u8>, Failure> {
    // A device never ends; one byte too many is enough to be told that there are too many.
    let most = file::LARGEST_FILE as u64 + 1;
    let mut bytes = Vec::new();
    let read = if path == Path::new("-") {
        std::io::stdin().lock().take(most).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|opened| opened.take(most).read_to_end(&mut bytes))
    };
    read.map(|_| bytes)
        .map_err(|error| Failure::new(format!("{}: {}", path.display(), why(&error)), expected))
}

/// Why a file cannot be read or written.
pub(crate) fn why(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        ErrorKind::PermissionDenied => "you may not open it".to_owned(),
        ErrorKind::IsADirectory => "it is a folder".to_owned(),
        ErrorKind::NotADirectory => "what stands before the last `/` is no folder".to_owned(),
        ErrorKind::AlreadyExists => "it exists already and is left as it is".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "nothing can be written there".to_owned(),
        _ => error.to_string(),
    }
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
