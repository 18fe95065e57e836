//! Who is cleared, and what readings can and cannot say.

use std::fmt::Write;

use diagnosis::sides::NOT_SWITCHED_ON;
use diagnosis::{Hold, Side, Standing, Symptom, TAKE_AGAIN};
use units::Ratio;

use super::{MOVED, line};
use crate::answer::Asked;
use crate::commands::start::story::{Story, Weighed};
use crate::names::{capital, listed};
use crate::sides::chance;
use crate::style::{warning, wrapped};

/// What the readings took the suspicion from, in plain words.
pub(super) fn acquittals(text: &mut String, story: &Story<'_>, weighed: &Weighed, asked: &Asked) {
    let sides = &weighed.account.sides.sides;
    let of = |standing| sides.iter().filter(move |own| weighed.standing(own) == standing);
    for own in of(Standing::Cleared) {
        let words = format!(
            "The {} is cleared{}: {}, {} before the readings, {} now.",
            own.side.word(),
            by(weighed, own.side),
            cleared(own.side),
            chance(weighed.first(own.side)),
            chance(own.probability)
        );
        line(text, &words, asked.width, 0);
    }
    // Sides that the same reasons keep are told together, and the reasons once.
    let mut kept: Vec<(Vec<Hold>, Vec<Side>)> = Vec::new();
    for own in of(Standing::UnlikelySoFar) {
        let keeps = weighed.holds.iter().filter(|hold| hold.keeps(own.side));
        let keeps: Vec<Hold> = keeps.copied().collect();
        match kept.iter_mut().find(|(why, _)| *why == keeps) {
            Some((_, sides)) => sides.push(own.side),
            None => kept.push((keeps, vec![own.side])),
        }
    }
    for (why, sides) in kept {
        let words = unlikely(story, weighed, &why, &sides);
        line(text, &words, asked.width, 0);
    }
    let of = |side| weighed.account.sides.probability(side).0;
    if story.symptom == Symptom::NoCrank && of(Side::Load) + of(Side::Control) > 0.5 {
        line(text, &control_words(story, weighed), asked.width, 0);
        let words = "Cleared means here: not why it stands. While the starter draws nothing, no reading proves battery, cables and straps good for cranking.";
        line(text, words, asked.width, 0);
    }
    let again = weighed.account.diagnosis.take_again.first().filter(|own| own.1 > TAKE_AGAIN);
    if let Some((number, probability)) = again.filter(|_| weighed.doubted.is_none()) {
        let words = format!(
            "Take reading {number} again: with {} it is wrong, a probe on another point, a slipped decimal or crossed probes.",
            chance(Ratio(*probability))
        );
        let _ = writeln!(text, "{}", warning(wrapped(&words, asked.width, 0)));
    }
    if weighed.account.sides.sides.iter().all(|own| own.probability.0 < 0.5)
        && weighed.account.sides.nothing.0 < 0.5
    {
        line(text, "No side stands out yet: the next reading decides.", asked.width, 0);
    }
    text.push('\n');
}

/// The reading from which nothing is said, before anything else is.
pub(super) fn again_first(text: &mut String, weighed: &Weighed, asked: &Asked) {
    let Some((number, chance_wrong)) = weighed.doubted else { return };
    let words = format!(
        "Take reading {number} again first: with {} it is wrong, a probe on another point, a slipped decimal or crossed probes. Nothing is said from it; this is what the others leave.",
        chance(chance_wrong)
    );
    let _ = writeln!(text, "{}\n", warning(wrapped(&words, asked.width, 0)));
}

/// Sides that are unlikely so far, and what keeps them from being cleared.
fn unlikely(story: &Story<'_>, weighed: &Weighed, why: &[Hold], sides: &[Side]) -> String {
    let names: Vec<String> = sides.iter().map(|side| format!("the {}", side.word())).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let chances: Vec<String> = sides
        .iter()
        .map(|side| {
            let now = weighed.account.sides.probability(*side);
            let of = if sides.len() > 1 { format!("{} ", side.word()) } else { String::new() };
            format!("{of}{} before the readings, {} now", chance(weighed.first(*side)), chance(now))
        })
        .collect();
    let why: Vec<String> =
        why.iter().map(|hold| answers::holds::words(story.vehicle, &weighed.seen, *hold)).collect();
    let why = if why.is_empty() {
        "A further reading settles it".to_owned()
    } else {
        format!("But {}", why.join("; and "))
    };
    let what = match sides {
        [only] => format!("{}, ", cleared(*only)),
        _ => String::new(),
    };
    format!(
        "{} {} unlikely so far, not cleared: {what}{}. {why}.",
        capital(&listed(&names)),
        if sides.len() > 1 { "are" } else { "is" },
        chances.join("; ")
    )
}

/// The reading that took most of the suspicion from a side.
fn by(weighed: &Weighed, side: Side) -> String {
    let falls = weighed.steps.iter().filter_map(|step| {
        step.sides.iter().find(|own| own.0 == side).map(|own| (step.number, own.1.0 - own.2.0))
    });
    let most = falls.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|own| own.1 > MOVED);
    most.map_or_else(String::new, |(number, _)| format!(" (mostly by reading {number})"))
}

fn cleared(side: Side) -> &'static str {
    match side {
        Side::Source => "battery, and what charges it",
        Side::Feed => "cables and joints from the battery to the load",
        Side::Return => "earth cables, straps and metal on the way home",
        Side::Load => "its own insides",
        Side::Control => "switch, relay and wire that switch it on",
    }
}

/// What readings can and cannot say of the control.
fn control_words(story: &Story<'_>, weighed: &Weighed) -> String {
    if weighed.account.control != NOT_SWITCHED_ON {
        let words = if weighed.account.control > NOT_SWITCHED_ON {
            "The trigger lacks its volts: the fault lies before it, in key switch, interlock, relay or wire."
        } else {
            "The trigger has its volts: what is left is the starter with its solenoid. An interlock in the earth of the coil would look the same."
        };
        return words.to_owned();
    }
    let coil = story.vehicle.load_named("starter-coil").map(|id| {
        let (live, back) = story.vehicle.load_terminals(id);
        format!("{} to {}", story.vehicle.point(live).id, story.vehicle.point(back).id)
    });
    format!(
        "Volts at the starter that does not draw cannot tell a dead starter from one that is not switched on; only the volts at its trigger can ({}).",
        coil.unwrap_or_default()
    )
}
