//! Files of meter readings: what each entry says about a vehicle, what proves nothing, and what
//! could not be understood.
//!
//! [`read`] takes a file in TOML, a table with a header line, or one reading a line, whichever its
//! text is; [`one_line`] takes what a person types. Nothing that was written is lost: an entry ends
//! as a reading, as [`Worthless`] with its reason, or in [`Kept`] beside a problem.

pub mod spec;
mod words;
mod over_range;
mod value;
mod none;
mod asides;
mod known;
mod harmless;
mod state;
mod unread;
mod flow;
mod accuracy;
mod meaning;
mod meter;
mod noticed;
mod advice;
mod tables;
mod columns;
mod line;
mod seen;
mod vocabulary;
mod plain;
mod parts;
mod doubt;
mod statement;
#[cfg(test)]
mod page;
#[cfg(test)]
mod tests;

use std::ops::Range;

use model::{Code, Filled, LoadId, Problem, Reading, Seen, Severity, StateId, Vehicle};

pub use self::parts::parts;
pub use self::plain::Translated;
pub use self::statement::{Kind, Question, Statement, What, statement, statements};
pub use self::vocabulary::{Place, Vocabulary};
use file::read::{LARGEST_FILE, too_large};
use meaning::{Account, Context, Outcome, Remarks};

/// More problems than this have one cause; the rest are not told.
const MOST_PROBLEMS: usize = 1000;

/// An entry with more bytes is no reading.
const LONGEST_ENTRY: usize = 4000;

/// What was understood of a file of readings.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Readings {
    /// Readings that say something, in the order of the file.
    pub readings: Vec<Reading>,
    /// Readings that prove nothing, with the reason.
    pub worthless: Vec<Worthless>,
    /// What was seen, felt or tried without a meter.
    pub seen: Vec<Seen>,
    /// Entries that could not be understood, word for word.
    pub kept: Vec<Kept>,
    /// What is wrong or looks wrong, in the order of the file.
    pub problems: Vec<Problem>,
    /// What was taken where the file is silent about an instrument, once each.
    pub filled: Vec<Filled>,
    /// Readings that were taken before or after some work.
    pub beside_work: Vec<BesideWork>,
    /// What the vehicle does wrong, if the file says so.
    pub complaint: Option<Complaint>,
}

/// A reading that proves nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Worthless {
    /// Its number among the entries of the file, from one.
    pub number: u32,
    /// The entry as written.
    pub text: String,
    /// Why it proves nothing.
    pub why: String,
    /// What to do instead.
    pub instead: String,
    /// Bytes of the file at which it stands.
    pub place: Range<usize>,
}

/// An entry that could not be understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Its number among the entries of the file, from one.
    pub number: u32,
    /// The entry as written.
    pub text: String,
}

/// On which side of some work a reading was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Before it.
    Before,
    /// After it.
    After,
}

/// That a reading was taken before or after some work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BesideWork {
    /// The number of the reading.
    pub number: u32,
    /// Before or after.
    pub side: Side,
    /// The joint, conductor or in-line part that was worked on.
    pub on: String,
    /// Position in [`Vehicle::work`], when that work is written there; the latest on that piece
    /// unless a date says which.
    pub work: Option<usize>,
}

/// What a vehicle does wrong.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Complaint {
    /// The load that does not work as it should.
    pub load: Option<LoadId>,
    /// The state in which that shows.
    pub state: Option<StateId>,
    /// In anybody's words.
    pub what: Option<String>,
}

/// What one line says.
#[derive(Debug, Clone, PartialEq)]
pub enum Line {
    /// A reading, and what looks odd about it.
    Reading {
        /// The reading.
        reading: Box<Reading>,
        /// Warnings, placed in the line.
        warnings: Vec<Problem>,
    },
    /// It proves nothing.
    Worthless(Worthless),
}

/// Reads a file of readings of a vehicle, in any of its three forms.
///
/// Never fails and never panics: what is wrong is told in [`Readings::problems`].
#[must_use]
pub fn read(bytes: &[u8], vehicle: &Vehicle) -> Readings {
    let mut readings = Readings::default();
    let text = match text_of(bytes) {
        Ok(text) => text,
        Err(problem) => {
            readings.problems.push(problem);
            return readings;
        }
    };
    let mut context = Context::new(vehicle);
    let first = text.lines().map(str::trim).find(|line| !line.is_empty() && !line.starts_with('#'));
    match first {
        None => {}
        Some(line) if is_toml(line) => read_tables(&text, &mut context, &mut readings),
        Some(line) => match columns::separator(line) {
            Some(separator) => read_columns(&text, separator, &context, &mut readings),
            None => read_lines(&text, &context, &mut readings),
        },
    }
    if readings.is_empty() && readings.problems.is_empty() {
        readings.problems.push(no_readings(vehicle));
    }
    readings.complaint = context.complaint;
    if readings.problems.len() > MOST_PROBLEMS {
        // No error may be lost behind warnings.
        readings.problems.sort_by_key(|problem| problem.severity == Severity::Warning);
        readings.problems.truncate(MOST_PROBLEMS);
    }
    readings.problems.sort_by_key(|problem| problem.place.start);
    readings
}

/// Reads one line as a person types it. Places count from the beginning of the line.
///
/// # Errors
///
/// What could not be understood, at its place in the line.
pub fn one_line(text: &str, vehicle: &Vehicle, number: u32) -> Result<Line, Problem> {
    line_in(text, number, &Context::new(vehicle), &mut Remarks::default())
}

/// The same against what is known of a vehicle already.
fn line_in(
    text: &str,
    number: u32,
    context: &Context<'_>,
    remarks: &mut Remarks,
) -> Result<Line, Problem> {
    let account = printable(text).and_then(|()| line::account(text, number, context))?;
    *remarks = Remarks::default();
    Ok(match context.understand(&account, remarks)? {
        Outcome::Reading(reading) => Line::Reading {
            reading: Box::new(reading),
            warnings: std::mem::take(&mut remarks.warnings),
        },
        Outcome::Worthless { why, instead } => Line::Worthless(Worthless {
            number,
            text: account.text,
            why,
            instead,
            place: account.place,
        }),
    })
}

/// The text of a file, a mark at its beginning blanked so that every place stays where it was.
fn text_of(bytes: &[u8]) -> Result<String, Problem> {
    let told = |place: Range<usize>, what: &str, hint: &str| {
        Problem::error(
            Code::NotATextFile,
            place,
            what,
            "a text file in UTF-8, as every editor and spreadsheet can save",
        )
        .hint(hint)
    };
    if bytes.len() > LARGEST_FILE {
        return Err(too_large("a file of readings has some kilobytes"));
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(told(0..0, "the file is written in UTF-16", "save it again as UTF-8"));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(match text.strip_prefix('\u{feff}') {
            Some(rest) => format!("   {rest}"),
            None => text.to_owned(),
        }),
        Err(error) => Err(told(
            error.valid_up_to()..error.valid_up_to(),
            "the file holds bytes that are no text",
            "characters such as `±` or `Ω` saved in another encoding look like this: save the file again as UTF-8",
        )),
    }
}

/// Refuses what would rule a terminal when it is shown, or fill it.
fn printable(entry: &str) -> Result<(), Problem> {
    let unprintable = |c: char| c.is_control() && !matches!(c, '\t' | '\n' | '\r');
    if let Some((at, c)) = entry.char_indices().find(|(_, c)| unprintable(*c)) {
        return Err(Problem::error(
            Code::TextUnprintable,
            at..at + c.len_utf8(),
            format!("the reading holds the control character U+{:04X}", u32::from(c)),
            "a text of printable characters",
        ));
    }
    if entry.len() > LONGEST_ENTRY {
        return Err(Problem::error(
            Code::EntryTooLong,
            0..0,
            format!("the reading has {} bytes", entry.len()),
            format!("at most {LONGEST_ENTRY}"),
        )
        .hint("does each reading stand in a line, a row or a table of its own?"));
    }
    Ok(())
}

fn is_toml(line: &str) -> bool {
    let key = line.split_once('=').map(|(key, _)| key.trim());
    line.starts_with('[')
        || key.is_some_and(|key| {
            !key.is_empty()
                && key.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | '"'))
        })
}

fn no_readings(vehicle: &Vehicle) -> Problem {
    let state = vehicle.states.last().map_or("cranking", |state| state.id.as_str());
    let home = vehicle.batteries.first().map(|battery| vehicle.point(battery.negative));
    let metal = vehicle.structures.first().and_then(|structure| structure.points.first());
    let metal = metal.map_or("block/front", |point| vehicle.point(*point).id.as_str());
    let home = home.map_or("main/-", |point| point.id.as_str());
    Problem::warning(Code::NoReadings, 0..0, "the file holds no readings", "one reading a line")
        .hint(format!("write for example `{state}: {metal} to {home}  0.41 V`"))
}

impl Readings {
    fn is_empty(&self) -> bool {
        let said = self.seen.is_empty() && self.kept.is_empty();
        said && self.readings.is_empty() && self.worthless.is_empty()
    }

    /// Takes in what was said in a line that begins so many bytes on in its text.
    pub fn say(&mut self, statements: Vec<Statement>, start: usize) {
        for own in statements {
            match own.what {
                What::Reading { reading, warnings, filled } => {
                    self.readings.push(*reading);
                    self.problems.extend(warnings.into_iter().map(|own| moved(own, start)));
                    self.fill(filled);
                }
                What::Seen(all) => self.seen.extend(all),
                What::Worthless(own) => {
                    let place = own.place.start + start..own.place.end + start;
                    self.worthless.push(Worthless { place, ..own });
                }
                What::Question(Question { problem, .. }) | What::Remark(problem) => {
                    self.problems.push(moved(problem, start));
                    self.kept.push(Kept { number: own.number, text: own.said });
                }
            }
        }
    }

    fn fill(&mut self, filled: Vec<Filled>) {
        for own in filled {
            if !self.filled.contains(&own) {
                self.filled.push(own);
            }
        }
    }

    /// Understands what was found of an entry and puts it where it belongs.
    fn add(
        &mut self,
        number: u32,
        text: &str,
        found: Result<Account, Problem>,
        context: &Context<'_>,
    ) {
        let mut remarks = Remarks::default();
        let outcome = found.and_then(|account| {
            context.understand(&account, &mut remarks).map(|outcome| (account.place, outcome))
        });
        match outcome {
            Ok((_, Outcome::Reading(reading))) => {
                self.readings.push(reading);
                self.problems.extend(remarks.warnings);
                self.beside_work.extend(remarks.work);
                self.fill(remarks.filled);
            }
            Ok((place, Outcome::Worthless { why, instead })) => {
                self.problems.extend(remarks.warnings);
                self.worthless.push(Worthless {
                    number,
                    text: text.to_owned(),
                    why,
                    instead,
                    place,
                });
            }
            Err(problem) => {
                self.problems.push(problem);
                self.kept.push(Kept { number, text: text.to_owned() });
            }
        }
    }
}

/// A problem in a text that begins so many bytes later.
fn moved(problem: Problem, offset: usize) -> Problem {
    let place = problem.place.start + offset..problem.place.end + offset;
    Problem { place, ..problem }
}

fn read_tables(text: &str, context: &mut Context<'_>, readings: &mut Readings) {
    let items = tables::read(text, context, &mut readings.problems);
    for item in items {
        let own = &text[item.place.clone()];
        match item.account {
            Some(found) => {
                let found = printable(own).map_err(|told| moved(told, item.place.start)).and(found);
                readings.add(item.number, own, found, context);
            }
            None => readings.kept.push(Kept { number: item.number, text: own.to_owned() }),
        }
    }
}

fn read_columns(text: &str, separator: char, context: &Context<'_>, readings: &mut Readings) {
    let rows = columns::rows(text, separator);
    let Some((head, rows)) = rows.split_first() else { return };
    let columns = columns::header(head, &mut readings.problems);
    for (number, row) in (1..).zip(rows) {
        let own = &text[row.place.clone()];
        let found = printable(own)
            .map_err(|told| moved(told, row.place.start))
            .and_then(|()| columns::account(text, row, &columns, number, context));
        readings.add(number, own, found, context);
    }
}

fn read_lines(text: &str, context: &Context<'_>, readings: &mut Readings) {
    let words = Vocabulary::of(context.vehicle);
    let mut at = 0;
    let mut number = 1;
    for line in text.split_inclusive('\n') {
        let start = at;
        at += line.len();
        let line = line.trim_end();
        if line.trim_start().is_empty() || line.trim_start().starts_with('#') {
            continue;
        }
        let said = statement::told(line, context, &words, number);
        number += u32::try_from(said.len()).unwrap_or(u32::MAX / 2);
        readings.say(said, start);
    }
}
