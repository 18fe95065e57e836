//! What no line may do, whatever its words.

use proptest::prelude::*;

use super::seen;
use super::vehicle;

/// Lines that say something.
const SOUND: [&str; 8] = [
    "the throttle cable gets hot while cranking",
    "found the engine strap loose",
    "no corrosion on the battery terminals",
    "fuel gauge rises when the headlights are on",
    "lights stay bright while cranking",
    "new battery changed nothing",
    "wiggling the negative clamp helps",
    "only when wet",
];

/// Words that may turn a line, none of which is known.
const TURNING: [&str; 8] =
    ["hardly", "unless", "before", "maybe", "nearly", "supposedly", "elsewhere", "formerly"];

proptest! {
    #[test]
    fn no_line_makes_the_reader_stumble(line in "\\PC{0,80}") {
        let _ = seen(&line, &vehicle(), 1);
    }

    /// Known words in any order neither stumble nor end as two parts without a number.
    #[test]
    fn known_words_in_any_order_do_no_harm(
        words in proptest::collection::vec(0_usize..60, 0..9)
    ) {
        let all: Vec<&str> = SOUND.iter().flat_map(|own| own.split(' ')).collect();
        let line: Vec<&str> = words.iter().map(|at| all[at % all.len()]).collect();
        if let Some(Ok(all)) = seen(&line.join(" "), &vehicle(), 7) {
            prop_assert!(!all.is_empty() && all.iter().all(|own| own.number == 7));
        }
    }

    /// With a word that nobody knows nothing is weighed, wherever it stands.
    #[test]
    fn a_word_that_is_not_known_keeps_a_line_from_being_weighed(
        line in 0_usize..8, word in 0_usize..8, at in 0_usize..9
    ) {
        let mut words: Vec<&str> = SOUND[line].split(' ').collect();
        words.insert(at.min(words.len()), TURNING[word]);
        let line = words.join(" ");
        prop_assert!(!matches!(seen(&line, &vehicle(), 1), Some(Ok(_))), "{}", line);
    }
}

#[test]
fn lines_that_say_something_say_it() {
    for line in SOUND {
        assert!(matches!(seen(line, &vehicle(), 1), Some(Ok(_))), "{line}");
    }
}
