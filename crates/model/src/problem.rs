//! What is wrong with something a person wrote: where, what, and what would be right.

use std::ops::Range;

use crate::code::Code;

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The vehicle can be solved, but something looks wrong.
    Warning,
    /// The vehicle cannot be used until this is put right.
    Error,
}

/// One problem, the same for the terminal, JSON and the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// What kind of problem it is.
    pub code: Code,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong, in one line, with names in backticks and numbers with units.
    pub what: String,
    /// Bytes of the text at fault.
    pub place: Range<usize>,
    /// What would be right there, shown under the line.
    pub expected: String,
    /// One act that would put it right, if there is one to name.
    pub hint: Option<String>,
}

impl Problem {
    /// An error at a place.
    #[must_use]
    pub fn error(
        code: Code,
        place: Range<usize>,
        what: impl Into<String>,
        expected: impl Into<String>,
    ) -> Self {
        Self {
            code,
            severity: Severity::Error,
            what: what.into(),
            place,
            expected: expected.into(),
            hint: None,
        }
    }

    /// A warning at a place.
    #[must_use]
    pub fn warning(
        code: Code,
        place: Range<usize>,
        what: impl Into<String>,
        expected: impl Into<String>,
    ) -> Self {
        Self { severity: Severity::Warning, ..Self::error(code, place, what, expected) }
    }

    /// The same with a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}
