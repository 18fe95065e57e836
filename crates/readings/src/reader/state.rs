//! In which state a reading was taken, as people say it.

use model::{Code, LoadKind, Problem, StateId};

use super::known::Said;
use super::meaning::Context;
use super::words::{Sort, Token};

/// Words for states that people use beside the file's own, and the state that each stands for. What
/// denies a state is here only where its contrary is one and known.
const IDIOMS: &[(&str, &str)] = &[
    ("rested", "resting"),
    ("at-rest", "resting"),
    ("key-off", "resting"),
    ("key-out", "resting"),
    ("key-not-on", "resting"),
    ("no-key", "resting"),
    ("ignition-off", "resting"),
    ("ignition-not-on", "resting"),
    ("ign-off", "resting"),
    ("engine-off", "resting"),
    ("engine-not-on", "resting"),
    ("engine-not-running", "resting"),
    ("engine-stopped", "resting"),
    ("motor-off", "resting"),
    ("motor-not-running", "resting"),
    ("motor-stopped", "resting"),
    ("not-running", "resting"),
    ("everything-off", "resting"),
    ("all-off", "resting"),
    ("all-loads-off", "resting"),
    ("nothing-on", "resting"),
    ("nothing-running", "resting"),
    ("no-load-on", "resting"),
    ("no-loads-on", "resting"),
    ("key-on", "key-on"),
    ("ign-on", "key-on"),
    ("ignition-on", "key-on"),
    ("koeo", "key-on"),
    ("key-on-engine-off", "key-on"),
    ("key-on-engine-not-running", "key-on"),
    ("key-on-not-running", "key-on"),
    ("ignition-on-engine-off", "key-on"),
    ("ignition-on-engine-not-running", "key-on"),
    ("ignition-on-not-running", "key-on"),
    ("engine-off-key-on", "key-on"),
    ("engine-off-ignition-on", "key-on"),
    ("engine-not-running-key-on", "key-on"),
    ("engine-not-running-ignition-on", "key-on"),
    ("glow", "preheat"),
    ("glowing", "preheat"),
    ("preheating", "preheat"),
    ("crank", "cranking"),
    ("cranks", "cranking"),
    ("starting", "cranking"),
    ("key-at-start", "cranking"),
    ("key-in-start", "cranking"),
    ("key-to-start", "cranking"),
    ("key-held-at-start", "cranking"),
    ("turn-key-to-start", "cranking"),
    ("turning-key-to-start", "cranking"),
    ("try-to-start", "cranking"),
    ("try-to-crank", "cranking"),
    ("trying-to-start", "cranking"),
    ("trying-to-crank", "cranking"),
    ("turning-over", "cranking"),
    ("turns-over", "cranking"),
    ("turning-engine-over", "cranking"),
    ("idling", "idle"),
    ("at-idle", "idle"),
    ("tickover", "idle"),
    ("ticking-over", "idle"),
    ("engine-idling", "idle"),
    ("motor-idling", "idle"),
    ("runs", "running"),
    ("engine-on", "running"),
    ("engine-runs", "running"),
    ("engine-running", "running"),
    ("motor-running", "running"),
    ("koer", "running"),
    ("parked", "resting"),
    ("start-attempt", "cranking"),
    ("starting-attempt", "cranking"),
    ("attempting-to-start", "cranking"),
    ("attempt-to-start", "cranking"),
    ("attempting-to-crank", "cranking"),
    ("on-crank", "cranking"),
    ("on-cranking", "cranking"),
    ("under-crank", "cranking"),
    ("under-cranking", "cranking"),
    ("press-starter", "cranking"),
    ("pressing-starter", "cranking"),
    ("press-starter-button", "cranking"),
    ("pressing-starter-button", "cranking"),
    ("press-start-button", "cranking"),
    ("pressing-start-button", "cranking"),
    ("hit-starter", "cranking"),
    ("hitting-starter", "cranking"),
    ("hit-starter-button", "cranking"),
    ("hit-start-button", "cranking"),
    ("engage-starter", "cranking"),
    ("engaging-starter", "cranking"),
    ("starter-engaged", "cranking"),
    ("engine-turning-over", "cranking"),
    ("motor-turning-over", "cranking"),
    ("turn-it-over", "cranking"),
    ("turning-it-over", "cranking"),
    ("try-starting", "cranking"),
    ("try-cranking", "cranking"),
    ("trying-it", "cranking"),
    ("key-turned-to-start", "cranking"),
    ("turned-to-start", "cranking"),
    ("turn-key-to-crank", "cranking"),
    ("start-it", "cranking"),
    ("starting-it", "cranking"),
    ("key-in-start-position", "cranking"),
    ("key-at-start-position", "cranking"),
    ("key-held-in-start", "cranking"),
    ("operate-starter", "cranking"),
    ("operating-starter", "cranking"),
    ("helper-cranks", "cranking"),
    ("someone-cranks", "cranking"),
    ("engine-revving", "running"),
    ("engine-revved", "running"),
    ("revving", "running"),
    ("engine-started", "running"),
    ("engine-up-and-running", "running"),
    ("engine-is-running", "running"),
    ("fast-idle", "running"),
    ("engine-working", "running"),
    ("motor-on", "running"),
    ("motor-runs", "running"),
    ("at-tickover", "idle"),
    ("engine-at-idle", "idle"),
    ("engine-ticking-over", "idle"),
    ("on-idle", "idle"),
    ("idles", "idle"),
    ("at-idling", "idle"),
    ("at-idle-speed", "idle"),
    ("motor-at-idle", "idle"),
    ("engine-idles", "idle"),
    ("slow-idle", "idle"),
    ("key-removed", "resting"),
    ("keys-out", "resting"),
    ("ignition-out", "resting"),
    ("engine-not-started", "resting"),
    ("car-off", "resting"),
    ("vehicle-off", "resting"),
    ("everything-shut-off", "resting"),
    ("everything-turned-off", "resting"),
    ("nothing-switched-on", "resting"),
    ("all-switched-off", "resting"),
    ("sitting-overnight", "resting"),
    ("standing-overnight", "resting"),
    ("at-standstill", "resting"),
    ("all-consumers-off", "resting"),
    ("electrics-off", "resting"),
    ("all-electrics-off", "resting"),
    ("nothing-turned-on", "resting"),
    ("no-key-on", "resting"),
    ("ignition-key-off", "resting"),
    ("truck-off", "resting"),
    ("boat-off", "resting"),
    ("with-nothing-on", "resting"),
    ("open-circuit-at-rest", "resting"),
    ("ignition-switched-on", "key-on"),
    ("key-in-run", "key-on"),
    ("key-at-run", "key-on"),
    ("key-to-run", "key-on"),
    ("key-in-on", "key-on"),
    ("ignition-at-run", "key-on"),
    ("key-at-on", "key-on"),
    ("key-at-ignition", "key-on"),
    ("ignition-on-not-started", "key-on"),
    ("key-on-not-started", "key-on"),
    ("key-in-position-two", "key-on"),
];
/// Words inside a state's name that carry nothing.
const LIGHT: &[&str] = &[
    "the", "a", "an", "is", "was", "are", "were", "be", "been", "being", "turned", "switched", "my",
];
/// The most words that make up the name of a state.
const LONGEST: usize = 7;
/// Words for lamps that are on or off beside the state.
const LIGHTS: &[&str] =
    &["light", "lights", "headlight", "headlights", "headlamp", "headlamps", "lamps"];
/// That nothing was joined to what was measured, so that no current flowed.
const OPEN: &[&str] = &[
    "no-load",
    "no-loads",
    "unloaded",
    "off-load",
    "without-load",
    "without-loads",
    "open-circuit",
    "unplugged",
    "not-plugged-in",
    "plug-off",
    "plug-out",
    "disconnected",
    "unconnected",
    "not-connected",
    "connector-off",
    "connector-out",
    "cable-off",
    "cables-off",
    "lead-off",
    "leads-off",
    "clamp-off",
    "clamps-off",
    "wire-off",
    "strap-off",
    "terminal-off",
    "terminals-off",
];

/// The states' other words, each as one word, and the state it stands for.
pub(super) fn idioms() -> impl Iterator<Item = (&'static str, &'static str)> {
    IDIOMS.iter().copied()
}

/// How many of the first words say a state or what was on, in words that name a place otherwise; articles
/// before it count.
pub(super) fn spoken(words: &[&str]) -> Option<usize> {
    let light = words.iter().take_while(|word| is_light(word)).count();
    let words = &words[light..];
    let count = (2..=LONGEST.min(words.len())).rev().find(|count| {
        let run = &words[..*count];
        let whole = slug_of(run, true);
        let lights = run.iter().filter(|word| !is_light(word)).collect::<Vec<_>>();
        !is_light(run[0])
            && !is_light(run[count - 1])
            && (IDIOMS.iter().any(|(idiom, _)| *idiom == whole)
                || matches!(lights.as_slice(), [what, how] if one_of(what, LIGHTS) && one_of(how, &["on", "off"])))
    });
    count.map(|count| light + count)
}

fn one_of(word: &str, words: &[&str]) -> bool {
    words.iter().any(|own| own.eq_ignore_ascii_case(word))
}

fn is_light(word: &str) -> bool {
    one_of(word, LIGHT)
}

/// True for words that make of a state another one.
pub(super) fn turns(word: &str) -> bool {
    denies(word)
        || one_of(word, &["no", "never", "off", "without", "before", "after", "until", "stopped"])
        || word.to_lowercase().replace('’', "'").ends_with("n't")
}

/// `isn't`, `wasn’t` and `not` deny alike.
fn denies(word: &str) -> bool {
    let word = word.to_lowercase().replace('’', "'");
    matches!(word.as_str(), "not" | "isn't" | "isnt" | "wasn't" | "wasnt" | "aren't" | "weren't")
}

/// Words as one: `the key is off` is `key-off` without its light words.
fn slug_of(run: &[&str], without_light: bool) -> String {
    let kept = run.iter().filter(|word| !(without_light && is_light(word)));
    let words: Vec<String> = kept
        .map(|word| if denies(word) { "not".to_owned() } else { word.to_lowercase() })
        .collect();
    words.join("-")
}

/// The state: the longest run of words that names one. A name that is also something else's is the
/// state only when no other word is. Of two states the second is a problem.
pub(super) fn take(
    body: &str,
    words: &mut Vec<Token<'_>>,
    context: &Context<'_>,
) -> (Option<StateId>, Option<Problem>) {
    for only_words in [true, false] {
        let mut found = None;
        let mut at = 0;
        while at < words.len() {
            let Some((state, count)) = state_at(words, at, only_words, context)
                .filter(|(_, count)| !is_no_state(body, words, at, at + count))
            else {
                at += 1;
                continue;
            };
            if found.is_some_and(|first| first != state) {
                let second = words[at..at + count].iter().map(|word| word.text);
                let problem = Problem::error(
                    Code::TwoStates,
                    words[at].place.start..words[at + count - 1].place.end,
                    format!("`{}` is a second state", second.collect::<Vec<_>>().join(" ")),
                    "one state a reading",
                );
                return (found, Some(problem));
            }
            found = Some(state);
            words.drain(at..at + count);
            if !only_words {
                // The second such word is the device of that name.
                break;
            }
        }
        if found.is_some() {
            return (found, None);
        }
    }
    (None, None)
}

fn state_at(
    words: &[Token<'_>],
    at: usize,
    only_words: bool,
    context: &Context<'_>,
) -> Option<(StateId, usize)> {
    (1..=LONGEST.min(words.len() - at)).rev().find_map(|count| {
        let run = &words[at..at + count];
        let is_word = |word: &Token<'_>| word.sort == Sort::Word && is_plain(word.text);
        let fits = run.iter().all(|word| {
            is_word(word) || (word.sort == Sort::Name && !word.text.contains(['/', '.']))
        });
        if !fits || (only_words && !run.iter().any(is_word)) {
            return None;
        }
        let texts: Vec<&str> = run.iter().map(|word| word.text).collect();
        let ends = [texts[0], texts[count - 1]];
        let known = &context.known;
        let state = known.state(&slug_of(&texts, false)).or_else(|| {
            let lightened = !ends.into_iter().any(is_light);
            lightened.then(|| known.state(&slug_of(&texts, true))).flatten()
        });
        state.map(|state| (state, count))
    })
}

/// Words that make `starting` the word for a first one, and `cranking` that for a battery of its own.
const FIRST: &[&str] =
    &["voltage", "volts", "value", "reading", "point", "current", "figure", "test", "state"];

/// Things that take the word of a state into their names: the battery for cranking, lights for running.
const NAMED_AFTER: &[&str] = &["battery", "batteries", "lamp", "light"];
/// Words that say of a state only that it was, before or until something.
const OVER: &[&str] = &["from", "been"];
const PAST: &[&str] = &["was", "were"];

/// True for a state that was over by then: `9.6 V was cranking`, `from cranking`. What something was
/// doing, it did meanwhile: `it was cranking`.
fn is_over(words: &[Token<'_>], at: usize) -> bool {
    let Some(before) = at.checked_sub(1).map(|at| &words[at]) else { return false };
    let does = at.checked_sub(2).map(|at| &words[at]).is_some_and(|own| {
        matches!(own.sort, Sort::Word | Sort::Name) && super::value::electrical(own.text).is_none()
    });
    before.is(OVER) || (before.is(PAST) && !does)
}

/// True where a state's word says what something is for, what comes next or what is over:
/// `cranking battery` with nothing between the two, `to crank`, `starting voltage`, `from cranking`.
fn is_no_state(body: &str, words: &[Token<'_>], at: usize, next: usize) -> bool {
    let state = &words[at];
    let purpose = at.checked_sub(1).is_some_and(|before| words[before].is(&["to"]));
    if (purpose && one_of(state.text, &["crank", "glow", "idle"])) || is_over(words, at) {
        return true;
    }
    let Some(after) = words.get(next) else { return false };
    let between = body.get(state.place.end..after.place.start);
    let beside = between.is_some_and(|between| between.chars().all(char::is_whitespace));
    let thing = one_of(after.text, NAMED_AFTER) || one_of(after.text, LIGHTS);
    // A resting battery is one at rest; `key on` is nobody's name.
    let names = next == at + 1 && !one_of(state.text, &["resting", "rested"]);
    beside && ((names && thing) || (one_of(state.text, &["starting"]) && after.is(FIRST)))
}

/// Letters and digits at both ends: `!cranking` is not `cranking`.
fn is_plain(word: &str) -> bool {
    let mut letters = word.chars();
    let first = letters.next();
    let last = letters.next_back().or(first);
    [first, last].into_iter().all(|end| end.is_some_and(char::is_alphanumeric))
}

/// Takes what is said of the lights, if the state is such that they are: whatever contradicts it stays.
pub(super) fn take_lights(
    words: &mut Vec<Token<'_>>,
    state: Option<StateId>,
    context: &Context<'_>,
) {
    let lamps = || context.vehicle.loads.iter().filter(|load| load.kind == LoadKind::Lamp);
    let Some(at) =
        words.windows(2).position(|pair| pair[0].is(LIGHTS) && pair[1].is(&["on", "off"]))
    else {
        return;
    };
    let on = words[at + 1].is(&["on"]);
    let fits = match state {
        Some(state) => on == lamps().any(|load| load.is_on_in(state)),
        None => on && lamps().next().is_some(),
    };
    if fits && lamps().next().is_some() {
        words.drain(at..at + 2);
    }
}

/// Takes the words that say that nothing was joined there.
pub(super) fn take_open(words: &mut Vec<Token<'_>>) -> Option<Said> {
    for at in 0..words.len() {
        for count in (1..=LONGEST.min(words.len() - at)).rev() {
            let run = &words[at..at + count];
            if !run.iter().all(|word| word.sort == Sort::Word) {
                continue;
            }
            let texts: Vec<&str> = run.iter().map(|word| word.text).collect();
            let light = is_light(texts[0]) || is_light(texts[count - 1]);
            if !light && OPEN.contains(&slug_of(&texts, true).as_str()) {
                let place = run[0].place.start..run[count - 1].place.end;
                let text = texts.join(" ");
                words.drain(at..at + count);
                return Some(Said { text, place });
            }
        }
    }
    None
}
