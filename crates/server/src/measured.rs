//! The readings of a vehicle as they are kept, and which of them still speak of it as it is.

use answers::earlier::came_before;
use answers::problem::Problem;
use answers::taken::Taken;
use garage::{Garage, GarageError, ReadingsFileText, StoredReading, StoredWork, VehicleId};
use jiff::Timestamp;
use model::Vehicle;

use crate::clock::written;

/// Everything that was measured on a vehicle, and when it was last worked on.
#[derive(Debug, Default)]
pub(crate) struct Measured {
    pub files: Vec<ReadingsFileText>,
    pub lines: Vec<StoredReading>,
    /// Work that stands, each with when it was done, in that order.
    ///
    /// Readings from before the last of it speak of another vehicle: a joint that was cleaned since
    /// would be accused again by what it lost then.
    work: Vec<(String, String)>,
}

/// Work without a reading in between, and what was measured before and after.
#[derive(Debug, Default)]
pub(crate) struct Go {
    /// The ids of the work.
    pub work: Vec<String>,
    pub before: Taken,
    pub after: Taken,
}

/// What becomes of a typed reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NumberedLine {
    /// Its number in `diagnose`; nothing when it was taken back or is from before the last work.
    pub number: Option<u32>,
    /// From before the last work.
    pub before_work: bool,
}

/// What becomes of a file of readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NumberedFile {
    /// How many entries it holds; nothing while the vehicle file has an error.
    pub entries: u32,
    /// From before the last work.
    pub before_work: bool,
}

/// What becomes of everything, in its order.
#[derive(Debug, Default)]
pub(crate) struct Numbered {
    pub files: Vec<NumberedFile>,
    pub lines: Vec<NumberedLine>,
    pub problems: Vec<Problem>,
}

impl Measured {
    /// Fetches it.
    pub(crate) fn of(garage: &Garage, vehicle: VehicleId) -> Result<Self, GarageError> {
        let work = garage.work(vehicle)?;
        let mut work: Vec<(String, String)> = work
            .iter()
            .filter(|own| !own.retracted)
            .map(|own| (done(own), own.work.cid.clone()))
            .collect();
        work.sort_by(|a, b| a.0.cmp(&b.0));
        Ok(Self { files: garage.readings_files(vehicle)?, lines: garage.readings(vehicle)?, work })
    }

    /// The readings that are weighed, numbered: files in the order of arrival, then typed ones.
    pub(crate) fn taken(&self, vehicle: &Vehicle) -> Taken {
        self.walk(Some(vehicle)).0
    }

    /// The numbers of all entries; none while the vehicle file has an error.
    pub(crate) fn numbered(&self, vehicle: Option<&Vehicle>) -> Numbered {
        let (taken, numbered) = self.walk(vehicle);
        Numbered { problems: taken.problems, ..numbered }
    }

    fn walk(&self, vehicle: Option<&Vehicle>) -> (Taken, Numbered) {
        let (mut taken, mut numbered) = (Taken::default(), Numbered::default());
        for ReadingsFileText { file, bytes } in &self.files {
            let before_work = self.before_work(&file.stored);
            let mut apart = Taken::default();
            let among = if file.retracted || before_work { &mut apart } else { &mut taken };
            let last = among.last();
            if let Some(vehicle) = vehicle {
                among.add(bytes, vehicle);
            }
            numbered.files.push(NumberedFile { entries: among.last() - last, before_work });
        }
        for own in &self.lines {
            let before_work = self.before_work(&earlier(&own.taken, &own.stored));
            let number = vehicle.filter(|_| !own.retracted && !before_work).map(|vehicle| {
                taken.add_line(&own.text, vehicle);
                taken.last()
            });
            numbered.lines.push(NumberedLine { number, before_work });
        }
        (taken, numbered)
    }

    fn before_work(&self, time: &str) -> bool {
        self.work.last().is_some_and(|(worked, _)| came_before(time, worked) == Some(true))
    }

    /// All work, each go with the readings before and after it.
    pub(crate) fn goes(&self, vehicle: &Vehicle) -> Vec<Go> {
        let mut goes: Vec<Go> = Vec::new();
        let mut before = self.between(vehicle, None, self.work.first().map(|own| own.0.as_str()));
        for (at, (done, cid)) in self.work.iter().enumerate() {
            let until = self.work.get(at + 1).map(|own| own.0.as_str());
            let after = self.between(vehicle, Some(done), until);
            match goes.last_mut() {
                // Nothing was measured since the work before: one go.
                Some(go) if before.last() == 0 => {
                    go.work.push(cid.clone());
                    go.after = after.clone();
                }
                _ => goes.push(Go { work: vec![cid.clone()], before, after: after.clone() }),
            }
            before = after;
        }
        goes
    }

    /// What was measured after one time and up to another.
    fn between(&self, vehicle: &Vehicle, after: Option<&str>, until: Option<&str>) -> Taken {
        let within = |time: &str| {
            after.is_none_or(|after| came_before(time, after) == Some(false))
                && until.is_none_or(|until| came_before(time, until) == Some(true))
        };
        let mut taken = Taken::default();
        for own in self.files.iter().filter(|own| !own.file.retracted && within(&own.file.stored)) {
            taken.add(&own.bytes, vehicle);
        }
        for own in self.lines.iter().filter(|own| !own.retracted) {
            if within(&earlier(&own.taken, &own.stored)) {
                taken.add_line(&own.text, vehicle);
            }
        }
        taken
    }
}

/// When work was done: as its sender says where that is a time, else when it arrived. A phone without a
/// connection sends work and readings later, in one go.
fn done(own: &StoredWork) -> String {
    earlier(own.work.done.as_deref().unwrap_or_default(), &own.stored)
}

/// The time that a sender gives, unless it is none or after the arrival, which only a wrong clock says.
fn earlier(said: &str, stored: &str) -> String {
    let said = said.parse::<Timestamp>().ok().map(written);
    said.filter(|said| said.as_str() < stored).unwrap_or_else(|| stored.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use garage::{NewReading, NewWork, Stamp};

    fn at(when: &str) -> Stamp<'_> {
        Stamp { when, by: "desk" }
    }

    const FILE: &str = include_str!("../../../examples/utility-cart.toml");

    fn garage() -> (Garage, VehicleId) {
        let mut garage = Garage::in_memory().unwrap();
        let now = at("2026-11-26T08:00:00.000Z");
        let made = garage.create("cart", None, FILE, "read", now).unwrap();
        (garage, made.id)
    }

    fn read(garage: &mut Garage, vehicle: VehicleId, cid: &str, taken: &str, stored: &str) {
        let text = "working: buffer/+ to buffer/- 12.4 V";
        garage.put_reading(vehicle, NewReading { cid, text, taken }, at(stored)).unwrap();
    }

    fn work(done: &str) -> NewWork {
        NewWork {
            cid: "work-work".to_owned(),
            on: "pack-negative.from".to_owned(),
            what: "cleaned".to_owned(),
            done: Some(done.to_owned()),
            torque: None,
            protection: None,
            note: None,
        }
    }

    #[test]
    fn readings_from_before_the_last_work_are_kept_and_not_weighed() {
        let (mut garage, vehicle) = garage();
        read(&mut garage, vehicle, "reading-1", "2026-11-26T09:00:00Z", "2026-11-26T09:00:01.000Z");
        garage
            .put_work(vehicle, &work("2026-11-26T10:00:00Z"), at("2026-11-26T10:00:01.000Z"))
            .unwrap();
        read(&mut garage, vehicle, "reading-2", "2026-11-26T11:00:00Z", "2026-11-26T11:00:01.000Z");
        let file = file::read(FILE.as_bytes());
        let numbers = |garage: &Garage| {
            Measured::of(garage, vehicle).unwrap().numbered(file.vehicle.as_ref()).lines
        };
        let [first, second] = numbers(&garage)[..] else { panic!("two readings") };
        assert_eq!(first, NumberedLine { number: None, before_work: true });
        assert_eq!(second, NumberedLine { number: Some(1), before_work: false });
        // Work that is taken back was never done.
        garage.set_work_retracted(vehicle, "work-work", true).unwrap();
        let [first, second] = numbers(&garage)[..] else { panic!("two readings") };
        assert_eq!((first.number, second.number), (Some(1), Some(2)));
    }

    #[test]
    fn work_that_a_phone_sends_later_counts_from_when_it_was_done() {
        let (mut garage, vehicle) = garage();
        // All three arrive within a moment of each other, when the connection is there again.
        read(&mut garage, vehicle, "reading-1", "2026-11-26T09:00:00Z", "2026-11-26T12:00:00.000Z");
        garage
            .put_work(vehicle, &work("2026-11-26T10:00:00Z"), at("2026-11-26T12:00:00.000Z"))
            .unwrap();
        read(&mut garage, vehicle, "reading-2", "2026-11-26T11:00:00Z", "2026-11-26T12:00:00.000Z");
        let lines = Measured::of(&garage, vehicle).unwrap().numbered(None).lines;
        assert_eq!(lines.iter().map(|own| own.before_work).collect::<Vec<_>>(), [true, false]);
    }

    #[test]
    fn work_without_a_reading_in_between_is_one_go() {
        let (mut garage, vehicle) = garage();
        let stored = "2026-11-26T20:00:00.000Z";
        read(&mut garage, vehicle, "reading-1", "2026-11-26T09:00:00Z", stored);
        for (cid, done) in [("work-work-1", "10"), ("work-work-2", "11"), ("work-work-3", "13")] {
            let done = format!("2026-11-26T{done}:00:00Z");
            let own = NewWork { cid: cid.to_owned(), ..work(&done) };
            garage.put_work(vehicle, &own, at(stored)).unwrap();
        }
        read(&mut garage, vehicle, "reading-2", "2026-11-26T12:00:00Z", stored);
        read(&mut garage, vehicle, "reading-3", "2026-11-26T14:00:00Z", stored);
        let file = file::read(FILE.as_bytes());
        let goes = Measured::of(&garage, vehicle).unwrap().goes(file.vehicle.as_ref().unwrap());
        let told: Vec<_> =
            goes.iter().map(|own| (own.work.len(), own.before.last(), own.after.last())).collect();
        assert_eq!(told, [(2, 1, 1), (1, 1, 1)]);
    }

    #[test]
    fn a_time_after_the_arrival_is_a_wrong_clock() {
        let stored = "2026-11-26T12:00:00.000Z";
        assert_eq!(earlier("2026-11-26T13:00:00Z", stored), stored);
        assert_eq!(earlier("last week", stored), stored);
        assert_eq!(earlier("2026-11-26T09:00:00+01:00", stored), "2026-11-26T08:00:00.000Z");
    }
}
