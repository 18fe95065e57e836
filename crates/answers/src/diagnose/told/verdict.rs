//! Contradictions first, then the finding in a sentence or two.

use diagnosis::{Diagnosis, Suspect, SuspectKind, take_again_from};
use model::{ConductorId, Vehicle};
use units::Ratio;

use super::closed;
use crate::diagnose::Found;
use crate::holds;
use crate::told::quantity::ohms;
use crate::told::sides::chance;
use crate::told::{Line, Told, Tone, joined, measuring, name};

/// From this probability on a suspect stands in the finding.
const LIKELY: f64 = 0.5;
/// Below this probability even the likeliest suspect is no finding.
const STANDS_OUT: f64 = 0.1;
/// Readings named at most as to be taken again.
const MOST_AGAIN: usize = 2;
/// From this probability on a piece of a conductor shares its suspicion.
const SHARES: f64 = 0.05;

pub(super) fn told(told: &mut Told, found: &Found<'_>) {
    let again = found.diagnosis.take_again.iter().take(MOST_AGAIN);
    let again = again.filter(|(_, chance)| *chance > take_again_from());
    for (at, (number, probability)) in again.enumerate() {
        let words = say!(
            "take reading {} again: with a probability of {} it is wrong, a probe on another \
             point, a slipped decimal or crossed probes. Without it the others agree.",
            number.to_string(),
            chance(Ratio(*probability))
        );
        told.part(format!("take_again.{at}"), |told| told.toned(Tone::Warning, words));
        told.gap();
    }
    // That nothing seems wrong is read as "cleared" where nothing marks that it is not.
    let nothing_wrong = !found.seen.is_empty() && found.diagnosis.nothing_bad > 0.5;
    let held = nothing_wrong && !found.holds.is_empty();
    let tone = if held { Tone::Warning } else { Tone::Plain };
    told.part("verdict", |told| told.toned(tone, words(found)));
    told.gap();
}

fn words(found: &Found<'_>) -> Line {
    let diagnosis = &found.diagnosis;
    match diagnosis.suspects.first() {
        _ if found.seen.is_empty() => {
            say!("Nothing was measured that counts; what follows is believed before any reading.")
        }
        _ if diagnosis.nothing_bad > 0.5 => nothing_wrong(found),
        Some(first) => suspected(found.vehicle, diagnosis, first),
        None => say!("Nothing can be said."),
    }
}

/// Nothing is likely to be wrong, which need not mean that anything is cleared.
fn nothing_wrong(found: &Found<'_>) -> Line {
    let diagnosis = &found.diagnosis;
    let nothing = chance(Ratio(diagnosis.nothing_bad));
    if diagnosis.take_again.first().is_some_and(|own| own.1 > take_again_from()) {
        return say!(
            "Until then these readings clear nothing for sure: as they stand, nothing is wrong \
             with a probability of {}.",
            nothing
        );
    }
    if found.holds.is_empty() {
        return say!(
            "These readings clear the vehicle as far as they reach: nothing is wrong with a \
             probability of {}.",
            nothing
        );
    }
    let holds = found.holds.iter().map(|own| holds::said(found.vehicle, &found.seen, *own));
    say!(
        "Unlikely so far that something is wrong, not cleared: as they stand, nothing is wrong \
         with a probability of {}. But {}.",
        nothing,
        joined(holds, "; and ")
    )
}

/// What is bad, and what path is there that the file does not show, as far as either is likely.
fn suspected(vehicle: &Vehicle, diagnosis: &Diagnosis, first: &Suspect) -> Line {
    let lacks = |own: &&Suspect| matches!(own.kind, SuspectKind::ExtraPath { .. });
    let shared = |own: &Suspect| {
        let pieces = pieces(vehicle, diagnosis, own);
        pieces.iter().map(|own| own.probability).sum::<f64>().max(own.probability)
    };
    let likely = || diagnosis.suspects.iter().filter(|own| shared(own) > LIKELY);
    let of = |own: &Suspect| finding(vehicle, diagnosis, own);
    match (likely().find(|own| !lacks(own)), likely().find(lacks)) {
        (Some(bad), Some(path)) => say!("{} {}", of(bad), of(path)),
        (Some(own), None) | (None, Some(own)) => of(own),
        (None, None) if shared(first) > STANDS_OUT => of(first),
        (None, None) => say!(
            "No single part stands out. That nothing is wrong has a probability of {}; the rest \
             is spread over parts that these readings hardly reach (`groundloom next` says which \
             to take).",
            chance(Ratio(diagnosis.nothing_bad))
        ),
    }
}

/// The conductor that a fault is in.
fn conductor_of(vehicle: &Vehicle, kind: SuspectKind) -> Option<ConductorId> {
    match kind {
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => Some(id),
        SuspectKind::Joint(id) => vehicle.joint(id).of.conductor(),
        _ => None,
    }
}

/// The suspects in the same conductor that share the suspicion, itself included.
fn pieces<'d>(vehicle: &Vehicle, diagnosis: &'d Diagnosis, first: &Suspect) -> Vec<&'d Suspect> {
    let of = |own: &Suspect| conductor_of(vehicle, own.kind);
    let same =
        |own: &&Suspect| own.probability > SHARES && of(own).is_some() && of(own) == of(first);
    diagnosis.suspects.iter().filter(same).collect()
}

/// The finding in a sentence: a whole conductor when its pieces share the suspicion.
fn finding(vehicle: &Vehicle, diagnosis: &Diagnosis, first: &Suspect) -> Line {
    let pieces = pieces(vehicle, diagnosis, first);
    if pieces.len() > 1 {
        let sum: f64 = pieces.iter().map(|own| own.probability).sum();
        let conductor = conductor_of(vehicle, first.kind).map(|id| &vehicle.conductor(id).id);
        let each = pieces.iter().map(|own| measuring::suspect(vehicle, own.kind));
        return say!(
            "It lies in {} with a probability of {}: {}.",
            conductor.map_or_else(Line::new, |own| say!("{}", name(own))),
            chance(Ratio(sum.min(1.0))),
            joined(each, "; or ")
        );
    }
    let about = closed(first).map_or_else(Line::new, |own| say!(", about {}", ohms(own)));
    let probability = chance(Ratio(first.probability));
    if let SuspectKind::ExtraPath { from, to } = first.kind {
        let [from, to] = [from, to].map(|end| name(measuring::body(vehicle, end)));
        return say!(
            "There with a probability of {}: a path between {} and {} that the file does not \
             show{}.",
            probability,
            from,
            to,
            about
        );
    }
    let suspect = measuring::suspect(vehicle, first.kind);
    say!("Bad with a probability of {}: {}{}.", probability, suspect, about)
}
