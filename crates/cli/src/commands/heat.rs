//! `groundloom heat`: a question with a picture that is written into a file.

use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use answers::heat;

use crate::answer::{Answer, Asked, Failure};
use crate::door::{self, OfVehicle};
use crate::vehicle_file::why;

// Its help is the question's own, so it has none here.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    #[command(flatten)]
    own: OfVehicle<heat::Asked>,
    /// Write temperature over time of the warmest conductors as an SVG picture.
    // Told before `--all`, which stays the last of the question's own.
    #[arg(long, value_name = "FILE", display_order = 3)]
    svg: Option<PathBuf>,
}

impl door::Command for Arguments {
    fn run(&self, asked: &Asked) -> Result<Answer, Failure> {
        let Some(path) = &self.svg else { return door::ask(&self.own, asked) };
        let mut answer = door::ask_with(&self.own, asked, |found| {
            written(path, &heat::plot(found, asked.units))
        })?;
        answer.text.push_str(&format!("{} is written\n", path.display()));
        Ok(answer)
    }
}

/// Writes a file that does not exist yet.
fn written(path: &Path, text: &str) -> Result<(), Failure> {
    let file = std::fs::OpenOptions::new().write(true).create_new(true).open(path);
    file.and_then(|mut file| file.write_all(text.as_bytes())).map_err(|error| {
        let expected = match error.kind() {
            ErrorKind::NotFound => "a file in a folder that exists",
            _ => "the name of a file that does not exist yet",
        };
        Failure::new(format!("{}: {}", path.display(), why(&error)), expected)
    })
}
