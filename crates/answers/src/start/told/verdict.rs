//! Who is cleared, and what readings can and cannot say.

use diagnosis::sides::not_switched_on;
use diagnosis::{Hold, Side, Standing, Symptom, take_again_from};
use units::Ratio;

use super::{Found, MOVED};
use crate::told::names::{capital, listed};
use crate::told::sides::chance;
use crate::told::{Line, Told, Tone, joined, name};

/// How a reading comes to be wrong.
const SLIPS: &str = " it is wrong, a probe on another point, a slipped decimal or crossed probes.";

/// What the readings took the suspicion from, in plain words.
pub(super) fn acquittals(told: &mut Told, found: &Found) {
    let weighed = &found.weighed;
    let sides = &weighed.account.sides;
    let of = |standing| sides.sides.iter().filter(move |own| weighed.standing(own) == standing);
    for own in of(Standing::Cleared) {
        told.paragraph(say!(
            "The {} is cleared{}: {}, {} before the readings, {} now.",
            own.side.word(),
            by(found, own.side),
            cleared(own.side),
            chance(weighed.first(own.side)),
            chance(own.probability)
        ));
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
        told.paragraph(unlikely(found, &why, &sides));
    }
    reservations(told, found);
    told.gap();
}

/// What readings do not say.
fn reservations(told: &mut Told, found: &Found) {
    let weighed = &found.weighed;
    let sides = &weighed.account.sides;
    let of = |side| sides.probability(side).0;
    if found.symptom == Symptom::NoCrank && of(Side::Load) + of(Side::Control) > 0.5 {
        told.paragraph(control_words(found));
        told.paragraph(
            "Cleared means here: not why it stands. While the starter draws nothing, no \
             reading proves battery, cables and straps good for cranking.",
        );
    }
    let again =
        weighed.account.diagnosis.take_again.first().filter(|own| own.1 > take_again_from());
    if let Some((number, probability)) = again.filter(|_| weighed.doubted.is_none()) {
        let words = format!("Take reading {number} again: with ");
        told.toned(Tone::Warning, say!("{}{}{}", words, chance(Ratio(*probability)), SLIPS));
    }
    if sides.sides.iter().all(|own| own.probability.0 < 0.5) && sides.nothing.0 < 0.5 {
        told.paragraph("No side stands out yet: the next reading decides.");
    }
}

/// The reading from which nothing is said, before anything else is.
pub(super) fn again_first(told: &mut Told, found: &Found) {
    let Some((number, wrong)) = found.weighed.doubted else { return };
    let words = format!("Take reading {number} again first: with ");
    let rest = " Nothing is said from it; this is what the others leave.";
    told.toned(Tone::Warning, say!("{}{}{}{}", words, chance(wrong), SLIPS, rest));
    told.gap();
}

/// Sides that are unlikely so far, and what keeps them from being cleared.
fn unlikely(found: &Found, why: &[Hold], sides: &[Side]) -> Line {
    let weighed = &found.weighed;
    let (one, several) = match sides {
        [only] => (Some(*only), false),
        _ => (None, true),
    };
    let names = sides.iter().enumerate().map(|(at, side)| {
        let article = if at == 0 { capital("the") } else { "the".to_owned() };
        say!("{} {}", article, side.word())
    });
    let chances = sides.iter().map(|side| {
        let of = if several { say!("{} ", side.word()) } else { Line::new() };
        let (before, now) = (weighed.first(*side), weighed.account.sides.probability(*side));
        say!("{}{} before the readings, {} now", of, chance(before), chance(now))
    });
    let reasons = why
        .iter()
        .map(|hold| say!("{}", crate::holds::words(&found.vehicle, &weighed.seen, *hold)));
    let why = if why.is_empty() {
        say!("A further reading settles it")
    } else {
        say!("But {}", joined(reasons, "; and "))
    };
    say!(
        "{}{} unlikely so far, not cleared: {}{}. {}.",
        listed(names.collect()),
        if several { " are" } else { " is" },
        one.map_or_else(Line::new, |side| say!("{}, ", cleared(side))),
        joined(chances, "; "),
        why
    )
}

/// The reading that took most of the suspicion from a side.
fn by(found: &Found, side: Side) -> String {
    let falls = found.weighed.steps.iter().filter_map(|step| {
        step.sides.iter().find(|own| own.0 == side).map(|own| (step.number, own.1.0 - own.2.0))
    });
    let most = falls.max_by(|a, b| units::larger_first(b.1, a.1)).filter(|own| own.1 > MOVED);
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
fn control_words(found: &Found) -> Line {
    let (vehicle, control) = (&found.vehicle, found.weighed.account.control);
    if control > not_switched_on() {
        return say!(
            "The trigger lacks its volts: the fault lies before it, in key switch, interlock, \
             relay or wire."
        );
    }
    if control < not_switched_on() {
        return say!(
            "The trigger has its volts: what is left is the starter with its solenoid. An \
             interlock in the earth of the coil would look the same."
        );
    }
    let coil = vehicle.load_named("starter-coil").map(|id| {
        let (live, back) = vehicle.load_terminals(id);
        say!("{} to {}", name(&vehicle.point(live).id), name(&vehicle.point(back).id))
    });
    say!(
        "Volts at the starter that does not draw cannot tell a dead starter from one that is not \
         switched on; only the volts at its trigger can ({}).",
        coil.unwrap_or_default()
    )
}
