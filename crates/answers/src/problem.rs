//! Problems of a text with their lines and columns.

use std::ops::Range;

use serde::Serialize;
use utoipa::ToSchema;

/// What some editors write at the beginning of a file in UTF-8.
const MARK: char = '\u{feff}';

shape! {
    /// One problem of a text.
    #[derive(Eq)]
    pub struct Problem from (at: (usize, usize), problem: &model::Problem) {
        let (line, column) = at;
        /// A slug that never changes, explained in docs/problems.md.
        pub code: String = problem.code.to_string(),
        /// `error` or `warning`.
        pub severity: Severity = match problem.severity {
            model::Severity::Error => Severity::Error,
            model::Severity::Warning => Severity::Warning,
        },
        /// What is wrong.
        pub what: String = problem.what.clone(),
        /// Counts from one.
        pub line: usize = line,
        /// Counts from one, in characters.
        pub column: usize = column,
        /// What would be right.
        pub expected: String = problem.expected.clone(),
        /// One act that would put it right.
        pub hint: Option<String> = problem.hint.clone(),
    }
}

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "lowercase")]
#[schema(as = ProblemSeverity)]
pub enum Severity {
    /// The vehicle cannot be used until this is put right.
    Error,
    /// Something looks wrong.
    Warning,
}

/// The problems of a text.
#[must_use]
pub fn of(problems: &[model::Problem], text: &str) -> Vec<Problem> {
    let lines = Lines::of(text);
    let place = |problem: &model::Problem| lines.position(problem.place.start);
    problems.iter().map(|problem| Problem::of(place(problem), problem)).collect()
}

/// Bytes at which the lines of a text begin, so that many places are found in one.
struct Lines<'t> {
    text: &'t str,
    begin: Vec<usize>,
}

impl<'t> Lines<'t> {
    fn of(text: &'t str) -> Self {
        let after = text.match_indices('\n').map(|(at, _)| at + 1);
        Self { text, begin: std::iter::once(0).chain(after).collect() }
    }

    /// Line and column, both from one, columns in characters.
    fn position(&self, byte: usize) -> (usize, usize) {
        let at = within(&(byte..byte), self.text).start;
        let line = self.begin.partition_point(|begin| *begin <= at);
        let begin = self.begin.get(line.saturating_sub(1)).copied().unwrap_or(0);
        let before = self.text[begin..at].trim_start_matches(MARK);
        (line, before.chars().count() + 1)
    }
}

/// The part of a place that lies within the text and its first line.
#[must_use]
pub fn within(place: &Range<usize>, text: &str) -> Range<usize> {
    let floor = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = floor(place.start);
    let end = floor(place.end).max(start);
    // A caret under a table that spans many lines points at its first line only.
    let line_end = text[start..].find('\n').map_or(text.len(), |at| start + at);
    start..end.min(line_end).max(start)
}
