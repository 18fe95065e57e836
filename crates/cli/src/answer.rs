//! What a command gives back: text for a person, JSON for a program, and how it went.

use serde::Serialize;
use serde_json::Value;
use units::UnitSystem;

/// What the person asked for besides the command itself.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Asked {
    /// Metric or US units.
    pub units: UnitSystem,
    /// Columns of the terminal, 80 when it is not one.
    pub width: usize,
    /// JSON instead of text.
    pub json: bool,
}

/// How a command went, as the process tells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exit {
    /// All well.
    Well,
    /// The question was answered, and the answer is a warning: something is below its minimum, a
    /// file has errors, a limit is passed.
    Finding,
}

/// An answer in both forms. Text may hold ANSI styles; they are stripped off a terminal.
#[derive(Debug)]
pub(crate) struct Answer {
    pub text: String,
    pub json: serde_json::Value,
    pub exit: Exit,
}

/// An answer's documented shape as JSON.
pub(crate) fn json(answer: &impl Serialize) -> Value {
    // The shapes have keys of text alone, which is all that could fail.
    serde_json::to_value(answer).unwrap_or_default()
}

/// A question that cannot be answered as asked: one message for a person, in the parts of
/// `docs/problems.md`: what is wrong, and what would be right.
#[derive(Debug)]
pub(crate) struct Failure(pub String);

impl Failure {
    pub(crate) fn new(what: impl std::fmt::Display, expected: impl std::fmt::Display) -> Self {
        Self(format!("{what}\n  expected {expected}"))
    }
}
