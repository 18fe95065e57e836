//! A row that a word was found to mean: looked up once, then carried about in place of the word.

use std::fmt;
use std::ops::Deref;

use crate::row::{Row, Rows};

/// A row of a table of [`Catalogue::standard`](crate::Catalogue::standard), in place of its word.
///
/// It reads like the row itself and prints as the row's key. Nothing else can stand in such a field:
/// rows are made by reading the catalogue alone, so that whoever holds one need not look it up again
/// and need not ask what follows where the word is unknown.
pub struct Known<R: 'static>(&'static R);

impl<R: Row> Known<R> {
    /// The word of the row, as the catalogue writes it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.0.key()
    }

    /// The row for as long as the program runs.
    #[must_use]
    pub fn row(self) -> &'static R {
        self.0
    }
}

impl<R: Row> Rows<R> {
    /// The row that a word means, to be kept; upper and lower case are the same.
    #[must_use]
    pub fn known(&'static self, word: &str) -> Option<Known<R>> {
        self.find(word).map(Known)
    }

    /// The row of which something holds, to be kept; the first of several.
    pub(crate) fn known_by(&'static self, holds: impl Fn(&R) -> bool) -> Option<Known<R>> {
        self.iter().find(|row| holds(row)).map(Known)
    }
}

impl<R> From<&'static R> for Known<R> {
    fn from(row: &'static R) -> Self {
        Self(row)
    }
}

impl<R> Deref for Known<R> {
    type Target = R;
    fn deref(&self) -> &R {
        self.0
    }
}

impl<R> Clone for Known<R> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<R> Copy for Known<R> {}

impl<R: Row> PartialEq for Known<R> {
    fn eq(&self, other: &Self) -> bool {
        self.word() == other.word()
    }
}

impl<R: Row> Eq for Known<R> {}

impl<R: Row> fmt::Display for Known<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

impl<R: Row> fmt::Debug for Known<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`", self.word())
    }
}

#[cfg(test)]
mod laws {
    use crate::Catalogue;

    #[test]
    fn another_word_for_a_thing_is_the_thing_and_prints_as_its_own_word() {
        let kinds = &Catalogue::standard().joint_kinds;
        let (one, other) = (kinds.known("Ring  Lug"), kinds.known("bolted lug"));
        assert!(one.is_some() && one == other);
        assert_eq!(format!("{:>12}", one.expect("a lug")), "  bolted lug");
        assert_ne!(one, kinds.known("post clamp"));
        assert_eq!(kinds.known("glue"), None);
    }
}
