//! Finishes in words, such as `tin on bare steel`, and the metals that they speak of.

use std::fmt;

use crate::contact::ContactVoltage;
use crate::known::Known;
use crate::material::AnodicGroup;
use crate::row::Row;
use crate::standard::Catalogue;

/// Words of the workshop that name a group in its list by less than its name.
const LOOSE_WORDS: [(&str, &str); 4] = [
    ("stainless", "stainless steel"),
    ("galvani", "hot-dip zinc"),
    ("iron", "grey cast iron"),
    ("chrom", "chromium plate"),
];

/// Words of what insulates a face, and those that say that it is not there.
const PAINT: [&str; 6] = ["paint", "primer", "primed", "powder", "lacquer", "varnish"];
const NO_PAINT: [&str; 6] =
    ["unpainted", "no paint", "paint off", "paint removed", "paint scraped", "paint kept off"];

/// The metal that is taken for a face of which nothing is said: lugs are usually plated with it.
const USUAL: &str = "tin";
/// The metal of battery posts, and of what lies on them.
const OF_POSTS: &str = "lead";

/// The finish of the faces of a joint: free words, and the metals found in them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finish {
    text: String,
    faces: Vec<Known<AnodicGroup>>,
    softest: Known<ContactVoltage>,
}

impl Finish {
    /// Reads a finish. Any words may stand there; what they name beyond the metals is for people.
    #[must_use]
    pub fn read(text: &str) -> Self {
        Self { text: text.to_owned(), faces: faces(text), softest: softest(text) }
    }

    /// The finish of a joint of which nothing is said.
    #[must_use]
    pub fn usual() -> Self {
        Self::read(USUAL)
    }

    /// The finish of a clamp on a post, of which nothing is said.
    #[must_use]
    pub fn of_a_post() -> Self {
        Self::read(OF_POSTS)
    }

    /// The words as they were written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The metals of its faces, as far as they are listed.
    #[must_use]
    pub fn faces(&self) -> &[Known<AnodicGroup>] {
        &self.faces
    }

    /// The contact voltages of the softest metal that it names; of tin where it names none.
    #[must_use]
    pub fn softest(&self) -> Known<ContactVoltage> {
        self.softest
    }

    /// True when it names paint or its like on a face, and does not say that it is off.
    #[must_use]
    pub fn painted(&self) -> bool {
        PAINT.iter().any(|word| self.says(word)) && !NO_PAINT.iter().any(|word| self.says(word))
    }

    /// True when a word stands in it; upper and lower case are the same.
    #[must_use]
    pub fn says(&self, word: &str) -> bool {
        self.text.to_lowercase().contains(word)
    }
}

impl fmt::Display for Finish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}

fn faces(finish: &str) -> Vec<Known<AnodicGroup>> {
    let lower = finish.to_lowercase();
    let parts = [" on ", " against ", " to ", ", ", " and "]
        .into_iter()
        .find_map(|between| lower.split_once(between))
        .map_or_else(|| vec![lower.as_str()], |(one, other)| vec![one, other]);
    parts.into_iter().filter_map(face).collect()
}

/// The group whose longest word stands in a part of a finish, or which a loose word finds.
fn face(part: &str) -> Option<Known<AnodicGroup>> {
    let groups = &Catalogue::standard().anodic_groups;
    let words = |row: &'static AnodicGroup| {
        std::iter::once(row.key()).chain(row.aliases().iter().map(String::as_str))
    };
    groups
        .iter()
        .flat_map(|row| words(row).map(move |word| (word, row)))
        .filter(|(word, _)| part.contains(&word.to_lowercase()))
        .max_by_key(|(word, _)| word.len())
        .and_then(|(_, row)| groups.known(row.key()))
        .or_else(|| {
            let (_, group) = LOOSE_WORDS.iter().find(|(word, _)| part.contains(word))?;
            groups.known(group)
        })
}

fn softest(finish: &str) -> Known<ContactVoltage> {
    let table = &Catalogue::standard().contact_voltages;
    let words = finish.split(|c: char| !c.is_alphanumeric());
    words
        .filter_map(|word| table.known(word))
        .min_by(|a, b| a.softening.0.total_cmp(&b.softening.0))
        .or_else(|| table.known(USUAL))
        .expect("a test finds the usual metal")
}

#[cfg(test)]
mod laws {
    use super::*;

    fn faces_of(text: &str) -> Vec<&'static str> {
        Finish::read(text).faces().iter().map(|own| own.word()).collect()
    }

    #[test]
    fn a_finish_names_its_two_faces_whatever_the_words_between_them() {
        assert_eq!(faces_of("tin on bare steel").len(), 2);
        assert_eq!(faces_of("tin on bare steel"), faces_of("Tin against Steel"));
        assert_eq!(faces_of("galvanised sheet"), ["hot-dip zinc"]);
        assert!(faces_of("as found").is_empty());
    }

    #[test]
    fn the_softest_metal_of_a_finish_is_tin_where_none_is_named() {
        assert_eq!(Finish::usual().softest().word(), "tin");
        assert_eq!(Finish::read("as found").softest(), Finish::usual().softest());
        assert_eq!(Finish::of_a_post().softest().word(), "lead");
        let copper = Finish::read("copper").softest();
        assert!(Finish::usual().softest().softening < copper.softening);
    }
}
