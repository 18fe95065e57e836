//! Every word of a line has to be accounted for; these change nothing of what a reading means.
//!
//! A word that is neither here nor a name, a state, a value or the like may turn a reading into its
//! contrary, so that the line is asked back. Nothing that denies, doubts, orders in time or takes
//! away stands here, and no word for a place or a part.

use units::Dimension;

use super::known::{Known, Thing};
use super::words::{Sort, Token};

/// Words that carry nothing a reading needs, wherever they stand.
#[rustfmt::skip]
pub(super) const HARMLESS: &[&str] = &[
    // Articles and whose it is.
    "a", "an", "the", "this", "these", "that", "my", "his", "her", "our", "their", "its", "your",
    "i", "we", "you", "he", "she", "they", "it", "someone", "somebody", "helper", "mate",
    // Between the places, the value and the state.
    "to", "from", "at", "on", "in", "by", "of", "with", "and", "when", "while", "whilst", "during",
    "there", "here",
    // What a meter does.
    "is", "was", "are", "were", "be", "being", "am", "has", "have", "had", "read", "reads",
    "reading", "readings", "show", "shows", "showed", "shown", "showing", "got", "get", "gets",
    "getting", "give", "gives", "gave", "see", "saw", "seen", "find", "found", "take", "takes",
    "took", "taken", "taking", "measure", "measures", "measured", "measuring", "measurement",
    "made", "makes", "say", "says", "said", "went", "goes", "stays", "stayed", "remains",
    "remained", "sits", "sat", "test", "tested", "testing", "check", "checked", "checking", "meter",
    "multimeter", "voltmeter", "ammeter", "dmm", "probe", "probes", "tester", "display", "digital",
    "handheld", "result", "figure", "value", "state",
    // What is measured.
    "voltage", "voltages", "volt", "volts", "dc", "drop", "drops", "dropped", "dropping",
    "potential", "so", "vdc", "falls", "fall", "fell", "falling", "dips", "dip", "dipped", "dipping", "sags",
    "sag", "sagged", "sagging", "sank", "sinks", "lose", "loses", "losing", "lost", "loss", "reached",
    "reaching", "reaches", "holds", "holding", "me", "us", "him", "them", "friend", "wife", "husband", "son",
    "daughter", "dad", "put", "puts", "each", "itself", "own", "always", "consistently", "where", "as", "down",
    "every", "used", "using", "registers", "registered", "indicates", "indicated", "comes",
    "pretty", "much", "quite", "really", "whole", "came", "per",
];

/// Words that say only where a probe is, and so only in front of a place: `over` alone is the end of
/// something, `between` the time between two things.
const BEFORE_A_PLACE: &[&str] = &[
    "over", "across", "between", "against", "vs", "versus", "through", "via", "into", "onto",
    "round", "for",
];

/// Words that a reading keeps as its note and that change nothing of it: when it was, as far as that
/// orders nothing, and how steady.
#[rustfmt::skip]
pub(super) const NOTED: &[&str] = &[
    "now", "today", "yesterday", "tonight", "morning", "afternoon", "evening", "night", "noon",
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "again", "still",
    "just", "only", "also", "too", "steady", "steadily", "constant", "exactly", "precisely",
    "actually", "directly", "straight", "please",
];

/// Words that go with a name of the right kind and say nothing beyond it.
const OF_A_POINT: &[&str] = &["post", "terminal", "stud", "pin", "bolt", "point", "metal", "bare"];
const OF_A_LUG: &[&str] = &["lug", "joint", "eye"];
/// "The bare strand of" or "behind" a lug: `take_names` makes of the lug its strand.
const OF_A_STRAND: &[&str] = &["strand", "strands", "behind"];
const OF_A_CONDUCTOR: &[&str] = &["conductor", "cable", "wire", "strap"];
/// Words in front of which a lead is a meter's own.
const OF_A_METER: &[&str] =
    &["red", "black", "test", "meter", "multimeter", "probe", "one", "other", "meter's"];
/// Words of what flows, beside amperes.
const OF_A_CURRENT: &[&str] = &[
    "current",
    "amps",
    "amperes",
    "amp",
    "draw",
    "draws",
    "drawing",
    "drew",
    "pull",
    "pulls",
    "pulled",
    "pulling",
    "flows",
    "flowing",
    "flow",
    "goes",
    "consumption",
];

/// Marks that part or join the words of a line.
const PARTING: [char; 15] =
    ['-', '–', '—', '−', '&', '@', '~', '≈', '.', '…', '/', ',', ';', '(', ')'];
const ARROWS: &[&str] = &["->", "-->", "–>"];
/// Marks that stand for `to` between two names and for more or less anywhere else.
const BETWEEN_NAMES: &[&str] = &[">", ">>", "=>", "<->"];

/// True for a lug's name before which stands that the strand behind it is meant.
pub(super) fn is_of_a_strand(words: &[Token<'_>], at: usize) -> bool {
    let light =
        |own: &&Token<'_>| own.is(&["the", "of", "at", "on", "bare", "behind"]) || own.is(OF_A_LUG);
    let before = words[..at].iter().rev().find(|own| !light(own));
    before.is_some_and(|own| own.is(&["strand", "strands"]))
}

/// True for a word or mark that changes nothing where it stands. `at` is its place among `words`,
/// from which times, the state and the value are taken already.
pub(super) fn changes_nothing(
    words: &[Token<'_>],
    at: usize,
    value: Option<Dimension>,
    known: &Known<'_>,
) -> bool {
    let word = &words[at];
    let before = at.checked_sub(1).map(|at| &words[at]);
    if word.sort == Sort::Mark {
        let between = before.is_some_and(is_name) && words.get(at + 1).is_some_and(is_name);
        return word.text.chars().all(|c| PARTING.contains(&c))
            || word.is(ARROWS)
            || (between && word.is(BETWEEN_NAMES));
    }
    if word.is(HARMLESS) {
        return true;
    }
    if word.is(BEFORE_A_PLACE) {
        // With nothing but a blank between: `over: main` is no way of saying across.
        let mut end = word.place.end;
        let joined = words[at + 1..].iter().take_while(|own| {
            let beside = own.place.start == end + 1;
            end = own.place.end;
            beside
        });
        let place = joined.into_iter().find(|own| !own.is(&["the", "a", "my", "red", "black"]));
        return place.is_some_and(|own| is_name(own) || own.is(&["battery"]));
    }
    // `One lead on the post, the other on the block.`
    if word.is(&["one", "other"]) {
        return words
            .get(at + 1)
            .is_some_and(|own| own.is(&["lead", "probe", "end", "on", "at", "to"]));
    }
    if word.is(OF_A_CURRENT) {
        return value == Some(Dimension::Current);
    }
    // A meter's lead or clamp is none of the vehicle's, whose clamp is not its post.
    if word.is(&["lead", "leads"]) {
        return before.is_some_and(|own| own.is(OF_A_METER));
    }
    if word.is(&["clamp", "clamped"]) {
        return value == Some(Dimension::Current);
    }
    let beside = |fits: &dyn Fn(Thing) -> bool| {
        let named = |own: &Token<'_>| is_name(own) && known.place(own.text).is_some_and(fits);
        let light = |own: &&Token<'_>| {
            own.is(&["the", "of", "at", "on"]) || own.is(OF_A_POINT) || own.is(OF_A_STRAND)
        };
        words[..at].iter().rev().find(|own| !light(own)).is_some_and(named)
            || words[at + 1..].iter().find(|own| !light(own)).is_some_and(named)
    };
    (word.is(OF_A_POINT) && beside(&|thing| matches!(thing, Thing::Point(_))))
        || (word.is(OF_A_LUG) && beside(&|thing| matches!(thing, Thing::Lug(_))))
        || ((word.is(OF_A_STRAND) || word.is(&["bare"]))
            && words[at + 1..]
                .iter()
                .position(|own| is_name(own))
                .is_some_and(|next| is_of_a_strand(words, at + 1 + next)))
        || (word.is(OF_A_CONDUCTOR) && beside(&|thing| matches!(thing, Thing::Conductor(_))))
}

fn is_name(word: &Token<'_>) -> bool {
    word.sort == Sort::Name
}
