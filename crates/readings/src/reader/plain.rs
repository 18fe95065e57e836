//! A line in plain words put in the names of a vehicle file.

use std::ops::Range;

use super::state;
use super::vocabulary::Vocabulary;

/// No state is said in more words.
const STATE_WORDS: usize = 8;
/// No place is said in more words.
const PLACE_WORDS: usize = 8;

/// A line in the names of a vehicle file, and where each of them was said in other words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Translated {
    /// The line.
    pub text: String,
    /// Bytes of a name here, and of its words in the line as it was said.
    names: Vec<(Range<usize>, Range<usize>)>,
}

impl Translated {
    /// Where a place of this text stood in the line as it was said.
    #[must_use]
    pub fn back(&self, place: &Range<usize>) -> Range<usize> {
        self.at(place.start, false)..self.at(place.end, true).max(self.at(place.start, false))
    }

    /// True for a line that was said in the file's names alone.
    pub(super) fn is_plain(&self) -> bool {
        self.names.is_empty()
    }

    fn at(&self, at: usize, end: bool) -> usize {
        let before =
            self.names.iter().rev().find(|own| own.0.start < at || (!end && own.0.start == at));
        match before {
            None => at,
            Some((own, said)) if at >= own.end => at - own.end + said.end,
            Some((_, said)) if end => said.end,
            Some((_, said)) => said.start,
        }
    }
}

impl Vocabulary {
    /// A line with the words for every place put as its name, the longest first.
    ///
    /// Whatever is no such word stays as it was written, also what stands behind `#` and what says a state.
    /// A word that is part of a name, such as the `battery` of `battery/+`, is left alone.
    #[must_use]
    pub fn translated(&self, line: &str) -> Translated {
        let body = &line[..line.find('#').unwrap_or(line.len())];
        let words = words(body);
        let mut own = Translated { text: String::with_capacity(line.len()), names: Vec::new() };
        let (mut written, mut at) = (0, 0);
        while at < words.len() {
            // `engine off` is a state, and no place with a word behind it.
            let ahead = words[at..].iter().take(STATE_WORDS).map(|own| &body[own.clone()]);
            if let Some(count) = state::spoken(&ahead.collect::<Vec<_>>()) {
                at += count;
                continue;
            }
            let Some((length, name)) = self.longest(body, &words[at..]) else {
                at += 1;
                continue;
            };
            let said = words[at].start..words[at + length - 1].end;
            own.text.push_str(&body[written..said.start]);
            let start = own.text.len();
            own.text.push_str(name);
            own.names.push((start..own.text.len(), said.clone()));
            written = said.end;
            at += length;
        }
        own.text.push_str(&line[written..]);
        own
    }

    /// How many of these words, the most there are, say a place, and its name.
    fn longest(&self, body: &str, words: &[Range<usize>]) -> Option<(usize, &str)> {
        (1..=PLACE_WORDS.min(words.len())).rev().find_map(|length| {
            let own: Vec<String> =
                words[..length].iter().map(|own| body[own.clone()].to_lowercase()).collect();
            self.name(&own.join(" ").replace('’', "'")).map(|name| (length, name))
        })
    }
}

/// Where each word stands; a colon, comma or full stop at its end is no part of it.
fn words(body: &str) -> Vec<Range<usize>> {
    let mut words = Vec::new();
    let mut at = 0;
    for word in body.split_inclusive(char::is_whitespace) {
        let own = word.trim_end().trim_end_matches([':', ',', ';', '.']);
        if !own.is_empty() {
            words.push(at..at + own.len());
        }
        at += word.len();
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn vocabulary() -> Vocabulary {
        Vocabulary::default().with_words([
            ("battery minus, battery minus post", "battery/-".to_owned()),
            ("engine, engine block", "engine/block".to_owned()),
        ])
    }

    fn check(line: &str, expected: &str) {
        assert_eq!(vocabulary().translated(line).text, expected);
    }

    #[test]
    fn the_longest_phrase_is_put_as_its_name() {
        check(
            "cranking: Engine Block to battery minus post, 0.4 V",
            "cranking: engine/block to battery/-, 0.4 V",
        );
        check("engine to battery minus: 0.4 V", "engine/block to battery/-: 0.4 V");
    }

    #[test]
    fn names_and_remarks_stay_as_they_are() {
        check(
            "engine/block to battery/- 0.4 V # the engine",
            "engine/block to battery/- 0.4 V # the engine",
        );
        check("engine-strap 3 A", "engine-strap 3 A");
    }

    #[test]
    fn a_place_behind_a_name_is_found_where_it_was_said() {
        let line = "the engine block to battery minus post 0.4 X";
        let own = vocabulary().translated(line);
        let at = |word: &str| own.text.find(word).map(|at| own.back(&(at..at + word.len())));
        assert_eq!(at("0.4 X").map(|own| &line[own]), Some("0.4 X"));
        assert_eq!(at("battery/-").map(|own| &line[own]), Some("battery minus post"));
        assert_eq!(at("block").map(|own| &line[own]), Some("the engine block"));
    }

    proptest! {
        /// Nothing that a person wrote is lost unless a name stands for it.
        #[test]
        fn a_line_without_phrases_stays_as_it_was(line in "\\PC{0,40}") {
            prop_assert_eq!(Vocabulary::default().translated(&line).text, line);
        }

        /// Every place of the translated line is one of the line as it was said.
        #[test]
        fn every_place_leads_back(line in "(the |engine |battery minus |é|, ){0,8}", a in 0_usize..80, b in 0_usize..80) {
            let own = vocabulary().translated(&line);
            let (a, b) = (a.min(b).min(own.text.len()), a.max(b).min(own.text.len()));
            if own.text.get(a..b).is_some() {
                prop_assert!(line.get(own.back(&(a..b))).is_some());
            }
        }
    }
}
