//! What a page shows of each step on a sheet of its own: what is done in order, what stays short, what it rests on.

use std::collections::BTreeSet;

use diagnosis::Repair;
use model::Vehicle;

use super::Found;
use super::job::Jobs;
use super::told::{action, consumer};
use crate::told::{Line, Told, Tone, joined, name};

const OVERRIDES: &str = "The maker’s torque and procedure override this sheet; local codes and \
                         licensed practice override both.";

pub(super) fn of(told: &mut Told, found: &Found<'_>) {
    told.beside("headline", |told| {
        let first = found.worth.repairs.first();
        let first = first.map(|own| action(found.vehicle, own.action));
        told.paragraph(first.unwrap_or_else(|| say!("nothing")));
    });
    let mut jobs = Jobs::of(found.vehicle);
    for (rank, own) in found.worth.repairs.iter().enumerate() {
        let job = jobs.of_action(own.action);
        for (at, step) in job.steps.into_iter().enumerate() {
            told.beside(format!("repairs.{rank}.job.{at}"), |told| {
                let tone = if step.caution { Tone::Warning } else { Tone::Plain };
                step.lines.into_iter().for_each(|line| told.toned(tone, line));
            });
        }
        told.beside(format!("repairs.{rank}.still_short"), |told| {
            still_short(told, found.vehicle, own);
        });
        told.beside(format!("repairs.{rank}.rests_on"), |told| {
            told.toned(Tone::Aside, say!("{}", OVERRIDES));
            sources(told, job.sources);
        });
    }
}

fn still_short(told: &mut Told, vehicle: &Vehicle, own: &Repair) {
    let short = own.still_short.iter().map(|(short, state, _)| {
        say!("{}, {}", consumer(vehicle, *short), name(&vehicle.state(*state).name))
    });
    let short = joined(short, "; ");
    if !short.is_empty() {
        told.toned(Tone::Warning, say!("Still short afterwards: {}.", short));
    }
}

/// Where practices and torques come from, each once.
fn sources(told: &mut Told, sources: Vec<String>) {
    let mut seen = BTreeSet::new();
    let once = sources.into_iter().filter(|own| seen.insert(own.clone()));
    let once: Vec<Line> = once.map(|own| say!("{}", own)).collect();
    if !once.is_empty() {
        told.toned(Tone::Aside, say!("Sources: {}.", joined(once, "; ")));
    }
}

#[cfg(test)]
mod tests;
