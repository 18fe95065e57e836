//! Why a size is too small, and what no size changes.

use catalogue::Row;
use model::Vehicle;
use protection::sizing::Reason;
use protection::{Harm, Rule, Verdict};
use units::Kelvin;

use super::Found;
use super::found::{BurntBy, Choice, Size};
use crate::told::quantity::{amperes, duration, loss, temperature, volts};
use crate::told::{Line, joined, name};

/// The kind of a reason: something else fails, and the conductor burns.
const HIDDEN_FUSE: &str = "hidden fuse";

const NO_FUSE: &str = "From one of its ends a battery reaches this conductor with no fuse in between, \
    and no size is protected from that. `--fuse RATING` puts a fuse at its beginning; what feeds its \
    other end is told by `groundloom protect`.";

const NO_CURVE: &str = "A fuse that has to clear its faults has no stated opening times, so that \
    protection could not be judged: write them into the file as `curve`, or as `[curves.NAME]` for its kind.";

/// The kinds of all reasons why a size is too small.
pub(super) fn kinds(size: &Size) -> Vec<&'static str> {
    let mut kinds: Vec<&str> = size.tried.reasons.iter().map(kind).collect();
    kinds.extend(size.burnt_by.as_ref().map(|_| HIDDEN_FUSE));
    kinds.dedup();
    kinds
}

/// Every reason why a size is too small: its kind, and what a person reads.
pub(super) fn all(found: &Found<'_>, size: &Size) -> Vec<(&'static str, Line)> {
    let reasons = size.tried.reasons.iter();
    let mut all: Vec<(&str, Line)> =
        reasons.map(|reason| (kind(reason), told(found, reason))).collect();
    all.extend(size.burnt_by.as_ref().map(|own| (HIDDEN_FUSE, burnt(found.vehicle, own))));
    all
}

fn burnt(vehicle: &Vehicle, own: &BurntBy) -> Line {
    let after = own.endurance.limit_after;
    let after = after.map_or_else(Line::new, |after| say!(" after {}", duration(after)));
    say!(
        "would be a hidden fuse: when {} in {}, it has to carry {} alone and is {}{}",
        own.fault.clone(),
        name(&vehicle.state(own.state).id),
        amperes(own.endurance.amps),
        too_hot(own.endurance.limit, failures::Endurance::RULE),
        after
    )
}

/// Which temperature is passed, and what it is.
fn too_hot(limit: Kelvin, rule: Rule) -> Line {
    say!("past its {} ({})", rule.word(), temperature(limit))
}

fn kind(reason: &Reason) -> &'static str {
    match reason {
        Reason::Drop { .. } => "drop",
        Reason::Load { .. } => "load",
        Reason::TooWarm { .. } => "heat",
        Reason::Fault(_) => "fault",
        Reason::Return(_) => "fault elsewhere",
        Reason::Unsolved { .. } => "unsolved",
    }
}

fn told(found: &Found<'_>, reason: &Reason) -> Line {
    let state = |id| name(&found.vehicle.state(id).id);
    match reason {
        Reason::Drop { found: lost, state: at } => {
            let allowed = found.wanted.drop.unwrap_or(*lost);
            say!("loses {} in {}, {} too much", loss(*lost), state(*at), loss(*lost - allowed))
        }
        Reason::Load { found, state: at } => {
            say!("leaves {} for the load in {}", volts(*found), state(*at))
        }
        Reason::TooWarm { found, state: at } => {
            say!("reaches {} in {}", temperature(*found), state(*at))
        }
        Reason::Fault(Verdict::Burns(gap)) => {
            say!("is burnt by faults of {} to {}", amperes(gap.from), amperes(gap.to))
        }
        Reason::Fault(Verdict::Ages(gap)) => say!(
            "is aged by faults of {} to {}, which need not be cleared",
            amperes(gap.from),
            amperes(gap.to)
        ),
        Reason::Fault(_) => say!("is not protected"),
        Reason::Return(worst) => {
            let home =
                say!("a short elsewhere, which sends {} home through it", amperes(worst.amps));
            match worst.harm {
                Harm::Burns { limit, after, rule } => {
                    say!("is {} {} after {}", too_hot(limit, rule), duration(after), home)
                }
                _ => say!("is aged by {}", home),
            }
        }
        Reason::Unsolved { state: at } => say!("no operating point in {}", state(*at)),
    }
}

/// What no size changes, and what the chosen ones still suffer from.
pub(super) fn warnings(found: &Found<'_>) -> Vec<Line> {
    let choices = &found.choices;
    let tried =
        || choices.iter().flat_map(|choice| choice.chosen.iter().chain(choice.smaller.last()));
    let verdicts = || tried().filter_map(|size| size.tried.verdict);
    let mut lines = Vec::new();
    if verdicts().any(|verdict| matches!(verdict, Verdict::Nothing { .. })) {
        lines.push(say!("{}", NO_FUSE));
    }
    let waiting = tried().any(|size| size.tried.unknown.is_some());
    if waiting || verdicts().any(|verdict| matches!(verdict, Verdict::CurveMissing)) {
        lines.push(say!("{}", NO_CURVE));
    }
    let suffering: Vec<Line> =
        choices.iter().filter_map(|choice| suffering(found.vehicle, choice)).collect();
    if !suffering.is_empty() {
        let all = joined(suffering, "; ");
        lines.push(say!("Under a short that nothing clears: {}.", all));
    }
    lines
}

/// What a short that nothing clears does to the chosen size.
fn suffering(vehicle: &Vehicle, choice: &Choice) -> Option<Line> {
    let size = choice.chosen.as_ref()?;
    let worst = size.tried.unfused?;
    let Harm::Burns { limit, after, rule } = worst.harm else { return None };
    Some(say!(
        "{} of {} is {} after {} with {} from {}",
        size.candidate.name.as_str(),
        choice.material.key(),
        too_hot(limit, rule),
        duration(after),
        amperes(worst.amps),
        name(&vehicle.point(worst.fault.at).id)
    ))
}
