//! One reader of what people say, for every door: a line as its statements.

use std::ops::Range;

use model::{Code, Filled, Measured, Problem, Reading, Seen, Sight, Vehicle};

use super::meaning::{Context, Remarks};
use super::parts::{Part, parted};
use super::seen::seen;
use super::vocabulary::Vocabulary;
use super::{Line, Worthless, doubt, line_in};

/// One thing that was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Statement {
    /// Its number.
    pub number: u32,
    /// Bytes of the line at which it stands.
    pub span: Range<usize>,
    /// It as a line of its own, as it was said.
    pub said: String,
    /// The same in the names of the vehicle's file; it reads the same.
    pub read: String,
    /// What it says.
    pub what: What,
}

/// What was said. Places of problems count from the beginning of the line.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A meter was read, or a lead or a hand tried where a meter might have been.
    Reading {
        /// The reading.
        reading: Box<Reading>,
        /// What looks odd about it.
        warnings: Vec<Problem>,
        /// What was taken where nothing was said of the instrument.
        filled: Vec<Filled>,
    },
    /// Something seen, felt or tried.
    Seen(Vec<Seen>),
    /// A reading that proves nothing.
    Worthless(Worthless),
    /// It may mean several things, or lacks one, and is asked back.
    Question(Question),
    /// Nothing in it can be weighed.
    Remark(Problem),
}

/// Why something is asked back, and what it may mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is asked.
    pub problem: Problem,
    /// What it may mean, each as a line that reads without a doubt; empty where only whoever said it knows.
    pub meanings: Vec<String>,
}

/// The kind of a statement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// A meter was read.
    Reading,
    /// Something was seen or felt.
    Observation,
    /// A lead, a hand, a new part or a brush was tried, and something came of it or nothing.
    Trial,
    /// When the fault comes, or what else is wrong.
    Symptom,
    /// A reading that proves nothing.
    Nothing,
    /// It is asked back.
    Question,
    /// Nothing in it can be weighed.
    Remark,
}

impl Statement {
    /// Of which kind it is.
    #[must_use]
    pub fn kind(&self) -> Kind {
        match &self.what {
            What::Reading { reading, .. } => match reading.measured {
                Measured::JumpLead { .. } | Measured::Moved { .. } => Kind::Trial,
                Measured::Volts { .. } | Measured::Amps { .. } | Measured::Ohms { .. } => {
                    Kind::Reading
                }
            },
            What::Seen(all) => match all.first().map(|own| &own.sight) {
                Some(Sight::Worked { .. }) => Kind::Trial,
                Some(Sight::Upset { .. } | Sight::Comes(_)) => Kind::Symptom,
                Some(Sight::Heat { .. } | Sight::Condition { .. }) | None => Kind::Observation,
            },
            What::Worthless(_) => Kind::Nothing,
            What::Question(_) => Kind::Question,
            What::Remark(_) => Kind::Remark,
        }
    }

    /// What is asked, or why it is a remark.
    #[must_use]
    pub fn problem(&self) -> Option<&Problem> {
        match &self.what {
            What::Question(own) => Some(&own.problem),
            What::Remark(own) => Some(own),
            What::Reading { .. } | What::Seen(_) | What::Worthless(_) => None,
        }
    }
}

/// Everything that a line says, in its order; the first is numbered so, and one more for each after it.
///
/// Never fails and never panics: what is not understood is asked back or kept as a remark.
#[must_use]
pub fn statements(
    line: &str,
    vehicle: &Vehicle,
    words: &Vocabulary,
    number: u32,
) -> Vec<Statement> {
    told(line, &Context::new(vehicle), words, number)
}

/// The same of a line that tells one thing.
#[must_use]
pub fn statement(line: &str, vehicle: &Vehicle, words: &Vocabulary, number: u32) -> Statement {
    let whole = Part { text: line.to_owned(), span: 0..line.len(), front: 0 };
    of_part(whole, &Context::new(vehicle), words, number)
}

/// The same against what is known of a vehicle already.
pub(super) fn told(
    line: &str,
    context: &Context<'_>,
    words: &Vocabulary,
    number: u32,
) -> Vec<Statement> {
    let numbered = parted(line, context.vehicle).into_iter().zip(0..);
    numbered.map(|(part, at)| of_part(part, context, words, number.saturating_add(at))).collect()
}

/// Places of a part are moved to where it stands in its line.
fn of_part(part: Part, context: &Context<'_>, words: &Vocabulary, number: u32) -> Statement {
    let (read, what) = read(&part.text, context, words, number);
    let mut own = Statement { number, span: part.span.clone(), said: part.text, read, what };
    let moved = |place: &mut Range<usize>| {
        let at = |at: usize| at.saturating_sub(part.front) + part.span.start;
        *place = at(place.start)..at(place.end);
    };
    match &mut own.what {
        What::Reading { warnings, .. } => {
            warnings.iter_mut().for_each(|own| moved(&mut own.place));
        }
        What::Worthless(own) => moved(&mut own.place),
        What::Question(own) => moved(&mut own.problem.place),
        What::Remark(own) => moved(&mut own.place),
        What::Seen(_) => {}
    }
    own
}

/// The line in the names of the file, and what it says.
fn read(text: &str, context: &Context<'_>, words: &Vocabulary, number: u32) -> (String, What) {
    let line = words.translated(text);
    let mut remarks = Remarks::default();
    let (read, found) = with_the_load(line.text.clone(), context, (words, number), &mut remarks);
    let back = |own: Problem| Problem { place: line.back(&own.place), ..own };
    let noticed = || {
        let own = seen(&words.parted(text), &context.known, context.vehicle, number)?;
        let as_said = |own| Seen { text: text.to_owned(), ..own };
        Some(own.map(|all| What::Seen(all.into_iter().map(as_said).collect())))
    };
    match found {
        // Of the clamp on a post people do not tell which of the lugs there they moved.
        Ok(Line::Reading { reading, .. })
            if matches!(reading.measured, Measured::Moved { .. })
                && !line.is_plain()
                && let Some(Ok(own)) = noticed() =>
        {
            (text.to_owned(), own)
        }
        Ok(Line::Reading { reading, warnings }) => {
            let what = match doubt::of(&reading, &read, context.vehicle) {
                Some(own) => What::Question(Question { problem: back(own.problem), ..own }),
                None => What::Reading {
                    reading,
                    warnings: warnings.into_iter().map(back).collect(),
                    filled: remarks.filled,
                },
            };
            (read, what)
        }
        Ok(Line::Worthless(own)) => {
            let place = line.back(&own.place);
            (read, What::Worthless(Worthless { text: text.to_owned(), place, ..own }))
        }
        Err(problem) => {
            let said = read.get(problem.place.clone()).unwrap_or_default();
            let joint = problem.code == Code::WhichJoint
                || (problem.code == Code::UnknownJoint && said.contains(['.', '/']));
            // Where a joint of the file was meant, the problem says which there are.
            match noticed().filter(|_| !joint || !line.is_plain()) {
                Some(Ok(own)) => (text.to_owned(), own),
                Some(Err(own)) if NO_READING.contains(&problem.code) => {
                    (read, asked(own, text, context, words))
                }
                _ if problem.code == Code::ValueMissing => (read, What::Remark(back(problem))),
                _ => (read, asked(back(problem), text, context, words)),
            }
        }
    }
}

/// Problems that a line has because it holds no reading; of any other the reading is told of.
const NO_READING: [Code; 5] = [
    Code::ValueMissing,
    Code::ValueUnreadable,
    Code::UnknownName,
    Code::WordsUnread,
    Code::UnknownJoint,
];

/// Reads a line; a trial that names no load watched the one that does not work as it should.
fn with_the_load(
    read: String,
    context: &Context<'_>,
    (words, number): (&Vocabulary, u32),
    remarks: &mut Remarks,
) -> (String, Result<Line, Problem>) {
    let first = line_in(&read, number, context, remarks);
    if let (Err(problem), Some(load)) = (&first, words.watched())
        && problem.code == Code::LoadMissing
    {
        let (body, note) = read.split_at(read.find('#').unwrap_or(read.len()));
        let gap = if note.is_empty() { "" } else { "  " };
        let again = format!("{}: {load}{gap}{note}", body.trim_end());
        let second = line_in(&again, number, context, remarks);
        match &second {
            Ok(_) => return (again, second),
            // Something else is in the way as well, which only whoever said it can mend.
            Err(other) if other.place.end <= body.trim_end().len() => return (read, second),
            Err(_) => {}
        }
    }
    (read, first)
}

/// A question, with what it may mean where that is one of two.
fn asked(problem: Problem, text: &str, context: &Context<'_>, words: &Vocabulary) -> What {
    let mut meanings = Vec::new();
    if problem.code == Code::WhichTerminal && text.is_char_boundary(problem.place.start) {
        let (front, rest) = text.split_at(problem.place.start.min(text.len()));
        for side in ["plus", "minus"] {
            let line = format!("{front}{side} {rest}");
            let told = seen(&words.parted(&line), &context.known, context.vehicle, 1);
            let other = words.translated(&line).text;
            let reads = told.is_some_and(|own| own.is_ok())
                || line_in(&other, 1, context, &mut Remarks::default()).is_ok();
            meanings.extend(reads.then_some(line));
        }
        if meanings.len() < 2 {
            meanings.clear();
        }
    }
    What::Question(Question { problem, meanings })
}

#[cfg(test)]
mod tests;
