//! The few styles that text answers use, and the one way by which text reaches a terminal.
//!
//! Text is full of what people wrote: names, remarks, readings, names of files. A control character in it would
//! rule the terminal, one that turns the direction of writing would show something else than stands there. So our
//! own styles are marked with a character that is none, and [`to_terminal`] alone makes styles of the marks and
//! signs of everything else.

use std::fmt::Display;

/// Stands for ESC in our own styles until the text leaves the program; Unicode has no character here.
pub(crate) const MARK: char = '\u{fdd0}';
/// Begins an answer that is a file: byte for byte where nobody looks at it.
const WHOLE: char = '\u{fdd1}';

/// Styles that may follow a mark: none hides, moves or remembers anything.
const STYLES: [&str; 16] = [
    "[0m", "[1m", "[2m", "[1;33m", "[31m", "[32m", "[33m", "[34m", "[35m", "[36m", "[91m", "[92m",
    "[93m", "[94m", "[95m", "[96m",
];

/// A heading or the thing that matters on a line.
pub(crate) fn bold(text: impl Display) -> String {
    format!("{MARK}[1m{text}{MARK}[0m")
}

/// Said by the way.
pub(crate) fn dim(text: impl Display) -> String {
    format!("{MARK}[2m{text}{MARK}[0m")
}

/// Something to look at.
pub(crate) fn warning(text: impl Display) -> String {
    format!("{MARK}[1;33m{text}{MARK}[0m")
}

/// Text of a library that styles by itself, of words that were [`plain`] before.
pub(crate) fn marked(styled: &str) -> String {
    styled.replace('\u{1b}', MARK.encode_utf8(&mut [0; 4]))
}

/// A file as an answer.
pub(crate) fn whole_file(text: &str) -> String {
    format!("{WHOLE}{text}")
}

/// The file that an answer is, if it is one.
pub(crate) fn as_whole_file(text: &str) -> Option<&str> {
    text.strip_prefix(WHOLE)
}

/// True for what rules a terminal instead of being shown: C0 and C1 but the end of a line and the tab, marks that
/// turn the direction of writing (UAX #9), separators that few know, and our own marks.
fn rules(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\t'))
        || matches!(c, '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}')
        || matches!(c, '\u{2066}'..='\u{206f}' | '\u{fdd0}'..='\u{fdef}')
}

/// A sign that shows such a character.
fn sign(c: char, out: &mut String) {
    match u32::from(c) {
        code @ 0..=0x1f => out.extend(char::from_u32(0x2400 + code)),
        0x7f => out.push('␡'),
        _ => out.extend(c.escape_unicode()),
    }
}

/// True when nothing in it rules a terminal.
pub(crate) fn is_plain(text: &str) -> bool {
    !text.chars().any(rules)
}

/// Words of somebody else, such as can be put into a style or before a library.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if rules(c) { sign(c, &mut out) } else { out.push(c) }
    }
    out
}

/// Text as a terminal may have it: our own styles, and a sign for every character that would rule it.
pub(crate) fn to_terminal(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        rest = &rest[c.len_utf8()..];
        let style = STYLES.into_iter().find(|own| c == MARK && rest.starts_with(own));
        if let Some(style) = style {
            out.push('\u{1b}');
            out.push_str(style);
            rest = &rest[style.len()..];
        } else if rules(c) {
            sign(c, &mut out);
        } else {
            out.push(c);
        }
    }
    out
}

/// JSON that says the same without any such character.
pub(crate) fn json_to_terminal(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        // All of them stand in texts, and have four digits.
        if rules(c) {
            out.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            out.push(c);
        }
    }
    out
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

/// Columns that a line takes; our own styles take none.
pub(crate) fn columns(line: &str) -> usize {
    bare(line).chars().count()
}

/// Text without our own styles.
pub(crate) fn bare(text: &str) -> String {
    STYLES.iter().fold(text.to_owned(), |own, style| own.replace(&format!("{MARK}{style}"), ""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_somebody_wrote_rules_the_terminal() {
        let hostile = "a\u{1b}[2J\u{7}\u{9b}31m\u{7f}\r\u{202e}b\u{2066}c\u{200f}\u{fdd0}[8md";
        for styled in [hostile.to_owned(), bold(hostile), warning(hostile)] {
            let shown = to_terminal(&styled);
            let bare =
                STYLES.iter().fold(shown, |own, style| own.replace(&format!("\u{1b}{style}"), ""));
            assert_eq!(bare, "a␛[2J␇\\u{9b}31m␡␍\\u{202e}b\\u{2066}c\\u{200f}\\u{fdd0}[8md");
        }
        assert_eq!(to_terminal(&bold("µΩ\tå\n")), "\u{1b}[1mµΩ\tå\n\u{1b}[0m");
        assert!(
            !to_terminal(&marked(&format!("\u{1b}[1m{}", plain(hostile)))).contains("\u{1b}[2J")
        );
    }

    #[test]
    fn json_says_the_same_with_signs_for_what_rules_a_terminal() {
        let value = serde_json::json!({ "name": "a\u{9b}\u{202e}\u{7f}\u{1b}µ" });
        let shown = json_to_terminal(&value.to_string());
        assert!(shown.is_ascii() || !shown.chars().any(rules), "{shown}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&shown).expect("JSON"), value);
    }
}
