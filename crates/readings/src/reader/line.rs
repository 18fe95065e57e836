//! One reading as a person types it in a line.

use model::Problem;

use super::asides;
use super::harmless::{NOTED, changes_nothing, is_of_a_strand};
use super::known::Said;
use super::meaning::{About, Account, Context};
use super::state;
use super::value::{self, Value};
use super::words::{Sort, Token, tokens};

const MOVING: &[&str] = &[
    "push",
    "pushes",
    "pushed",
    "pushing",
    "pull",
    "pulls",
    "pulled",
    "pulling",
    "tap",
    "taps",
    "tapped",
    "tapping",
    "wiggle",
    "wiggles",
    "wiggled",
    "wiggling",
    "jiggle",
    "jiggles",
    "jiggled",
    "jiggling",
    "tug",
    "tugs",
    "tugged",
    "tugging",
    "move",
    "moves",
    "moved",
    "moving",
    "touch",
    "touches",
    "touched",
    "touching",
    "shake",
    "shakes",
    "shaken",
    "shaking",
    "press",
    "presses",
    "pressed",
    "pressing",
    "squeeze",
    "squeezes",
    "squeezed",
    "squeezing",
];
/// Words before the point towards which a clamp's arrow points.
const TOWARDS: &[&str] = &["towards", "toward"];
const LEADS: &[&str] = &["lead", "leads", "cable", "cables", "wire", "wires", "booster"];
/// What is said of such a lead.
const FURTHER: &[&str] = &[
    "booster",
    "extra",
    "added",
    "adding",
    "additional",
    "temporary",
    "spare",
    "thick",
    "heavy",
    "copper",
    "braided",
    "earth",
    "ground",
    "negative",
    "another",
    "second",
    "separate",
    "ran",
    "run",
    "running",
    "put",
    "clipped",
    "connected",
    "bolted",
    "fitted",
    "held",
    "bare",
    "long",
    "short",
    "test",
];
/// Beside what a trial did these say nothing.
const OF_A_TRIAL: &[&str] = &[
    "fault",
    "problem",
    "trouble",
    "did",
    "does",
    "changed",
    "changes",
    "happened",
    "happens",
    "fine",
    "properly",
    "and",
    "soon",
    "watching",
    "i",
    "result",
    "then",
    "right",
    "away",
    "it",
    "connected",
    "connecting",
    "clipped",
    "ran",
    "run",
    "used",
    "using",
    "put",
    "directly",
    "straight",
    "whole",
    "thing",
    "car",
    "again",
    "that",
    "now",
    "every",
    "time",
    "joined",
    "joining",
];
/// What a person calls a loss, not the volts that are left.
const LOSSES: &[&str] =
    &["drop", "drops", "dropped", "dropping", "lose", "loses", "losing", "lost", "loss"];

/// Finds the words of a line. Places count from the beginning of the line.
pub(super) fn account(text: &str, number: u32, context: &Context<'_>) -> Result<Account, Problem> {
    let (body, note) = match text.split_once('#') {
        Some((body, note)) => (body, Some(note.trim())),
        None => (text, None),
    };
    let known = &context.known;
    let mut words = tokens(body, &|word| known.knows(word));
    let start = text.len() - text.trim_start().len();
    let mut account = Account {
        number,
        text: text.to_owned(),
        place: start..start.max(body.trim_end().len()),
        note: note.filter(|note| !note.is_empty()).map(str::to_owned),
        ..Account::default()
    };
    account.typed = true;
    account.time = take_times(&mut words);
    let (state, second) = state::take(body, &mut words, context);
    account.about = take_about(&mut words);
    let runs = asides::take(&mut words);
    account.state = state.or_else(|| context.vehicle.state_named("running").filter(|_| runs));
    state::take_lights(&mut words, account.state, context);
    account.open = state::take_open(&mut words);
    if let Some(at) = value::takes_emphasis(&words) {
        words.drain(at);
    }
    account.value = value::take(&mut words, account.about != About::Meter)?;
    account.value = account.value.take().or_else(|| value::zero(&mut words));
    account.loss = is_a_loss(&words, account.value.as_ref());
    take_names(&mut account, words, context);
    towards_a_probe(&mut account, context);
    if let Some(at) = body.find('?') {
        // Whoever asks has not said.
        account.unread.push(Said { text: "?".to_owned(), place: at..at + 1 });
    }
    the_only_battery(&mut account, context);
    match second {
        Some(problem) => {
            let hint = format!("{}; leave one of the two out", context.understood(&account));
            Err(problem.hint(hint))
        }
        None => Ok(account),
    }
}

/// True when volts lost were told, and not a device's own: `drops to 9.5 V` tells what is left.
fn is_a_loss(words: &[Token<'_>], value: Option<&Value>) -> bool {
    let left = |at: usize| words[at + 1..].iter().take(2).any(|word| word.is(&["to"]));
    let lost = (0..words.len()).any(|at| words[at].is(LOSSES) && !left(at));
    lost || value.is_some_and(|value| value.loss)
}

fn take_times(words: &mut Vec<Token<'_>>) -> Option<String> {
    let times: Vec<&str> =
        words.iter().filter(|word| word.sort == Sort::Time).map(|word| word.text).collect();
    let time = (!times.is_empty()).then(|| times.join(" "));
    words.retain(|word| word.sort != Sort::Time);
    time
}

fn take_about(words: &mut Vec<Token<'_>>) -> About {
    let jump = words.iter().position(|word| {
        word.is(&["jump", "jumper", "jumpers", "bypass", "bridge", "jumped", "bridged", "bridging"])
    });
    if let Some(at) = jump {
        let two = words.get(at + 1).is_some_and(|word| word.is(LEADS));
        words.drain(at..=at + usize::from(two));
        return About::JumpLead;
    }
    if let Some((from, to)) = a_further_lead(words) {
        words.drain(from..to);
        return About::JumpLead;
    }
    // What a starter pulls, it draws.
    let draws = |at: usize| {
        words[at].is(&["pull", "pulls", "pulled", "pulling"])
            && words[at + 1..].iter().take(2).any(|own| own.sort == Sort::Number)
    };
    match (0..words.len()).find(|at| words[*at].is(MOVING) && !draws(*at)) {
        Some(at) => {
            words.remove(at);
            About::Moved
        }
        None => About::Meter,
    }
}

/// `A temporary ground lead from … to …`: a lead that somebody held or bolted there to see what it does.
fn a_further_lead(words: &[Token<'_>]) -> Option<(usize, usize)> {
    if words.iter().any(|own| own.sort == Sort::Number) {
        return None;
    }
    let at = (0..words.len()).find(|at| {
        let lead = words[*at].is(LEADS) || words[*at].is(&["strap", "braid", "clip"]);
        lead && words.get(at + 1).is_some_and(|own| own.is(&["from", "between"]))
    })?;
    let before = words[..at].iter().rev().take_while(|own| own.is(FURTHER)).count();
    Some((at - before, at + 1))
}

/// The places in order, the red probe's first; whatever may change the meaning and is not
/// understood is kept.
fn take_names(account: &mut Account, words: Vec<Token<'_>>, context: &Context<'_>) {
    let (mut red, mut black) = (None, None);
    let mut colour: Option<Said> = None;
    let dimension = account.value.as_ref().and_then(|value| value.dimension);
    for (at, word) in words.iter().enumerate() {
        let mut said = Said { text: word.text.to_owned(), place: word.place.clone() };
        if word.sort == Sort::Name {
            if is_of_a_strand(&words, at) && !said.text.ends_with(".strand") {
                said.text.push_str(".strand");
            }
            match colour.take() {
                Some(Said { text, .. }) if text.eq_ignore_ascii_case("red") => red = Some(said),
                Some(Said { text, .. }) if !text.eq_ignore_ascii_case("black") => {
                    account.towards = Some(said);
                }
                Some(_) => black = Some(said),
                None => account.names.push(said),
            }
        } else if word.is(&["red", "black"]) || word.is(TOWARDS) {
            account.unread.extend(colour.replace(said));
        } else if word.is(&["arrow"]) && words.get(at + 1).is_some_and(|next| next.is(TOWARDS)) {
            // "Arrow towards the block": the place says which way.
        } else if word.is(NOTED) {
            account.noted.push(said);
        } else if (account.about == About::Meter || !word.is(OF_A_TRIAL))
            && !changes_nothing(&words, at, dimension, &context.known)
        {
            account.unread.push(said);
        }
    }
    // A colour behind its place would turn the probes round.
    account.unread.extend(colour);
    if let Some(red) = red {
        account.names.insert(0, red);
    }
    account.names.extend(black);
}

/// "From the block towards the post": between two places the word means no arrow of a clamp.
fn towards_a_probe(account: &mut Account, context: &Context<'_>) {
    let clamped = match account.names.as_slice() {
        [only] => context.known.conductor(&only.text).is_some(),
        _ => false,
    };
    if !clamped && let Some(said) = account.towards.take() {
        account.names.push(said);
    }
}

/// "The battery" is the only one; beside its name the word carries nothing.
fn the_only_battery(account: &mut Account, context: &Context<'_>) {
    let Some(at) = account.unread.iter().position(|said| said.text.eq_ignore_ascii_case("battery"))
    else {
        return;
    };
    let battery = || account.names.iter().any(|said| context.known.is_of_a_battery(&said.text));
    match context.vehicle.batteries.as_slice() {
        [only] if account.names.is_empty() => {
            let place = account.unread.remove(at).place;
            account.names.push(Said { text: only.id.clone(), place });
        }
        _ if battery() => {
            account.unread.remove(at);
        }
        _ => {}
    }
}
