//! What each line that was told is worth, or why it proves nothing.

use std::fmt::Write;

use diagnosis::Side;
use units::Ratio;

use super::{MOVED, line};
use crate::answer::Asked;
use crate::commands::start::story::{Outcome, Story, Told, Weighed};
use crate::sides::chance;
use crate::style::{bold, wrapped};

/// What each line was worth.
pub(super) fn worth(text: &mut String, story: &Story<'_>, weighed: &Weighed, asked: &Asked) {
    if story.told.is_empty() {
        return;
    }
    let _ = writeln!(text, "{}", bold("What the readings are worth"));
    for own in &story.told {
        let head = format!("  {:>2}  ", own.number);
        let said = wrapped(&own.read, asked.width.saturating_sub(6), 6);
        let _ = writeln!(text, "{head}{said}");
        line(text, &worth_words(story, weighed, own), asked.width, 6);
    }
    text.push('\n');
}

pub(super) fn worth_words(story: &Story<'_>, weighed: &Weighed, own: &Told) -> String {
    let words = match &own.outcome {
        Outcome::WhichState { problem, .. } | Outcome::WhichVoltage(_, problem) => {
            let hint = problem.hint.clone().unwrap_or_default();
            return format!("kept, not weighed: {}; {hint}", problem.what);
        }
        Outcome::NotUnderstood(problem) => {
            let hint = problem.hint.as_ref().map_or_else(String::new, |hint| format!("; {hint}"));
            return format!(
                "not understood, kept as a note: {}; expected {}{hint}",
                problem.what, problem.expected
            );
        }
        Outcome::Worthless(worthless) => {
            return format!("proves nothing: {}. Instead: {}", worthless.why, worthless.instead);
        }
        Outcome::Reading(_) if weighed.left_out(own.number).is_some() => {
            let asked = weighed.left_out(own.number);
            asked.map_or_else(String::new, |own| {
                let own = answers::question::of(story.vehicle, own);
                format!("kept and not weighed: {} As it stands {}.", own.question, own.answer)
            })
        }
        Outcome::Reading(_)
            if weighed.doubted.is_some_and(|own_doubt| own_doubt.0 == own.number) =>
        {
            "nothing is said from it until it is taken again".to_owned()
        }
        Outcome::Reading(_) => match weighed.steps.iter().find(|step| step.number == own.number) {
            None => {
                "kept beside the others; volts, amperes, jump leads and pushes are weighed here"
                    .to_owned()
            }
            Some(step) => {
                let mut moved: Vec<&(Side, Ratio, Ratio)> =
                    step.sides.iter().filter(|(_, a, b)| (a.0 - b.0).abs() >= MOVED).collect();
                moved.sort_by(|a, b| (b.1.0 - b.2.0).abs().total_cmp(&(a.1.0 - a.2.0).abs()));
                let words: Vec<String> = moved
                    .iter()
                    .take(3)
                    .map(|(side, a, b)| {
                        let verb = if b > a { "up" } else { "down" };
                        format!("{} {verb} from {} to {}", side.word(), chance(*a), chance(*b))
                    })
                    .collect();
                if words.is_empty() {
                    "fits what was believed and moves no side by two points".to_owned()
                } else {
                    words.join(", ")
                }
            }
        },
    };
    let words = match own.assumed {
        Some(state) => {
            format!("{words} (no state was told: {} is taken)", story.vehicle.state(state).id)
        }
        None => words,
    };
    if own.turned {
        format!(
            "{words} (told without a sign and taken as the current flows: did the meter show a minus? If not, say it again with `+` before the value)"
        )
    } else {
        words
    }
}
