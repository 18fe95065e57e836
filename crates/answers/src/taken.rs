//! The readings at hand: one file of them or several, and typed lines, numbered through.

use diagnosis::Complaint;
use model::Vehicle;
use readings::{Readings, Vocabulary, statements};

use crate::Refusal;
use crate::earlier::{Earlier, part};
use crate::problem::{self, Problem, Severity};
use crate::refusal::{Refused, load, state};

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
    /// The vehicle with the crimps as pieces of their own that a reading tells from their cable; nothing
    /// while none does.
    pub(crate) told_apart: Option<Box<Vehicle>>,
    last: u32,
}

impl Taken {
    /// Reads one more text, a whole file or typed lines, numbered on from what is there.
    pub fn add(&mut self, bytes: &[u8], vehicle: &Vehicle) {
        let read = readings::read(bytes, vehicle);
        self.take(read, &String::from_utf8_lossy(bytes), vehicle);
    }

    /// Takes in what a further text says, numbered on from what is there.
    pub fn take(&mut self, mut read: Readings, text: &str, vehicle: &Vehicle) {
        let mut seen: Vec<u32> = read.seen.iter().map(|own| own.number).collect();
        seen.dedup();
        let added = read.readings.len() + read.worthless.len() + read.kept.len() + seen.len();
        self.problems.extend(problem::of(&read.problems, text));
        let on = self.last;
        self.last = on.saturating_add(u32::try_from(added).unwrap_or(u32::MAX / 2));
        let numbers = read.readings.iter_mut().map(|own| &mut own.number);
        let numbers = numbers.chain(read.worthless.iter_mut().map(|own| &mut own.number));
        let numbers = numbers.chain(read.kept.iter_mut().map(|own| &mut own.number));
        let numbers = numbers.chain(read.seen.iter_mut().map(|own| &mut own.number));
        numbers
            .chain(read.beside_work.iter_mut().map(|own| &mut own.number))
            .for_each(|number| *number += on);
        let own = &mut self.readings;
        own.readings.append(&mut read.readings);
        own.worthless.append(&mut read.worthless);
        own.kept.append(&mut read.kept);
        own.seen.append(&mut read.seen);
        own.beside_work.append(&mut read.beside_work);
        // A later text may tell of work that an earlier one was taken before.
        own.readings.append(&mut self.earlier.readings);
        own.readings.sort_by_key(|own| own.number);
        self.earlier = part(own, vehicle);
        self.tell_apart(vehicle);
        if self.complaint.is_none() {
            self.complaint = read
                .complaint
                .and_then(|own| Some(Complaint { load: own.load?, state: own.state? }));
        }
    }

    /// True when a reading could not be used.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.problems.iter().any(|own| own.severity == Severity::Error)
    }

    /// Reads one more line as a person types it, numbered on from what is there.
    pub fn add_line(&mut self, text: &str, vehicle: &Vehicle) {
        let load = self.complaint.map(|own| vehicle.load(own.load).id.as_str());
        let words = Vocabulary::of(vehicle).watching(load);
        let said = statements(text, vehicle, &words, self.last.saturating_add(1));
        self.last = said.last().map_or(self.last, |own| own.number);
        let mut read = Readings::default();
        read.say(said, 0);
        self.problems.extend(problem::of(&read.problems, text));
        let own = &mut self.readings;
        own.readings.append(&mut read.readings);
        own.worthless.append(&mut read.worthless);
        own.kept.append(&mut read.kept);
        own.seen.append(&mut read.seen);
        self.tell_apart(vehicle);
    }

    fn tell_apart(&mut self, vehicle: &Vehicle) {
        let touched = vehicle.strands_touched(&self.readings.readings);
        self.told_apart = vehicle.told_apart(touched).map(Box::new);
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
    pub fn complain(&mut self, words: &str, vehicle: &Vehicle) -> Result<(), Refused> {
        let (of, at) = words.split_once('@').ok_or_else(|| {
            let expected = "a load and a state, such as `starter@cranking`";
            Refusal::of("complaint", words, "names no state", expected)
        })?;
        let mut refused = Refused::default();
        let load = refused.keep(load(vehicle, of.trim()));
        let state = refused.keep(state(vehicle, at.trim()));
        self.complaint = Some(refused.unless(load.zip(state)))
            .transpose()?
            .map(|(load, state)| Complaint { load, state });
        Ok(())
    }
}
