//! One reading as a person types it in a line.

use model::{Problem, StateId};

use super::known::Said;
use super::meaning::{About, Account, Context};
use super::value;
use super::words::{Sort, Token, tokens};

/// Words that carry nothing a reading needs.
const FILLING: &[&str] = &[
    "a",
    "an",
    "the",
    "to",
    "from",
    "at",
    "on",
    "in",
    "by",
    "of",
    "for",
    "with",
    "and",
    "between",
    "across",
    "over",
    "against",
    "vs",
    "versus",
    "when",
    "while",
    "was",
    "were",
    "is",
    "it",
    "through",
    "probe",
    "lead",
    "meter",
    "multimeter",
    "clamp",
    "reads",
    "read",
    "shows",
    "showed",
    "measured",
    "state",
    "drop",
    "up",
    "away",
    "joint",
    "conductor",
    "i",
    "got",
    "there",
    "via",
    "during",
    "made",
    "makes",
    "voltage",
    "volts",
    "drops",
    "dropped",
];
const MOVING: &[&str] =
    &["push", "pull", "tap", "wiggl", "jiggl", "tug", "mov", "touch", "shak", "press", "squeez"];
const LEADS: &[&str] = &["lead", "leads", "cable", "cables"];
/// The most words that make up the name of a state.
const LONGEST_STATE: usize = 5;

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
    account.time = take_times(&mut words);
    account.about = take_about(&mut words);
    account.state = take_state(&mut words, context)?;
    account.value = value::take(&mut words)?;
    take_names(&mut account, words);
    the_only_battery(&mut account, context);
    Ok(account)
}

fn take_times(words: &mut Vec<Token<'_>>) -> Option<String> {
    let times: Vec<&str> =
        words.iter().filter(|word| word.sort == Sort::Time).map(|word| word.text).collect();
    let time = (!times.is_empty()).then(|| times.join(" "));
    words.retain(|word| word.sort != Sort::Time);
    time
}

fn take_about(words: &mut Vec<Token<'_>>) -> About {
    let jump = words.iter().position(|word| word.is(&["jump", "jumper", "bypass", "bridge"]));
    if let Some(at) = jump {
        let two = words.get(at + 1).is_some_and(|word| word.is(LEADS));
        words.drain(at..=at + usize::from(two));
        return About::JumpLead;
    }
    match words.iter().position(|word| word.begins(MOVING)) {
        Some(at) => {
            words.remove(at);
            About::Moved
        }
        None => About::Meter,
    }
}

/// The state: the longest run of words that names one. A name that is also something else's is the
/// state only when no other word is.
fn take_state(
    words: &mut Vec<Token<'_>>,
    context: &Context<'_>,
) -> Result<Option<StateId>, Problem> {
    for only_words in [true, false] {
        let mut found = None;
        let mut at = 0;
        while at < words.len() {
            let Some((state, count)) = state_at(words, at, only_words, context) else {
                at += 1;
                continue;
            };
            if found.is_some_and(|first| first != state) {
                return Err(Problem::error(
                    "two-states",
                    words[at].place.clone(),
                    format!("`{}` is a second state", words[at].text),
                    "one state a reading",
                ));
            }
            found = Some(state);
            words.drain(at..at + count);
            if !only_words {
                // The second such word is the device of that name.
                break;
            }
        }
        if found.is_some() {
            return Ok(found);
        }
    }
    Ok(None)
}

fn state_at(
    words: &[Token<'_>],
    at: usize,
    only_words: bool,
    context: &Context<'_>,
) -> Option<(StateId, usize)> {
    (1..=LONGEST_STATE.min(words.len() - at)).rev().find_map(|count| {
        let run = &words[at..at + count];
        let fits = run.iter().all(|word| {
            word.sort == Sort::Word
                || (!only_words && word.sort == Sort::Name && !word.text.contains(['/', '.']))
        });
        if !fits {
            return None;
        }
        let text = run.iter().map(|word| word.text).collect::<Vec<_>>().join(" ");
        context.known.state(&text).map(|state| (state, count))
    })
}

/// The places in order, the red probe's first; what is left over is kept.
fn take_names(account: &mut Account, words: Vec<Token<'_>>) {
    let (mut red, mut black) = (None, None);
    let mut colour = None;
    for word in words {
        let said = Said { text: word.text.to_owned(), place: word.place.clone() };
        if word.sort == Sort::Name {
            match colour.take() {
                Some("red") => red = Some(said),
                Some(_) => black = Some(said),
                None => account.names.push(said),
            }
        } else if word.is(&["red"]) {
            colour = Some("red");
        } else if word.is(&["black"]) {
            colour = Some("black");
        } else if word.sort != Sort::Mark && !word.is(FILLING) {
            account.unread.push(said);
        }
    }
    if let Some(red) = red {
        account.names.insert(0, red);
    }
    account.names.extend(black);
}

/// "The battery" is the only one; beside its name the word carries nothing.
fn the_only_battery(account: &mut Account, context: &Context<'_>) {
    let Some(at) = account.unread.iter().position(|said| said.text.eq_ignore_ascii_case("battery"))
    else {
        return;
    };
    let battery = || account.names.iter().any(|said| context.known.is_battery(&said.text));
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
