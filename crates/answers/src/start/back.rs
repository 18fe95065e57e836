//! What is asked back of whoever tells, with what may be answered.

use model::{StateId, Vehicle};
use units::Volts;

use super::setup::{Choices, chosen};
use super::unweighed::NOMINAL;

/// A word that may be answered, and what it means.
pub type Choice = (&'static str, &'static str);

/// A question back.
#[derive(Debug, Clone)]
pub struct Back {
    /// What is asked.
    pub question: String,
    /// What may be answered.
    pub choices: Vec<Choice>,
    /// The word that is meant by an answer without any.
    pub usual: &'static str,
    /// The word that is taken where no answer is understood, or nobody answers.
    pub otherwise: &'static str,
    /// True where nothing may be taken for the answer of somebody who is not there.
    pub needed: bool,
    pub(super) understood: fn(&str, &[Choice]) -> Option<&'static str>,
}

impl Back {
    /// The word that an answer means.
    #[must_use]
    pub fn understand(&self, said: &str) -> Option<&'static str> {
        (self.understood)(said, &self.choices)
    }
}

/// The answer that leaves a line unweighed.
const NOT_KNOWN: Choice = ("not known", "it is kept and not weighed");
/// What may be answered to whether the vehicle is of another voltage.
const ANOTHER: Choices = &[("yes", "go on with that voltage"), ("no", "keep the line, unweighed")];
/// What may be answered to whether the meter showed a minus.
const MINUS: Choices =
    &[("yes", "a minus, or nobody looked"), ("no", "no minus, with the leads as they were told")];
/// States that every rough vehicle has.
const STATES: [Choice; 5] = [
    ("resting", "at rest, everything off"),
    ("key-on", "key on, engine off"),
    ("cranking", "while the starter turns or should turn"),
    ("idle", "the engine idling"),
    ("running", "the engine running"),
];

/// When something was taken, as people say it.
pub(super) fn when(state: &str) -> String {
    match state {
        "resting" => "at rest".to_owned(),
        "key-on" => "with the key on".to_owned(),
        "cranking" => "while cranking".to_owned(),
        "idle" => "while idling".to_owned(),
        other => format!("while {other}"),
    }
}

/// When a line was measured. Without an answer it is the first state if its value lets `guessed` it.
pub(super) fn of_state(
    vehicle: &Vehicle,
    (states, guessed): (&[StateId], bool),
    line: &str,
) -> Back {
    let known = |state: &StateId| {
        let id = &vehicle.state(*state).id;
        STATES.into_iter().find(|own| own.0 == id)
    };
    let mut choices: Vec<Choice> = states.iter().filter_map(known).collect();
    let first = choices.first().filter(|_| guessed).map(|own| own.0);
    choices.push(NOT_KNOWN);
    Back {
        question: format!("`{line}`: when was that measured?"),
        choices,
        usual: first.unwrap_or(NOT_KNOWN.0),
        otherwise: NOT_KNOWN.0,
        needed: false,
        understood: |said, choices| {
            chosen(said, choices).or_else(|| {
                let said = said.trim().to_lowercase();
                choices.iter().find(|(name, _)| when(name) == said).map(|own| own.0)
            })
        },
    }
}

/// Whether the vehicle is of another voltage, of which a value speaks.
pub(super) fn of_voltage(word: &str, what: &str) -> Back {
    Back {
        question: format!("{what}. Is it a {word} vehicle?"),
        choices: ANOTHER.to_vec(),
        usual: "no",
        otherwise: "no",
        needed: false,
        understood: chosen,
    }
}

/// The voltage that a word names.
pub(super) fn nominal(word: &str) -> Option<Volts> {
    NOMINAL.iter().find(|own| own.0 == word).map(|own| Volts(own.1))
}

/// Whether the meter showed the minus that was taken for it.
pub(super) fn of_minus(sound: &str) -> Back {
    Back {
        question: format!("Did the meter show a minus? A sound vehicle shows about {sound} there."),
        choices: MINUS.to_vec(),
        usual: "yes",
        otherwise: "yes",
        needed: false,
        understood: chosen,
    }
}
