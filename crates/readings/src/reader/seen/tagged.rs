//! A line as its tagged words.

use std::ops::Range;

use super::super::known::{Known, Thing};
use super::lexicon::{self, Tag};

/// A word or several with one meaning, or a word that has none here.
#[derive(Debug, Clone)]
pub(super) struct Tagged {
    pub tag: Meant,
    pub place: Range<usize>,
    /// True where a comma, colon or the like stands behind it.
    pub ends: bool,
}

/// What was made of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Meant {
    Tag(Tag),
    /// Something the vehicle's file calls so.
    Named(Thing),
    Number,
    Unread,
}

/// Words of one term at most.
pub(in super::super) const MOST_WORDS: usize = 6;

struct Word {
    text: String,
    place: Range<usize>,
    ends: bool,
}

/// The words of a line, the longest terms first. Places count from the beginning of the line.
pub(super) fn tagged(body: &str, known: &Known<'_>) -> Vec<Tagged> {
    let words = words(body, known);
    let mut all = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let most = MOST_WORDS.min(words.len() - at);
        let term = (1..=most).rev().find_map(|count| {
            let here = &words[at..at + count];
            // A term does not reach over a comma.
            if here[..count - 1].iter().any(|own| own.ends) {
                return None;
            }
            let text = here.iter().map(|own| own.text.as_str()).collect::<Vec<_>>().join(" ");
            lexicon::tag(&text).map(|tag| (Meant::Tag(tag), count))
        });
        let (tag, count) = term.unwrap_or_else(|| (other(&words[at].text, known), 1));
        all.push(Tagged {
            tag,
            place: words[at].place.start..words[at + count - 1].place.end,
            ends: words[at + count - 1].ends,
        });
        at += count;
    }
    all
}

/// What a word means that is no term.
fn other(word: &str, known: &Known<'_>) -> Meant {
    if word.chars().all(|c| c.is_ascii_digit()) {
        return Meant::Number;
    }
    known.place(word).map_or(Meant::Unread, Meant::Named)
}

/// Words in lower case; what a hyphen joins is two unless the vehicle has it as a name.
fn words(body: &str, known: &Known<'_>) -> Vec<Word> {
    let mut all = Vec::new();
    let mut at = 0;
    for piece in body.split_inclusive(char::is_whitespace) {
        let start = at;
        at += piece.len();
        let own = piece.trim_end();
        let kept = own.trim_matches(|c: char| ",;:.!()\"“”'‘’`".contains(c));
        if kept.is_empty() {
            if let Some(last) = all.last_mut().filter(|_| !own.is_empty()) {
                let last: &mut Word = last;
                last.ends = true;
            }
            continue;
        }
        let begin = start + own.find(kept).unwrap_or(0);
        if ["+", "-", "–", "—"].contains(&kept) {
            mark(kept, begin, &mut all);
            continue;
        }
        let ends = own.ends_with([',', ';', ':', '.', '!']);
        let text = kept.to_lowercase().replace('’', "'");
        let named = text.contains(['-', '/', '.']) && known.knows(kept);
        if named || lexicon::tag(&text).is_some() {
            all.push(Word { text, place: begin..begin + kept.len(), ends });
            continue;
        }
        split(kept, begin, ends, &mut all);
    }
    all
}

/// A sign between blanks: a plus is a pole, a dash parts what stands beside it.
fn mark(kept: &str, begin: usize, all: &mut Vec<Word>) {
    if kept == "+" {
        all.push(Word { text: "plus".to_owned(), place: begin..begin + 1, ends: false });
    } else if let Some(last) = all.last_mut() {
        last.ends = true;
    }
}

/// Takes a word apart at its hyphens and strokes.
fn split(kept: &str, begin: usize, ends: bool, all: &mut Vec<Word>) {
    let mut from = begin;
    for part in kept.split_inclusive(['-', '/', '–', '—']) {
        let own = part.trim_end_matches(['-', '/', '–', '—']);
        let dash = part.len() > own.len() && part.ends_with(['–', '—']);
        if !own.is_empty() {
            all.push(Word {
                text: own.to_lowercase().replace('’', "'"),
                place: from..from + own.len(),
                ends: dash,
            });
        } else if let Some(last) = all.last_mut().filter(|_| dash) {
            last.ends = true;
        }
        from += part.len();
    }
    if let Some(last) = all.last_mut().filter(|_| ends) {
        last.ends = true;
    }
}
