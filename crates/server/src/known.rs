//! Files as they were understood.

use std::collections::VecDeque;
use std::sync::Arc;

use answers::problem;
use file::Reading;
use model::Vehicle;

use crate::error::ApiError;

/// Files remembered as they were understood.
const MOST_KNOWN: usize = 24;

/// A file as it was understood, with its text.
#[derive(Debug)]
pub(crate) struct Understood {
    pub text: String,
    pub reading: Reading,
}

impl Understood {
    /// Understands a text. Takes long for some: not to be called where requests are served.
    pub(crate) fn of(text: String) -> Self {
        let reading = file::read(text.as_bytes());
        Self { text, reading }
    }

    /// The vehicle, or the errors of its file.
    pub(crate) fn vehicle(&self) -> Result<&Vehicle, ApiError> {
        self.reading
            .vehicle
            .as_ref()
            .ok_or_else(|| ApiError::problems(problem::of(&self.reading.problems, &self.text)))
    }
}

/// Files that were understood lately.
#[derive(Debug, Default)]
pub(crate) struct Known(VecDeque<Arc<Understood>>);

impl Known {
    /// The file with a text, if it was understood lately.
    pub(crate) fn find(&self, text: &str) -> Option<Arc<Understood>> {
        self.0.iter().find(|own| own.text == text).map(Arc::clone)
    }

    /// Remembers a file, in place of the one that was understood the longest ago.
    pub(crate) fn keep(&mut self, fresh: &Arc<Understood>) {
        self.0.push_front(Arc::clone(fresh));
        self.0.truncate(MOST_KNOWN);
    }
}
