//! Problems of a file as a person reads them: the line, a caret, what would be right.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use answers::problem::within;
use model::{Problem, Severity};

use crate::style::{marked, plain};

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
    let path = plain(path);
    for problem in problems.iter().take(MOST_SHOWN) {
        let level = level(problem.severity);
        let place = &problem.place;
        let place = place.start.saturating_sub(mark)..place.end.saturating_sub(mark);
        let place = within(&place, shown);
        let expected = plain(&format!("expected {}", problem.expected));
        let snippet = Snippet::source(shown)
            .path(&path)
            .annotation(AnnotationKind::Primary.span(place).label(expected));
        let what = plain(&problem.what);
        let mut groups = vec![level.primary_title(&what).id(problem.code.word()).element(snippet)];
        let hint = problem.hint.as_deref().map(plain);
        if let Some(hint) = &hint {
            groups.push(Group::with_title(Level::HELP.with_name("hint").secondary_title(hint)));
        }
        all.push_str(&marked(&renderer.render(&groups)));
        all.push_str("\n\n");
    }
    if problems.len() > MOST_SHOWN {
        all.push_str(&format!("… and {} more\n", problems.len() - MOST_SHOWN));
    }
    if !problems.is_empty() {
        all.push_str(&format!("{path}: {}\n", counted(problems)));
    }
    all
}

fn level(severity: Severity) -> Level<'static> {
    match severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    }
}

fn counted(problems: &[Problem]) -> String {
    let errors = problems.iter().filter(|problem| problem.severity == Severity::Error).count();
    let warnings = problems.len() - errors;
    format!("{}, {}", count(errors, "error"), count(warnings, "warning"))
}

/// `1 error`, `2 errors`, `no errors`.
pub(crate) fn count(number: usize, word: &str) -> String {
    match number {
        0 => format!("no {word}s"),
        1 => format!("1 {word}"),
        many => format!("{many} {word}s"),
    }
}
