//! Problems of a file as a person reads them: the line, a caret, what would be right.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use model::{Problem, Severity};
use serde_json::{Value, json};

/// More than this many are not shown; they have one cause.
const MOST_SHOWN: usize = 50;

/// What some editors write at the beginning of a file in UTF-8.
const MARK: char = '\u{feff}';

/// Every problem with its line, and a count at the end.
pub(crate) fn rendered(problems: &[Problem], path: &str, text: &str, width: usize) -> String {
    let renderer = Renderer::styled().term_width(width);
    // A mark at the beginning of the file is no character of its first line.
    let shown = text.trim_start_matches(MARK);
    let mark = text.len() - shown.len();
    let mut all = String::new();
    for problem in problems.iter().take(MOST_SHOWN) {
        let level = match problem.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let place = &problem.place;
        let place = place.start.saturating_sub(mark)..place.end.saturating_sub(mark);
        let place = within(&place, shown);
        let snippet = Snippet::source(shown).path(path).annotation(
            AnnotationKind::Primary.span(place).label(format!("expected {}", problem.expected)),
        );
        let mut groups = vec![level.primary_title(&problem.what).id(problem.code).element(snippet)];
        if let Some(hint) = &problem.hint {
            groups.push(Group::with_title(Level::HELP.with_name("hint").secondary_title(hint)));
        }
        all.push_str(&renderer.render(&groups));
        all.push_str("\n\n");
    }
    let errors = problems.iter().filter(|problem| problem.severity == Severity::Error).count();
    let warnings = problems.len() - errors;
    if problems.len() > MOST_SHOWN {
        all.push_str(&format!("… and {} more\n", problems.len() - MOST_SHOWN));
    }
    if !problems.is_empty() {
        all.push_str(&format!(
            "{path}: {}, {}\n",
            count(errors, "error"),
            count(warnings, "warning")
        ));
    }
    all
}

/// `1 error`, `2 errors`, `no errors`.
pub(crate) fn count(number: usize, word: &str) -> String {
    match number {
        0 => format!("no {word}s"),
        1 => format!("1 {word}"),
        many => format!("{many} {word}s"),
    }
}

fn within(place: &std::ops::Range<usize>, text: &str) -> std::ops::Range<usize> {
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

/// The same as JSON.
pub(crate) fn json(problems: &[Problem], text: &str) -> Vec<Value> {
    let lines = Lines::of(text);
    problems
        .iter()
        .map(|problem| {
            let (line, column) = lines.position(problem.place.start);
            json!({
                "code": problem.code,
                "severity": if problem.severity == Severity::Error { "error" } else { "warning" },
                "what": problem.what,
                "line": line,
                "column": column,
                "expected": problem.expected,
                "hint": problem.hint,
            })
        })
        .collect()
}
