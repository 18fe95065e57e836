//! Readings from before work: they speak of a vehicle that is no longer there.

use model::{Reading, Vehicle};
use readings::{BesideWork, Readings, Side};
use serde::Serialize;
use utoipa::ToSchema;

/// A reading that is not weighed because the vehicle was worked on since.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct EarlierReading {
    /// Its number.
    pub number: u32,
    /// The joint, conductor or part that was worked on.
    pub on: String,
    /// When, as written; null where the work has no date.
    pub date: Option<String>,
}

/// Readings taken on the day of work of which nothing says on which side of it; they are weighed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SameDay {
    /// The reading's number.
    pub number: u32,
    /// The joint, conductor or part that was worked on.
    pub on: String,
}

/// What was measured before work, and why it is known.
#[derive(Debug, Clone, Default)]
pub struct Earlier {
    /// The readings, as they were told.
    pub readings: Vec<Reading>,
    /// Which they are, and the work.
    pub left_out: Vec<EarlierReading>,
    /// Readings that may be from before work too.
    pub same_day: Vec<SameDay>,
}

/// Year, month, day, hour, minute, second and what is behind the point, as far as they are written.
///
/// A time that does not begin with a year is none.
fn parts(time: &str) -> Vec<u64> {
    let time = time.trim();
    let whole = time.split(['Z', '+']).next().unwrap_or(time);
    let mut parts = Vec::new();
    for (at, part) in whole.split(['-', '/', 'T', 't', ' ', ':', '.']).enumerate() {
        // A part such as `5` counts as `05`; of a fraction only its first three digits.
        let digits =
            if at == 6 { format!("{part:0<3}").chars().take(3).collect() } else { part.to_owned() };
        match digits.parse() {
            Ok(number) if at > 0 || part.len() == 4 => parts.push(number),
            _ => break,
        }
    }
    parts
}

/// Whether something at one time came before work at another, both written as ISO 8601 has it, as
/// exactly as anybody wrote them. At the same moment the reading came first. Nothing when one of them
/// is no such time, or they agree as far as the less exact one goes.
#[must_use]
pub fn came_before(time: &str, work: &str) -> Option<bool> {
    let (time, work) = (parts(time), parts(work));
    if time.is_empty() || work.is_empty() {
        return None;
    }
    // To the second both are exact.
    let exact = time.len() >= 6 && work.len() >= 6;
    let differ = time.iter().zip(&work).find(|(a, b)| a != b);
    match differ {
        Some((time, work)) => Some(time < work),
        None => exact.then_some(true),
    }
}

/// Takes the readings out of these that come from before work which the vehicle's file or the readings
/// themselves record.
#[must_use]
pub fn part(readings: &mut Readings, vehicle: &Vehicle) -> Earlier {
    let mut earlier = Earlier::default();
    let all = std::mem::take(&mut readings.readings);
    for reading in all {
        match from_before(&reading, &readings.beside_work, vehicle) {
            Some(left_out) => {
                earlier.left_out.push(left_out);
                earlier.readings.push(reading);
            }
            None => {
                earlier.same_day.extend(same_day(&reading, &readings.beside_work, vehicle));
                readings.readings.push(reading);
            }
        }
    }
    earlier
}

/// The work before which a reading was taken, the latest if there are several.
fn from_before(
    reading: &Reading,
    beside: &[BesideWork],
    vehicle: &Vehicle,
) -> Option<EarlierReading> {
    let told = |own: &&BesideWork| own.number == reading.number && own.side == Side::Before;
    // Work that is only intended has made no other vehicle of it yet.
    let done = |own: &&BesideWork| {
        let again = |other: &BesideWork| other.on == own.on && other.side == Side::After;
        own.work.is_some() || beside.iter().any(again)
    };
    if let Some(own) = beside.iter().filter(told).find(done) {
        let date = own.work.and_then(|at| vehicle.work.get(at)?.date.clone());
        return Some(EarlierReading { number: reading.number, on: own.on.clone(), date });
    }
    let time = reading.time.as_deref()?;
    let dated = vehicle.work.iter().filter_map(|own| Some((own, own.date.as_deref()?)));
    let (work, date) = dated
        .filter(|(own, date)| {
            came_before(time, date) == Some(true) && !is_after(reading, &own.on, beside)
        })
        .max_by(|a, b| a.1.cmp(b.1))?;
    let (on, date) = (work.on.clone(), Some(date.to_owned()));
    Some(EarlierReading { number: reading.number, on, date })
}

/// True when the readings themselves say that this one was taken after work on that piece.
fn is_after(reading: &Reading, on: &str, beside: &[BesideWork]) -> bool {
    let own = beside.iter().filter(|own| own.number == reading.number);
    own.into_iter().any(|own| own.side == Side::After && own.on == on)
}

/// The work on whose day a reading was taken, where nothing says on which side of it.
fn same_day(reading: &Reading, beside: &[BesideWork], vehicle: &Vehicle) -> Option<SameDay> {
    if beside.iter().any(|own| own.number == reading.number) {
        return None;
    }
    let time = reading.time.as_deref().filter(|time| !parts(time).is_empty())?;
    let dated = vehicle.work.iter().filter_map(|own| Some((own, own.date.as_deref()?)));
    let mut same = dated.filter(|(_, date)| !parts(date).is_empty());
    let (work, _) = same.find(|(_, date)| came_before(time, date).is_none())?;
    Some(SameDay { number: reading.number, on: work.on.clone() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::taken::Taken;

    #[test]
    fn a_time_is_compared_as_exactly_as_it_is_written() {
        for (time, work, before) in [
            ("2026-05-01", "2026-05-02", Some(true)),
            ("2026-05-01 17:40", "2026-05-02", Some(true)),
            ("2026-05-03T08:00", "2026-05-02", Some(false)),
            ("2026/05/01 8:05", "2026-05-02", Some(true)),
            ("2026-05-02 09:00", "2026-05-02", None),
            ("2026-04-30", "2026-05", Some(true)),
            ("2026-05-30", "2026-05", None),
            ("2025", "2026", Some(true)),
            ("10:42", "2026-05-02", None),
            ("yesterday", "2026-05-02", None),
            ("2026-05-02T09:00:00.000Z", "2026-05-02T09:00:00.000Z", Some(true)),
            ("2026-05-02T09:00:00.001Z", "2026-05-02T09:00:00.000Z", Some(false)),
            ("2026-05-02T09:00:00.5Z", "2026-05-02T09:00:00.40Z", Some(false)),
        ] {
            assert_eq!(came_before(time, work), before, "{time} {work}");
        }
    }

    /// A readings file of a cart on one of whose joints somebody worked.
    fn taken(work: &str, table: &str) -> Taken {
        let text = format!("{}\n{work}", include_str!("../../../examples/utility-cart.toml"));
        let file = file::read(text.as_bytes());
        let vehicle = file.vehicle.expect("the example has no error");
        let mut taken = Taken::default();
        taken.add(table.as_bytes(), &vehicle);
        taken
    }

    const CLEANED: &str =
        "[[work]]\non = \"frame-bond.to\"\nwhat = \"cleaned\"\ndate = 2026-05-02\n";

    fn numbers(taken: &Taken) -> (Vec<u32>, Vec<u32>) {
        let left_out = taken.earlier.left_out.iter().map(|own| own.number);
        (taken.readings.readings.iter().map(|own| own.number).collect(), left_out.collect())
    }

    #[test]
    fn what_was_measured_before_the_day_of_the_work_is_not_weighed() {
        let table = "state,from,to,value,time\n\
            working,buffer/+,buffer/-,12.1 V,2026-05-01 10:00\n\
            working,buffer/+,buffer/-,12.4 V,2026-05-03 10:00\n\
            working,buffer/+,buffer/-,12.4 V,2026-05-02 10:00\n\
            working,buffer/+,buffer/-,12.4 V,\n";
        let taken = taken(CLEANED, table);
        assert!(taken.problems.is_empty(), "{:?}", taken.problems);
        assert_eq!(numbers(&taken), (vec![2, 3, 4], vec![1]));
        let same: Vec<u32> = taken.earlier.same_day.iter().map(|own| own.number).collect();
        assert_eq!(same, [3]);
    }

    #[test]
    fn what_says_itself_that_it_was_taken_before_the_work_is_not_weighed() {
        let table = "state,from,to,value,before,after\n\
            working,buffer/+,buffer/-,12.1 V,frame-bond.to,\n\
            working,buffer/+,buffer/-,12.4 V,,frame-bond.to\n";
        assert_eq!(numbers(&taken(CLEANED, table)), (vec![2], vec![1]));
        // The second reading itself records the work.
        assert_eq!(numbers(&taken("", table)), (vec![2], vec![1]));
    }

    #[test]
    fn before_work_that_nobody_did_yet_is_now() {
        let table = "state,from,to,value,before\n\
            working,buffer/+,buffer/-,12.1 V,frame-bond.from\n";
        assert_eq!(numbers(&taken("", table)), (vec![1], vec![]));
    }
}
