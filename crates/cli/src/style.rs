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

/// Units that stay beside their number, and what may follow them.
const UNITS: [&str; 9] = ["%", "V", "mV", "µV", "A", "mA", "Ω", "mΩ", "µΩ"];
const STOPS: [char; 6] = [',', '.', ';', ':', ')', '?'];

/// Wraps plain text to lines of so many columns; every line but the first gets an indent before it.
pub(crate) fn wrapped(text: &str, width: usize, indent: usize) -> String {
    let mut lines = String::new();
    let mut column = 0;
    let mut rest = text.split_whitespace().peekable();
    while let Some(word) = rest.next() {
        // A number and its unit stay together.
        let number = word.ends_with(|c: char| c.is_ascii_digit());
        let unit = rest.next_if(|next| number && UNITS.contains(&next.trim_end_matches(STOPS)));
        let word = unit.map_or_else(|| word.to_owned(), |unit| format!("{word} {unit}"));
        let length = word.chars().count();
        if column > 0 && column + 1 + length > width {
            lines.push('\n');
            lines.push_str(&" ".repeat(indent));
            column = 0;
        } else if column > 0 {
            lines.push(' ');
            column += 1;
        }
        lines.push_str(&word);
        column += length;
    }
    lines
}
