//! Options of the command line as quantities and rows; all that are wrong are told at once.

use catalogue::{Row, Rows};
use units::{Dimension, ParseError, parse};

use crate::answer::Failure;

/// Reads options and keeps what was wrong with any of them.
#[derive(Debug, Default)]
pub(crate) struct Options(Vec<String>);

impl Options {
    /// A quantity that must lie above zero.
    pub(crate) fn positive<Q>(
        &mut self,
        option: &str,
        text: &str,
        dimension: Dimension,
        make: fn(f64) -> Q,
    ) -> Option<Q> {
        let value = self.number(option, text, dimension)?;
        if 0.0 < value {
            return Some(make(value));
        }
        self.refuse(
            format!("`{option} {text}` is not above zero"),
            format!("{} such as `{}`", dimension.with_article(), dimension.example()),
        );
        None
    }

    /// A row of the catalogue by its name.
    pub(crate) fn row<'c, R: Row>(
        &mut self,
        option: &str,
        text: &str,
        rows: &'c Rows<R>,
    ) -> Option<&'c R> {
        let found = rows.find(text);
        if found.is_none() {
            let words = rows.iter().flat_map(|row| {
                std::iter::once(row.key()).chain(row.aliases().iter().map(String::as_str))
            });
            let lists = format!("one that `groundloom catalogue {}` lists", R::TABLE);
            let expected = match nearest(text, words) {
                Some(near) => format!("`{near}`, or {lists}"),
                None => lists,
            };
            self.refuse(format!("`{option} {text}` is not in the catalogue"), expected);
        }
        found
    }

    /// One of a few words.
    pub(crate) fn word<T: Copy>(
        &mut self,
        option: &str,
        text: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let lower = text.trim().to_lowercase();
        let found = words.iter().find(|(word, _)| *word == lower).map(|(_, meaning)| *meaning);
        if found.is_none() {
            let all: Vec<String> = words.iter().map(|(word, _)| format!("`{word}`")).collect();
            self.refuse(
                format!("`{option} {text}` is not known"),
                format!("one of {}", all.join(", ")),
            );
        }
        found
    }

    /// What was read elsewhere, such as a load or a state of the vehicle.
    pub(crate) fn keep<T>(&mut self, read: Result<T, Failure>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(failure) => {
                self.0.push(failure.0);
                None
            }
        }
    }

    /// Keeps a problem of options that are readable each by itself.
    pub(crate) fn refuse(
        &mut self,
        what: impl std::fmt::Display,
        expected: impl std::fmt::Display,
    ) {
        self.0.push(Failure::new(what, expected).0);
    }

    /// True when nothing was wrong so far.
    pub(crate) fn all_right(&self) -> bool {
        self.0.is_empty()
    }

    /// Everything that was wrong, in the order in which it was found.
    pub(crate) fn failure(self) -> Failure {
        // Whoever tells a failure writes `error: ` before the first.
        Failure(self.0.join("\nerror: "))
    }

    fn number(&mut self, option: &str, text: &str, dimension: Dimension) -> Option<f64> {
        self.read(option, text, parse(text, dimension))
    }

    fn read<T>(&mut self, option: &str, text: &str, read: Result<T, ParseError>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(error) => {
                self.refuse(format!("`{option} {text}` {}", error.what), error.expected);
                None
            }
        }
    }
}

/// The word most like the one that was written, if any is like it at all.
pub(crate) fn nearest<'w>(
    written: &str,
    words: impl IntoIterator<Item = &'w str>,
) -> Option<&'w str> {
    /// Below this share of letters in common two words have nothing to do with each other.
    const ALIKE: f64 = 0.6;
    let written = written.trim().to_lowercase();
    words
        .into_iter()
        .map(|word| (strsim::normalized_damerau_levenshtein(&written, &word.to_lowercase()), word))
        .filter(|(likeness, _)| ALIKE <= *likeness)
        .max_by(|(one, _), (other, _)| one.total_cmp(other))
        .map(|(_, word)| word)
}

#[cfg(test)]
mod refusals {
    use super::*;
    use catalogue::Catalogue;
    use units::{Amperes, Metres};

    #[test]
    fn several_wrong_options_are_all_told() {
        let mut options = Options::default();
        let current = options.positive("--current", "120", Dimension::Current, Amperes);
        let length = options.positive("--length", "3 A", Dimension::Length, Metres);
        let zero = options.positive("--length", "0 m", Dimension::Length, Metres);
        assert_eq!((current, length, zero), (None, None, None));
        assert!(!options.all_right());
        assert_eq!(
            options.failure().0,
            "`--current 120` has no unit\n  expected a current such as `12 A`\n\
             error: `--length 3 A` is a current\n  expected a length such as `0.8 m`\n\
             error: `--length 0 m` is not above zero\n  expected a length such as `0.8 m`"
        );
    }

    #[test]
    fn a_name_that_is_not_listed_is_answered_with_the_nearest() {
        let mut options = Options::default();
        let catalogue = Catalogue::standard();
        assert!(options.row("--finish", "zink", &catalogue.nut_factors).is_none());
        assert!(options.row("--thread", "M8", &catalogue.threads).is_some());
        assert_eq!(
            options.failure().0,
            "`--finish zink` is not in the catalogue\n  \
             expected `zinc`, or one that `groundloom catalogue nut-factors` lists"
        );
    }

    #[test]
    fn a_word_that_is_not_known_is_answered_with_those_that_are() {
        let mut options = Options::default();
        let words = [("feed", 1), ("return", 2)];
        assert_eq!(options.word("--part", " Return ", &words), Some(2));
        assert_eq!(options.word("--part", "middle", &words), None);
        assert_eq!(
            options.failure().0,
            "`--part middle` is not known\n  expected one of `feed`, `return`"
        );
    }
}
