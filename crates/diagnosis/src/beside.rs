//! Further faults beside those of an explanation: as many as the readings speak for, and the chance
//! of those that they do not speak of.

mod along;

use std::collections::BTreeSet;

use crate::dense::Cholesky;
use crate::estimator::{Asked, Estimator};
use crate::explanation::{Bystander, Explanation};
use crate::fit::{Fit, questions, system};
use crate::forward::Guess;
use crate::rough::Tried;
use crate::suspect::SuspectKind;
use along::Along;

/// Explanations to which further faults are added, and sets of faults that are fitted, each time at most.
const MOST_WIDENED: usize = 4;
pub(crate) const MOST_PAIRS: usize = 20;
/// Then the best sets of two and more are widened, one after the other, so many at most.
const MOST_SETS: usize = 6;
const MOST_OF_ONE_SET: usize = 3;
pub(crate) const MOST_LARGER: usize = MOST_SETS * MOST_OF_ONE_SET;
/// A set that promises less than this against what it is added to is not fitted.
const LEAST_GAIN: f64 = -1.0;
/// Sets this much less likely than the best are not widened.
const WORTH_WIDENING: f64 = 3.5;
/// Values of a path that the file does not show, in spreads from its middle, at which it is tried.
const PATHS_TRIED: [f64; 3] = [-1.0, 0.0, 1.0];

/// An explanation as fitted, ready to be asked what a further fault would explain.
struct First {
    rows: Vec<Vec<f64>>,
    system: Cholesky,
    solved: Vec<f64>,
    left: f64,
    heard: f64,
}

/// A further fault that promises to explain more, and the value from which it is fitted.
struct Promise {
    first: usize,
    second: usize,
    start: f64,
    gain: f64,
    weight: f64,
}

/// Adds to explanations, the likeliest first, those with further faults where these promise to explain more.
pub(crate) fn with_further_faults(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    explanations: &mut Vec<Explanation>,
    tried: &[Tried],
) {
    let mut seen: BTreeSet<Vec<SuspectKind>> = BTreeSet::new();
    let firsts: Vec<usize> = (0..explanations.len())
        .filter(|at| explanations[*at].fit.is_some())
        .take(MOST_WIDENED)
        .collect();
    let promised = promises(estimator, asked, explanations, &firsts, tried);
    fit_promised(estimator, asked, explanations, &promised, (MOST_PAIRS, f64::MIN, &mut seen));
    let mut widened: BTreeSet<usize> = firsts.into_iter().collect();
    for _ in 0..MOST_SETS {
        let best = explanations.iter().map(|own| own.weight).fold(f64::MIN, f64::max);
        let open = (0..explanations.len()).filter(|at| {
            let own = &explanations[*at];
            own.fit.is_some() && own.weight > best - WORTH_WIDENING && !widened.contains(at)
        });
        let next = open
            .max_by(|a, b| units::larger_first(explanations[*b].weight, explanations[*a].weight));
        let Some(next) = next else { break };
        widened.insert(next);
        let promised = promises(estimator, asked, explanations, &[next], tried);
        let from = best + LEAST_GAIN;
        fit_promised(estimator, asked, explanations, &promised, (MOST_OF_ONE_SET, from, &mut seen));
    }
}

/// Fits the sets that promise most, none twice.
///
/// With a piece of a conductor its other pieces are fitted too, because no difference between those may come
/// from one being looked at.
fn fit_promised(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    explanations: &mut Vec<Explanation>,
    promised: &[Promise],
    (most, from, seen): (usize, f64, &mut BTreeSet<Vec<SuspectKind>>),
) {
    let vehicle = estimator.vehicle();
    let mut groups = 0;
    for head in promised.iter().filter(|own| own.gain > LEAST_GAIN && own.weight > from) {
        if groups >= most {
            break;
        }
        let conductor = |own: &Promise| estimator.prior.faults[own.second].kind.conductor(vehicle);
        let in_one = |own: &&Promise| {
            own.second == head.second
                || (conductor(head).is_some() && conductor(own) == conductor(head))
        };
        let group: Vec<&Promise> =
            promised.iter().filter(|own| own.first == head.first).filter(in_one).collect();
        let before = seen.len();
        for own in group {
            explanations.extend(fit_further(estimator, asked, &explanations[own.first], own, seen));
        }
        groups += usize::from(seen.len() > before);
    }
}

/// An explanation with a further fault, fitted; nothing where it was fitted before.
fn fit_further(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    own: &Explanation,
    promise: &Promise,
    seen: &mut BTreeSet<Vec<SuspectKind>>,
) -> Option<Explanation> {
    let fault = estimator.prior.faults[promise.second].clone();
    let kinds = fault.beside(&own.faults);
    if !seen.insert(kinds.clone()) {
        return None;
    }
    let mut unknowns = own.fit.as_ref()?.unknowns.clone();
    unknowns[fault.at] = promise.start;
    let (belief, odds) = (fault.belief(&own.belief), own.odds + fault.log_odds);
    estimator.explain(asked, belief, &unknowns, kinds, odds)
}

/// What further faults promise to explain beside these explanations, the most first.
fn promises(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    explanations: &[Explanation],
    firsts: &[usize],
    tried: &[Tried],
) -> Vec<Promise> {
    let mut promises: Vec<Promise> = Vec::new();
    for number in firsts {
        let own = &explanations[*number];
        let Some(fit) = &own.fit else { continue };
        let Some(first) = first(estimator, own, fit, asked) else { continue };
        for further in tried {
            let fault = &estimator.prior.faults[further.fault];
            if !fault.changes(&own.faults) {
                continue;
            }
            let promise = if fault.present.is_some() {
                path_promises(estimator, &first, own, fit, further.fault, asked)
            } else {
                let logarithm = estimator.forward.layout.is_logarithm(fault.at);
                let (explains, start) =
                    Along::of(&first, own, fit, fault, logarithm).explains(first.left);
                // The first fault may leave the complaint unexplained, which this one may explain.
                let told = (further.told.0 - first.heard).max(0.0);
                let start = if explains > told { start } else { further.told.1 };
                Some((explains + told + fault.log_odds, start))
            };
            let Some((gain, start)) = promise else { continue };
            let (first, second, weight) = (*number, further.fault, own.weight + gain);
            promises.push(Promise { first, second, start, gain, weight });
        }
    }
    promises.sort_by(|a, b| units::larger_first(a.weight, b.weight));
    promises
}

/// Adds the likeliest explanations once more with each further fault that nothing else spoke for: what is
/// sure of one thing says nothing of another. Each shares its weight with them, but for what a further fault
/// accounts for of what was noticed.
pub(crate) fn with_bystanders(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    explanations: &mut Vec<Explanation>,
    tried: &[Tried],
) {
    let mut seen: BTreeSet<Vec<SuspectKind>> = BTreeSet::new();
    let whole = |own: &&Explanation| own.without.is_none();
    seen.extend(explanations.iter().filter(whole).map(|own| own.faults.clone()));
    let best = explanations.iter().map(|own| own.weight).fold(f64::MIN, f64::max);
    let mut likeliest: Vec<usize> = (0..explanations.len())
        .filter(|at| {
            let own = &explanations[*at];
            let found = !estimator.prior.beyond_the_file(&own.faults).is_empty();
            let likely = own.weight > best - WORTH_WIDENING;
            found && likely && own.fit.is_some() && own.without.is_none()
        })
        .collect();
    likeliest.sort_by(|a, b| units::larger_first(explanations[*a].weight, explanations[*b].weight));
    for at in likeliest.into_iter().take(MOST_WIDENED) {
        let (mut beside, share) =
            standing_by(estimator, asked, &explanations[at], tried, &mut seen);
        let less = (1.0 + share).ln();
        explanations[at].weight -= less;
        for own in &mut beside {
            own.weight -= less;
        }
        explanations.extend(beside);
    }
}

/// An explanation with each further fault that was not seen with it, and how much weight these have in all
/// against its own by the readings alone.
fn standing_by(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    own: &Explanation,
    tried: &[Tried],
    seen: &mut BTreeSet<Vec<SuspectKind>>,
) -> (Vec<Explanation>, f64) {
    let (mut beside, mut share) = (Vec::new(), 0.0);
    let Some(fit) = &own.fit else { return (beside, share) };
    let Some(first) = first(estimator, own, fit, asked) else { return (beside, share) };
    for further in tried {
        let fault = &estimator.prior.faults[further.fault];
        if !fault.changes(&own.faults) || !seen.insert(fault.beside(&own.faults)) {
            continue;
        }
        let said = if fault.present.is_some() {
            None
        } else {
            let logarithm = estimator.forward.layout.is_logarithm(fault.at);
            Along::of(&first, own, fit, fault, logarithm).borne()
        };
        // What moves no reading may be as bad as what was noticed has it.
        let (readings, at) = said.unwrap_or((further.readings.min(0.0), further.told.1));
        let told = (further.told.0 - first.heard).max(0.0);
        let mut unknowns = fit.unknowns.clone();
        unknowns[fault.at] = at;
        share += (fault.log_odds + readings).exp();
        beside.push(Explanation {
            faults: fault.beside(&own.faults),
            weight: own.weight + fault.log_odds + readings + told,
            odds: own.odds + fault.log_odds,
            belief: fault.belief(&own.belief),
            unknowns,
            fit: None,
            without: None,
            idle: false,
            bystander: Some(Bystander { kind: fault.kind, guilt: 1.0 - (-told).exp() }),
        });
    }
    (beside, share)
}

fn first(
    estimator: &mut Estimator<'_>,
    own: &Explanation,
    fit: &Fit,
    asked: &Asked<'_>,
) -> Option<First> {
    let rows = estimator.forward.rows(&fit.guess, &questions(asked.observations))?;
    let system = system(&rows, &own.belief.spread, asked.observations)?;
    let right = fit.innovation(&own.belief);
    let solved = system.solve(&right);
    let left: f64 = right.iter().zip(&solved).map(|(a, b)| a * b).sum();
    let present = &own.belief.present;
    let heard = estimator.heard(asked.complaint, &fit.guess, (&fit.unknowns, present), &own.faults);
    Some(First { rows, system, solved, left, heard })
}

/// The innovation of a fit with what another vehicle shows in the place of its own.
fn innovation_at(
    estimator: &Estimator<'_>,
    guess: &Guess,
    fit: &Fit,
    before: &[f64],
    asked: &Asked<'_>,
) -> Option<Vec<f64>> {
    let each = asked.observations.iter().zip(fit.residuals.iter().zip(before));
    each.map(|(own, (residual, before))| {
        let now = estimator.forward.value(guess, own.state, own.measured)?;
        Some(before - residual + own.value - now)
    })
    .collect()
}

/// A path that is not there has no slope: it is put in, and the whole network solved.
fn path_promises(
    estimator: &mut Estimator<'_>,
    first: &First,
    single: &Explanation,
    fit: &Fit,
    number: usize,
    asked: &Asked<'_>,
) -> Option<(f64, f64)> {
    let fault = estimator.prior.faults[number].clone();
    if 0.5 * first.left + fault.log_odds < LEAST_GAIN {
        return None;
    }
    let mut present = single.belief.present.clone();
    present.extend(fault.present);
    let before = fit.innovation(&single.belief);
    let mut best: Option<(f64, f64)> = None;
    for step in PATHS_TRIED {
        let mut unknowns = fit.unknowns.clone();
        unknowns[fault.at] = fault.mean + step * fault.spread;
        let guess = estimator.forward.guess(&unknowns, &present, &asked.states, Some(&fit.guess));
        let now = guess.and_then(|guess| innovation_at(estimator, &guess, fit, &before, asked));
        let Some(right) = now else { continue };
        let solved = first.system.solve(&right);
        let left: f64 = right.iter().zip(&solved).map(|(a, b)| a * b).sum();
        let gain = 0.5 * (first.left - left) - 0.5 * step * step + fault.log_odds;
        if best.is_none_or(|(most, _)| gain > most) {
            best = Some((gain, unknowns[fault.at]));
        }
    }
    best
}

#[cfg(test)]
mod tests;
