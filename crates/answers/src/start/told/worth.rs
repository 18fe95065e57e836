//! What each line that was told is worth, or why it proves nothing.

use diagnosis::Side;
use units::Ratio;

use super::{Found, MOVED, set_in};
use crate::sights;
use crate::start::story::{Outcome, Said};
use crate::start::weighed::Step;
use crate::told::sides::chance;
use crate::told::{Line, Told, joined, name, strong};

/// Sides told that one reading moves.
const MOST_MOVED: usize = 3;

/// What each line was worth.
pub(super) fn worth(told: &mut Told, found: &Found) {
    if found.told.is_empty() {
        return;
    }
    told.line(strong("What the readings are worth"));
    for own in &found.told {
        told.item(say!("{}", format!("  {:>2}  ", own.number)), 6, say!("{}", name(&own.read)));
        set_in(told, 6, worth_words(found, own));
    }
    told.gap();
}

pub(in crate::start) fn worth_words(found: &Found, own: &Said) -> Line {
    let weighed = &found.weighed;
    let mut words = match &own.outcome {
        Outcome::WhichState { problem, .. } | Outcome::WhichVoltage(_, problem) => {
            let hint = problem.hint.as_deref().unwrap_or_default();
            return say!("kept, not weighed: {}; {}", problem.what.as_str(), hint);
        }
        Outcome::NotUnderstood(problem) => {
            let hint = problem.hint.as_ref().map_or_else(String::new, |hint| format!("; {hint}"));
            return say!(
                "not understood, kept as a note: {}; expected {}{}",
                problem.what.as_str(),
                problem.expected.as_str(),
                hint
            );
        }
        Outcome::Worthless(own) => {
            return say!("proves nothing: {}. Instead: {}", own.why.as_str(), own.instead.as_str());
        }
        Outcome::Seen(all) => {
            let step = weighed.steps.iter().find(|step| step.number == own.number);
            return say!("{}; {}", sights::understood(&found.vehicle, all), moved(step));
        }
        Outcome::Reading(_) => match weighed.left_out(own.number) {
            Some(asked) => {
                let own = crate::question::ReadingQuestion::of(&found.vehicle, asked);
                let [question, answer] = [own.question, own.answer];
                say!("kept and not weighed: {} As it stands {}.", question, answer)
            }
            None if weighed.doubted.is_some_and(|doubted| doubted.0 == own.number) => {
                say!("nothing is said from it until it is taken again")
            }
            None => moved(weighed.steps.iter().find(|step| step.number == own.number)),
        },
    };
    if let Some(state) = own.assumed {
        let state = name(&found.vehicle.state(state).id);
        words.extend(say!(" (no state was told: {} is taken)", state));
    }
    if own.turned {
        words.push(
            " (told without a sign and taken as the current flows: did the meter show a minus? If \
             not, say it again with `+` before the value)"
                .into(),
        );
    }
    words
}

/// Which sides a reading moved.
fn moved(step: Option<&Step>) -> Line {
    let Some(step) = step else {
        return say!(
            "kept beside the others; volts, amperes, jump leads and pushes are weighed here"
        );
    };
    let by = |own: &(Side, Ratio, Ratio)| (own.1.0 - own.2.0).abs();
    let mut moved: Vec<_> = step.sides.iter().filter(|own| by(own) >= MOVED).collect();
    moved.sort_by(|a, b| units::larger_first(by(a), by(b)));
    if moved.is_empty() {
        return say!("fits what was believed and moves no side by two points");
    }
    let words = moved.into_iter().take(MOST_MOVED).map(|(side, was, is)| {
        let verb = if is > was { " up from " } else { " down from " };
        say!("{}{}{} to {}", side.word(), verb, chance(*was), chance(*is))
    });
    joined(words, ", ")
}
