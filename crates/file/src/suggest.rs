//! The nearest known word to one that is not known.

/// True while nearest words are worth looking for: comparing takes its time, and a file with very
/// many slips has one cause.
pub(crate) fn worthwhile(slips: usize, candidates: usize) -> bool {
    const MOST_SUGGESTIONS: usize = 60;
    const MOST_COMPARISONS: usize = 200_000;
    slips < MOST_SUGGESTIONS && slips.saturating_mul(candidates) < MOST_COMPARISONS
}

/// The candidate most like `word`, if one is like enough to be what was meant.
///
/// Distance is counted in letters put in, left out, changed or swapped (Damerau and Levenshtein).
#[must_use]
pub fn nearest<'c>(word: &str, candidates: impl IntoIterator<Item = &'c str>) -> Option<&'c str> {
    let wanted = word.to_lowercase();
    let most = (wanted.chars().count() * 2 / 5).max(1);
    candidates
        .into_iter()
        .filter(|candidate| candidate.len().abs_diff(word.len()) <= 2 * most + 2)
        .map(|candidate| {
            (strsim::damerau_levenshtein(&wanted, &candidate.to_lowercase()), candidate)
        })
        .filter(|(distance, _)| *distance <= most)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// `did you mean ...?`, when there is something to mean.
#[must_use]
pub fn did_you_mean<'c>(
    word: &str,
    candidates: impl IntoIterator<Item = &'c str>,
) -> Option<String> {
    nearest(word, candidates).map(|found| format!("did you mean `{found}`?"))
}

/// Keys that people write where another table, or another way of saying it, is right.
const ELSEWHERE: [(&str, &str, &str); 1] = [(
    "a galvanic isolator",
    "rating",
    "the current of a galvanic isolator is not weighed: keep it as `x-rating`; what switches a battery off is \
     `[switches.NAME]` with `kind = \"isolator\"`, and has a `rating`",
)];

/// Where what this key says belongs, if people often write it in this table.
pub(crate) fn elsewhere(table: &str, key: &str) -> Option<String> {
    let found = ELSEWHERE.iter().find(|(own, word, _)| *own == table && *word == key);
    found.map(|(.., hint)| (*hint).to_owned())
}

/// A list for a message: the first few in backticks.
pub fn listed<'c>(words: impl IntoIterator<Item = &'c str>) -> String {
    let words: Vec<&str> = words.into_iter().collect();
    let shown: Vec<String> = words.iter().take(12).map(|word| format!("`{word}`")).collect();
    match words.len().saturating_sub(shown.len()) {
        0 => shown.join(", "),
        1 => format!("{} or 1 other", shown.join(", ")),
        more => format!("{} or {more} others", shown.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_finds_the_word_that_was_meant() {
        assert_eq!(
            nearest("blok/front", ["block/rear", "block/front", "body/front"]),
            Some("block/front")
        );
        assert_eq!(nearest("lenght", ["size", "length", "material"]), Some("length"));
        assert_eq!(nearest("entirely-other", ["size", "length"]), None);
    }
}
