//! The readings at hand: one file of them or several, and typed lines, numbered through.

use diagnosis::Complaint;
use file::readings::{Kept, Line, Readings, one_line};
use model::Vehicle;

use crate::Refusal;
use crate::earlier::{Earlier, part};
use crate::problem::{self, Problem};
use crate::refusal::{load, state};

/// Readings with what was said about them.
#[derive(Debug, Clone, Default)]
pub struct Taken {
    /// Those that are weighed, and what proves nothing or was not understood.
    pub readings: Readings,
    /// Those from before work that was done since.
    pub earlier: Earlier,
    /// What the vehicle does wrong, if somebody says so.
    pub complaint: Option<Complaint>,
    /// Problems of the readings, each with its place in its own text.
    pub problems: Vec<Problem>,
    last: u32,
}

impl Taken {
    /// Reads one more text, a whole file or typed lines, numbered on from what is there.
    pub fn add(&mut self, bytes: &[u8], vehicle: &Vehicle) {
        let mut read = file::readings::read(bytes, vehicle);
        let added = read.readings.len() + read.worthless.len() + read.kept.len();
        let earlier = part(&mut read, vehicle);
        self.problems.extend(problem::of(&read.problems, &String::from_utf8_lossy(bytes)));
        let own = &mut self.readings;
        let on = self.last;
        self.last = on.saturating_add(u32::try_from(added).unwrap_or(u32::MAX / 2));
        own.readings.extend(read.readings.into_iter().map(|mut one| {
            one.number += on;
            one
        }));
        own.worthless.extend(read.worthless.into_iter().map(|mut one| {
            one.number += on;
            one
        }));
        own.kept.extend(read.kept.into_iter().map(|mut one| {
            one.number += on;
            one
        }));
        self.earlier.follow(earlier, on);
        if self.complaint.is_none() {
            self.complaint = read
                .complaint
                .and_then(|own| Some(Complaint { load: own.load?, state: own.state? }));
        }
    }

    /// Reads one more reading as a person types it, numbered on from what is there.
    pub fn add_line(&mut self, text: &str, vehicle: &Vehicle) {
        let own = &mut self.readings;
        let number = self.last + 1;
        self.last = number;
        match one_line(text, vehicle, number) {
            Ok(Line::Reading { reading, warnings }) => {
                own.readings.push(*reading);
                self.problems.extend(problem::of(&warnings, text));
            }
            Ok(Line::Worthless(worthless)) => own.worthless.push(worthless),
            Err(error) => {
                own.kept.push(Kept { number, text: text.to_owned() });
                self.problems.extend(problem::of(&[error], text));
            }
        }
    }

    /// The number of the last entry; nothing before the first.
    #[must_use]
    pub fn last(&self) -> u32 {
        self.last
    }

    /// The complaint that was asked about instead of the one in the readings: `starter@cranking`.
    ///
    /// # Errors
    ///
    /// When there is no such load or state.
    pub fn complain(&mut self, words: &str, vehicle: &Vehicle) -> Result<(), Refusal> {
        let (of, at) = words.split_once('@').ok_or_else(|| {
            Refusal::new(
                format!("the complaint `{words}` names no state"),
                "a load and a state, such as `starter@cranking`",
            )
        })?;
        self.complaint =
            Some(Complaint { load: load(vehicle, of.trim())?, state: state(vehicle, at.trim())? });
        Ok(())
    }
}
