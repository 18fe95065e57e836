//! The readings at hand: one file of them or several, and typed lines, numbered through.

use diagnosis::Complaint;
use file::readings::Readings;
use model::Vehicle;

use crate::Refusal;
use crate::problem::{self, Problem};
use crate::refusal::{load, state};

/// Readings with what was said about them.
#[derive(Debug, Clone, Default)]
pub struct Taken {
    /// All of them.
    pub readings: Readings,
    /// What the vehicle does wrong, if somebody says so.
    pub complaint: Option<Complaint>,
    /// Problems of the readings, each with its place in its own text.
    pub problems: Vec<Problem>,
}

impl Taken {
    /// Reads one more text, a whole file or typed lines, numbered on from what is there.
    pub fn add(&mut self, bytes: &[u8], vehicle: &Vehicle) {
        let read = file::readings::read(bytes, vehicle);
        self.problems.extend(problem::of(&read.problems, &String::from_utf8_lossy(bytes)));
        let own = &mut self.readings;
        let last = own.readings.len() + own.worthless.len() + own.kept.len();
        let on = u32::try_from(last).unwrap_or(u32::MAX / 2);
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
        if self.complaint.is_none() {
            self.complaint = read
                .complaint
                .and_then(|own| Some(Complaint { load: own.load?, state: own.state? }));
        }
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
