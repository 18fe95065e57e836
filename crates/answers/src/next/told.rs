//! What is said of readings worth taking: where the leads go, and what each outcome would mean.

use diagnosis::Proposal;
use model::{Measured, Vehicle};
use units::UnitSystem;

use super::found::AtHand;
use super::{Asked, Found, why_running};
use crate::question;
use crate::told::quantity::duration;
use crate::told::{
    Line, Paragraph, Span, Told, Tone, aside, joined, measuring, name, strong, written,
};
use crate::unsettled;

/// Outcomes of a reading told at most.
const MOST_OUTCOMES: usize = 4;
/// Letters that outcomes of about one value take together.
const MOST_LETTERS: usize = 90;
/// Letters of a place on a plan.
const PLACE: usize = 28;

pub(super) fn of(found: &Found<'_>, _: &Asked) -> Told {
    let mut told = Told::default();
    match &found.weighed {
        Some(own) => next(&mut told, found, own),
        None => sheet(&mut told, found),
    }
    measuring::caution(&mut told, &found.vehicle, &found.proposals);
    told
}

fn next(told: &mut Told, found: &Found<'_>, at_hand: &AtHand) {
    measuring::earlier(told, &found.taken.earlier);
    told.line(strong(name(&found.vehicle.name)));
    told.gap();
    unsettled::told_states(told, &found.vehicle, &found.unsettled);
    question::told(told, &found.vehicle, &at_hand.questions);
    if at_hand.enough {
        told.paragraph(
            "The readings at hand say enough: `groundloom diagnose` names what they \
             point to. Further readings would only confirm it:",
        );
        told.gap();
    }
    for (rank, own) in found.proposals.iter().enumerate() {
        proposal(told, &found.vehicle, rank + 1, own);
    }
}

fn proposal(told: &mut Told, vehicle: &Vehicle, rank: usize, own: &Proposal) {
    let place = measuring::placed(vehicle, own);
    let state = name(&vehicle.state(own.state).name);
    told.line(strong(say!("{}. {}, {}", rank, place, state)));
    told.line(say!(
        "   a sound vehicle shows {}; about {} of work",
        measuring::value(own.measured, own.sound),
        duration(own.time)
    ));
    if let Some(why) = own.why {
        below(told, say!("engine running: {}", why_running(why)));
    }
    for (words, value) in outcomes(vehicle, own).into_iter().take(MOST_OUTCOMES) {
        below(told, say!("near {}: {}", measuring::value(own.measured, value), words));
    }
    let as_reading = measuring::line_to_type(vehicle, own);
    told.line(say!("   {}", aside(say!("as a reading: {}", as_reading))));
    told.gap();
}

/// A line that belongs to a proposal.
fn below(told: &mut Told, text: Line) {
    told.push(Paragraph::item("   ", 5, text).narrower(2));
}

/// What the outcomes that tell most apart would mean, with those of about the same value together.
fn outcomes(vehicle: &Vehicle, own: &Proposal) -> Vec<(Line, f64)> {
    let mut outcomes: Vec<(Line, f64)> = Vec::new();
    // Nothing in them depends on the person's units.
    let text = |line: &Line| written(line, UnitSystem::default());
    for (faults, value, _) in &own.outcomes {
        let words = if faults.is_empty() {
            say!("nothing here is wrong")
        } else {
            joined(faults.iter().map(|kind| measuring::short(vehicle, *kind)), " and ")
        };
        let near = |known: f64| (known.abs() - value.abs()).abs() < 0.03 * value.abs() + 0.004;
        match outcomes.iter_mut().find(|(_, known)| near(*known)) {
            Some((known, _)) => {
                let so_far = text(known);
                if !so_far.contains(&text(&words)) && so_far.len() < MOST_LETTERS {
                    known.push(", or ".into());
                    known.extend(words);
                }
            }
            None => outcomes.push((words, *value)),
        }
    }
    outcomes
}

/// A sheet to print and take along.
fn sheet(told: &mut Told, found: &Found<'_>) {
    let vehicle: &Vehicle = &found.vehicle;
    told.line(say!("{}: first readings", strong(name(&vehicle.name))));
    let words = "red lead, then black lead; of a clamp its arrow points to the place behind →, so that a \
                 sound vehicle shows no minus";
    told.toned(Tone::Aside, say!("{}", words));
    told.gap();
    unsettled::told_states(told, vehicle, &found.unsettled);
    let mut state = None;
    for (number, own) in found.proposals.iter().enumerate() {
        if state != Some(own.state) {
            state = Some(own.state);
            told.line(strong(name(&vehicle.state(own.state).name)));
        }
        told.line(planned(vehicle, number + 1, own));
        if let Some(why) = own.why {
            let why = say!("engine running: {}", why_running(why));
            told.push(Paragraph::item("      ", 6, why).toned(Tone::Aside));
        }
    }
    told.gap();
}

/// A line of the sheet, with room for what the meter shows.
fn planned(vehicle: &Vehicle, number: usize, own: &Proposal) -> Line {
    let (first, second, unit) = match own.measured {
        Measured::Volts { high, low } => {
            let [red, black] = [high, low].map(|own| name(vehicle.probe_name(own)));
            (say!("{}", red), say!("{}", black), "V")
        }
        Measured::Amps { conductor } => (
            say!("clamp {}", name(&vehicle.conductor(conductor).id)),
            say!("→ {}", name(measuring::arrow(vehicle, own, conductor))),
            "A",
        ),
        other => (measuring::measured(vehicle, other), Line::new(), ""),
    };
    say!(
        "  {}  {} {} sound {}  ______ {}",
        Span::from(number).right(2),
        filled(first),
        filled(second),
        measuring::value(own.measured, own.sound).right(8),
        unit
    )
}

/// With blanks behind it, so that places stand under each other.
fn filled(mut own: Line) -> Line {
    let letters = written(&own, UnitSystem::default()).chars().count();
    own.push(" ".repeat(PLACE.saturating_sub(letters)).into());
    own
}
