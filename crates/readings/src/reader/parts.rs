//! Several statements in one line: `battery 12.4 V at rest, 9.1 V cranking`.

use std::ops::Range;

use model::Vehicle;

use super::value::electrical;

/// One statement of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    /// It as a line of its own.
    pub text: String,
    /// Where it stands in the whole line.
    pub span: Range<usize>,
    /// Bytes of the state that was put in front of it.
    pub front: usize,
}

/// A line as its statements, each as a line of its own; the line itself where it tells but one value.
///
/// A line is parted only where a full stop, semicolon or comma stands between two values with their units or
/// decimals. A state in front of all, such as `cranking:`, is said in front of each. What stands behind `#`
/// stays with the last.
#[must_use]
pub fn parts(line: &str, vehicle: &Vehicle) -> Vec<String> {
    parted(line, vehicle).into_iter().map(|own| own.text).collect()
}

/// The same, each with its place.
pub(super) fn parted(line: &str, vehicle: &Vehicle) -> Vec<Part> {
    let body = line.split('#').next().unwrap_or_default();
    let mut cuts = Vec::new();
    let mut from = 0;
    for (at, mark) in body.match_indices([',', ';', '.', '\n']) {
        let blank = body[at + mark.len()..].starts_with(char::is_whitespace);
        if (blank || mark == "\n")
            && tells_a_value(&body[from..at])
            && tells_a_value(&body[at + mark.len()..])
        {
            cuts.push(at);
            from = at + mark.len();
        }
    }
    if cuts.is_empty() {
        return vec![Part { text: line.to_owned(), span: 0..line.len(), front: 0 }];
    }
    let state = common_state(body, vehicle);
    let ends = cuts.iter().copied().chain([line.len()]);
    let starts = std::iter::once(0).chain(cuts.iter().map(|at| at + 1));
    starts
        .zip(ends)
        .map(|(from, to)| {
            let own = line[from..to].trim();
            let start = from + (line[from..to].len() - line[from..to].trim_start().len());
            let front = match state {
                Some(state) if from > 0 && !own.contains(':') => format!("{state}: "),
                _ => String::new(),
            };
            let text = format!("{front}{own}");
            Part { text, span: start..start + own.len(), front: front.len() }
        })
        .collect()
}

/// True for a number with a decimal, or with volts, amperes or ohms behind it.
fn tells_a_value(part: &str) -> bool {
    let words: Vec<&str> = part.split_whitespace().collect();
    words.iter().enumerate().any(|(at, word)| {
        let word = word.trim_start_matches(['(', '~', '-', '+', '\u{2212}']);
        if !word.starts_with(|c: char| c.is_ascii_digit()) {
            return false;
        }
        let rest = word.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
        let number = &word[..word.len() - rest.len()];
        let decimal = number.trim_end_matches(['.', ',']).contains(['.', ',']);
        let unit = if rest.is_empty() { words.get(at + 1).copied().unwrap_or("") } else { rest };
        let unit = unit.trim_end_matches([',', ';', '.', ')', ':']);
        decimal && rest.is_empty() || (!unit.is_empty() && electrical(unit).is_some())
    })
}

/// A state that stands in front of all with a colon.
fn common_state<'l>(body: &'l str, vehicle: &Vehicle) -> Option<&'l str> {
    let (front, _) = body.split_once(':')?;
    let front = front.trim();
    vehicle.state_named(front).map(|_| front)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::tests::vehicle;
    use super::parts;

    fn check(line: &str, expected: &[&str]) {
        assert_eq!(parts(line, &vehicle()), expected, "{line}");
    }

    #[test]
    fn a_comma_between_two_values_parts_a_line() {
        check(
            "battery 12.4 V at rest, 9.1 V cranking",
            &["battery 12.4 V at rest", "9.1 V cranking"],
        );
        check("12.4 resting, 9.1 cranking", &["12.4 resting", "9.1 cranking"]);
        check(
            "post to post 12.6V; block to post 0.3V. lamp 11 V",
            &["post to post 12.6V", "block to post 0.3V", "lamp 11 V"],
        );
    }

    #[test]
    fn a_state_in_front_of_all_is_said_in_front_of_each() {
        check(
            "cranking: main 10.2 V, block/front to main/- 0.4 V",
            &["cranking: main 10.2 V", "cranking: block/front to main/- 0.4 V"],
        );
    }

    #[test]
    fn one_value_parts_no_line() {
        for line in [
            "between main/- and block/front, 0.4 V",
            "cranking, block/front to main/-, 0,41 V",
            "main 12.6 V, after 48 hours",
            "main 12.4 V # before, it was 11.9 V",
            "0.3 to 0.8 V, cranking",
            "found the strap loose, tightened, no change",
        ] {
            check(line, &[line]);
        }
    }

    proptest! {
        /// Nothing but the marks between statements is left out.
        #[test]
        fn every_word_of_a_line_is_in_one_of_its_statements(line in "[a-z0-9 .,;V]{0,60}") {
            let letters = |text: &str| text.chars().filter(|c| c.is_ascii_alphanumeric()).collect::<String>();
            let whole: String = parts(&line, &vehicle()).iter().map(|own| letters(own)).collect();
            prop_assert_eq!(whole, letters(&line));
        }

        #[test]
        fn no_line_makes_it_stumble(line in "\\PC{0,80}") {
            let _ = parts(&line, &vehicle());
        }
    }
}
