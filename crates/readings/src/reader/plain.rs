//! Places in plain words: "battery minus", "the engine block" for the names of a vehicle file.

/// Words that people say for a place, and the name that the place has in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phrase {
    /// Words in lower case with single blanks between them.
    pub words: String,
    /// The name that stands for them.
    pub name: String,
}

impl Phrase {
    /// A phrase and its name.
    #[must_use]
    pub fn new(words: &str, name: &str) -> Self {
        Self { words: words.to_lowercase(), name: name.to_owned() }
    }
}

/// No state is said in more words.
const STATE_WORDS: usize = 8;

/// A line with every phrase put as its name, the longest phrases first.
///
/// Whatever is no phrase stays as it was written, also what stands behind `#` and what says a state. A word that is part
/// of a name, such as the `battery` of `battery/+`, is left alone.
#[must_use]
pub fn translated(line: &str, phrases: &[Phrase]) -> String {
    let (body, note) = match line.find('#') {
        Some(at) => line.split_at(at),
        None => (line, ""),
    };
    let words = words(body);
    let mut out = String::with_capacity(line.len());
    let (mut written, mut at) = (0, 0);
    while at < words.len() {
        // `engine off` is a state, and no place with a word behind it.
        let ahead = words[at..].iter().take(STATE_WORDS).map(|own| &body[own.clone()]);
        if let Some(count) = super::state::spoken(&ahead.collect::<Vec<_>>()) {
            at += count;
            continue;
        }
        let longest = phrases
            .iter()
            .filter_map(|phrase| {
                let said: Vec<&str> = phrase.words.split(' ').collect();
                let here = words.get(at..at + said.len())?;
                let fits = here
                    .iter()
                    .zip(&said)
                    .all(|(own, said)| body[own.clone()].to_lowercase() == **said);
                fits.then_some((said.len(), &phrase.name))
            })
            .max_by_key(|(length, _)| *length);
        let Some((length, name)) = longest else {
            at += 1;
            continue;
        };
        out.push_str(&body[written..words[at].start]);
        out.push_str(name);
        written = words[at + length - 1].end;
        at += length;
    }
    out.push_str(&body[written..]);
    out.push_str(note);
    out
}

/// Where each word stands; a colon, comma or full stop at its end is no part of it.
fn words(body: &str) -> Vec<std::ops::Range<usize>> {
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

    fn phrases() -> Vec<Phrase> {
        [
            ("battery minus", "battery/-"),
            ("battery minus post", "battery/-"),
            ("engine", "engine/block"),
            ("engine block", "engine/block"),
        ]
        .map(|(words, name)| Phrase::new(words, name))
        .to_vec()
    }

    fn check(line: &str, expected: &str) {
        assert_eq!(translated(line, &phrases()), expected);
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

    proptest! {
        /// Nothing that a person wrote is lost unless a name stands for it.
        #[test]
        fn a_line_without_phrases_stays_as_it_was(line in "\\PC{0,40}") {
            prop_assert_eq!(translated(&line, &[]), line);
        }
    }
}
