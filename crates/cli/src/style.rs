//! The few ANSI styles that text answers use; they are stripped where the output is no terminal.

use std::fmt::Display;

/// A heading or the thing that matters on a line.
pub(crate) fn bold(text: impl Display) -> String {
    format!("\u{1b}[1m{text}\u{1b}[0m")
}

/// Said by the way.
pub(crate) fn dim(text: impl Display) -> String {
    format!("\u{1b}[2m{text}\u{1b}[0m")
}

/// Something to look at.
pub(crate) fn warning(text: impl Display) -> String {
    format!("\u{1b}[1;33m{text}\u{1b}[0m")
}

/// Wraps plain text to lines of so many columns; every line but the first gets an indent before it.
pub(crate) fn wrapped(text: &str, width: usize, indent: usize) -> String {
    let mut lines = String::new();
    let mut column = 0;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if column > 0 && column + 1 + length > width {
            lines.push('\n');
            lines.push_str(&" ".repeat(indent));
            column = 0;
        } else if column > 0 {
            lines.push(' ');
            column += 1;
        }
        lines.push_str(word);
        column += length;
    }
    lines
}
