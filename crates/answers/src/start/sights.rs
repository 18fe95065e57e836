//! What was seen, felt or tried: how it is taken from a line.

use model::{Code, Problem, Seen};

use super::story::{Outcome, Story};

/// Problems that a line has because it holds no reading; of any other the reading is told of.
const NO_READING: [Code; 5] = [
    Code::ValueMissing,
    Code::ValueUnreadable,
    Code::UnknownName,
    Code::WordsUnread,
    Code::UnknownJoint,
];

impl Story<'_> {
    /// What a line tells that is no reading; nothing where it is one that lacks something.
    pub(super) fn seen(&self, line: &str, number: u32, problem: &Problem) -> Option<Outcome> {
        match readings::seen(line, self.vehicle, number)? {
            Ok(all) => Some(Outcome::Seen(all)),
            Err(own) if NO_READING.contains(&problem.code) => {
                Some(Outcome::NotUnderstood(Box::new(own)))
            }
            Err(_) => None,
        }
    }

    /// Everything seen, felt or tried, in the order in which it was told.
    pub(super) fn sights(&self) -> impl Iterator<Item = &Seen> {
        self.told.iter().flat_map(|own| match &own.outcome {
            Outcome::Seen(all) => all.as_slice(),
            _ => &[],
        })
    }
}

#[cfg(test)]
mod tests;
