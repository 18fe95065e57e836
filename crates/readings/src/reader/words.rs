//! A line of text as words, numbers and marks, each with its place.

use std::ops::Range;

/// What a token is, as far as its letters tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sort {
    /// A name that the vehicle knows, or that is written like a point or a joint.
    Name,
    /// Letters.
    Word,
    /// Digits, with a sign and decimals.
    Number,
    /// `~`, `<`, a dash, an arrow.
    Mark,
    /// A clock time or a date.
    Time,
}

/// A word, number or mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Token<'t> {
    pub text: &'t str,
    pub place: Range<usize>,
    pub sort: Sort,
    /// True when nothing stands between it and the token before.
    pub attached: bool,
}

impl Token<'_> {
    /// True for any of these words, however written.
    pub(super) fn is(&self, words: &[&str]) -> bool {
        matches!(self.sort, Sort::Word | Sort::Mark)
            && words.iter().any(|word| self.text.eq_ignore_ascii_case(word))
    }
}

/// Splits a text. `knows` says of a word whether the vehicle has something called so.
pub(super) fn tokens<'t>(text: &'t str, knows: &dyn Fn(&str) -> bool) -> Vec<Token<'t>> {
    let mut all = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        let between =
            c.is_whitespace() || matches!(c, '→' | '⇒' | '=' | '|' | '"' | '`' | '“' | '”');
        match (between, start) {
            (true, Some(from)) => {
                chunk(text, from..at, knows, &mut all);
                start = None;
            }
            (false, None) => start = Some(at),
            _ => {}
        }
    }
    all
}

const OPENING: [char; 4] = ['(', '[', '{', '\''];
const CLOSING: [char; 10] = [',', ':', ';', '.', '!', '?', ')', ']', '}', '\''];

/// One run of characters without blanks.
fn chunk<'t>(
    text: &'t str,
    place: Range<usize>,
    knows: &dyn Fn(&str) -> bool,
    all: &mut Vec<Token<'t>>,
) {
    let whole = &text[place.clone()];
    let opened = whole.trim_start_matches(OPENING);
    let body = opened.trim_end_matches(CLOSING);
    let at = place.start + (whole.len() - opened.len());
    let place = at..at + body.len();
    if body.is_empty() {
        return;
    }
    let mut push = |sort| {
        all.push(Token { text: body, place: place.clone(), sort, attached: false });
    };
    if knows(body) {
        return push(Sort::Name);
    }
    if is_time(body) {
        return push(Sort::Time);
    }
    if begins_with_a_number(body) {
        return numbers(body, at, all);
    }
    if let Some(split) = body.find([':', ',', ';']) {
        chunk(text, at..at + split, knows, all);
        return chunk(text, at + split + 1..place.end, knows, all);
    }
    if body.chars().all(|c| !c.is_alphanumeric()) {
        return push(Sort::Mark);
    }
    let like_a_name =
        body.contains('/') || [".from", ".to", ".strand"].iter().any(|end| body.ends_with(end));
    push(if like_a_name { Sort::Name } else { Sort::Word });
}

fn begins_with_a_number(text: &str) -> bool {
    let rest = text.trim_start_matches(['~', '≈', '<', '>', '≤', '≥', '±', '−', '-', '+', '.']);
    rest.starts_with(|c: char| c.is_ascii_digit())
}

/// `14:32`, `14:32:05`, `2026-04-30`, `2026-04-30T14:32`.
fn is_time(text: &str) -> bool {
    let (date, clock) = text.split_once(['T', 't']).unwrap_or(("", text));
    let digits = |part: &str, least: usize, most: usize| {
        (least..=most).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit())
    };
    let is_date = |text: &str| {
        let parts: Vec<&str> = text.split('-').collect();
        parts.len() == 3
            && digits(parts[0], 4, 4)
            && digits(parts[1], 2, 2)
            && digits(parts[2], 2, 2)
    };
    let is_clock = |text: &str| {
        let parts: Vec<&str> = text.split(':').collect();
        (2..=3).contains(&parts.len())
            && digits(parts[0], 1, 2)
            && parts[1..].iter().all(|part| digits(part, 2, 2))
    };
    if date.is_empty() {
        is_date(clock) || is_clock(clock)
    } else {
        is_date(date) && is_clock(clock)
    }
}

/// Bytes of the number at the beginning of a text; none when there is no number.
pub(super) fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut at = match text.chars().next() {
        Some(sign @ ('-' | '+' | '−')) => sign.len_utf8(),
        _ => 0,
    };
    let begin = at;
    while digit(at) {
        at += 1;
    }
    if matches!(bytes.get(at), Some(b'.' | b',')) && digit(at + 1) {
        at += 1;
        while digit(at) {
            at += 1;
        }
    }
    if at == begin {
        return 0;
    }
    // `4e-3`, as a program writes it.
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(at + 1), Some(b'-' | b'+')));
        let mut end = at + 1 + sign;
        while digit(end) {
            end += 1;
        }
        if end > at + 1 + sign {
            at = end;
        }
    }
    at
}

/// Takes `0.3-0.8V` and `~410mV` apart.
fn numbers<'t>(body: &'t str, offset: usize, all: &mut Vec<Token<'t>>) {
    let mut at = 0;
    let mut after_number = false;
    while at < body.len() {
        let rest = &body[at..];
        // After a number a dash is a range, not a sign.
        let signed = rest.starts_with(['-', '+', '−']);
        let number = if after_number && signed { 0 } else { number_length(rest) };
        let (length, sort) = if number > 0 {
            (number, Sort::Number)
        } else {
            let letters: usize =
                rest.chars().take_while(|c| is_of_a_unit(*c)).map(char::len_utf8).sum();
            let marks: usize = rest
                .chars()
                .take_while(|c| !is_of_a_unit(*c) && !c.is_ascii_digit())
                .map(char::len_utf8)
                .sum();
            match (letters, marks) {
                (0, 0) => (rest.len(), Sort::Word),
                (0, marks) => (marks, Sort::Mark),
                (letters, _) => (letters, Sort::Word),
            }
        };
        let text = &body[at..at + length];
        let place = offset + at..offset + at + length;
        all.push(Token { text, place, sort, attached: at > 0 });
        after_number = sort != Sort::Mark;
        at += length;
    }
}

fn is_of_a_unit(c: char) -> bool {
    c.is_alphabetic()
        || matches!(c, 'Ω' | 'µ' | 'μ' | '\u{2126}' | '%' | '°' | '²' | '·' | '/' | '_')
}
