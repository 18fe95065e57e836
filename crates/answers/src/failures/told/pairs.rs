//! Two ways open at once.

use ::failures::{Finding, PairCase, Pairs};
use model::Vehicle;

use super::{UNDER, count, during, fault, finding, heading, loads, more, stopped};
use crate::told::quantity::percent;
use crate::told::{Line, Told, Tone, joined};

/// Pairs that are shown.
const PAIRS: usize = 10;
/// Sentences of one pair that are written out.
const MOST_FINDINGS: usize = 3;

pub(super) fn of(told: &mut Told, vehicle: &Vehicle, found: &Pairs) {
    told.heading("Two open at once, where both do what neither does alone");
    told.toned(Tone::Aside, how(found));
    if !found.complete {
        stopped(told);
    }
    if found.cases.is_empty() {
        told.line("none");
    }
    for (at, own) in found.cases.iter().take(PAIRS).enumerate() {
        pair(told, vehicle, at + 1, own);
    }
    more(told, found.cases.len(), PAIRS);
}

/// How many were tried, and what may have been missed.
fn how(found: &Pairs) -> Line {
    let mut words = say!("{} of two openings in a state", count(found.tried, "case"));
    if found.complete && found.tried == found.solved + found.sampled {
        words.extend(say!(", all of them solved fully."));
        return words;
    }
    words.extend(say!(
        "; {} came near a limit and were solved fully. Of the others {} were solved as a \
         sample, and {} of them did harm that the quick way had not seen: at most {} of \
         those passed over were missed, with 95 % confidence.",
        found.solved,
        found.sampled,
        found.missed,
        percent(found.missed_at_most)
    ));
    words
}

fn pair(told: &mut Told, vehicle: &Vehicle, number: usize, own: &PairCase) {
    let both = joined(own.faults.map(|own| fault(vehicle, own)), " and ");
    heading(told, number, both, own.chance, own.harm);
    let others = own.findings.iter().filter(|own| !matches!(own, Finding::Load { .. }));
    let mut words: Vec<Line> = others.map(|own| finding(vehicle, own)).collect();
    words.extend(loads(vehicle, &own.findings));
    words.truncate(MOST_FINDINGS);
    let words = say!("{}, {}", during(vehicle, own.state), joined(words, "; "));
    told.item(UNDER, UNDER.len(), words);
}
