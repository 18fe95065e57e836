//! Second faults beside the likeliest first ones.

use crate::dense::Cholesky;
use crate::estimator::{Asked, Estimator};
use crate::explanation::Explanation;
use crate::fit::{Fit, questions, system};
use crate::forward::Guess;
use crate::rough::Tried;
use crate::suspect::SuspectKind;

pub(crate) const MOST_PAIRS: usize = 20;
/// First faults that get a second one.
const MOST_FIRST: usize = 4;
/// A pair that promises less than this against its first fault alone is not fitted.
const LEAST_GAIN: f64 = -1.0;
/// Values of a path that the file does not show, in spreads from its middle, at which it is tried.
const PATHS_TRIED: [f64; 3] = [-1.0, 0.0, 1.0];

/// A first fault as fitted, ready to be asked what a second one would explain.
struct First {
    rows: Vec<Vec<f64>>,
    system: Cholesky,
    solved: Vec<f64>,
    left: f64,
    heard: f64,
}

/// A second fault that promises to explain more, and the value from which it is fitted.
struct Promise {
    first: usize,
    second: usize,
    start: f64,
    weight: f64,
}

/// Second faults beside the likeliest first ones, where they promise to explain more.
pub(crate) fn pairs(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    singles: &[Explanation],
    tried: &[Tried],
) -> Vec<Explanation> {
    let promises = promises(estimator, asked, singles, tried);
    let mut seen: Vec<Vec<SuspectKind>> = Vec::new();
    let mut pairs = Vec::new();
    for Promise { first, second, start, .. } in promises {
        if seen.len() >= MOST_PAIRS {
            break;
        }
        let single = &singles[first];
        let fault = estimator.prior.faults[second].clone();
        let kinds = fault.beside(&single.faults);
        if seen.contains(&kinds) {
            continue;
        }
        seen.push(kinds.clone());
        let Some(fit) = &single.fit else { continue };
        let mut unknowns = fit.unknowns.clone();
        unknowns[fault.at] = start;
        let odds = single.odds + fault.log_odds;
        let belief = fault.belief(&single.belief);
        pairs.extend(estimator.explain(asked, belief, &unknowns, kinds, odds));
    }
    pairs
}

/// What second faults promise to explain beside the likeliest first ones, the most first.
fn promises(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    singles: &[Explanation],
    tried: &[Tried],
) -> Vec<Promise> {
    let mut promises: Vec<Promise> = Vec::new();
    let fitted =
        singles.iter().enumerate().filter_map(|(at, own)| Some((at, own, own.fit.as_ref()?)));
    for (number, single, fit) in fitted.take(MOST_FIRST) {
        let Some(first) = first(estimator, single, fit, asked) else { continue };
        for own in tried {
            let fault = &estimator.prior.faults[own.fault];
            if !fault.changes(&single.faults) {
                continue;
            }
            let promise = if fault.present.is_some() {
                path_promises(estimator, &first, single, fit, own.fault, asked)
            } else {
                Some(score(estimator, &first, own))
            };
            let Some((gain, start)) = promise else { continue };
            if gain > LEAST_GAIN {
                let weight = single.weight + gain;
                promises.push(Promise { first: number, second: own.fault, start, weight });
            }
        }
    }
    promises.sort_by(|a, b| units::larger_first(a.weight, b.weight));
    promises
}

fn first(
    estimator: &mut Estimator<'_>,
    single: &Explanation,
    fit: &Fit,
    asked: &Asked<'_>,
) -> Option<First> {
    let rows = estimator.forward.rows(&fit.guess, &questions(asked.observations))?;
    let system = system(&rows, &single.belief.spread, asked.observations)?;
    let right = fit.innovation(&single.belief);
    let solved = system.solve(&right);
    let left: f64 = right.iter().zip(&solved).map(|(a, b)| a * b).sum();
    let present = &single.belief.present;
    let heard =
        estimator.heard(asked.complaint, &fit.guess, (&fit.unknowns, present), &single.faults);
    Some(First { rows, system, solved, left, heard })
}

/// Score test: what freeing this unknown would take off the misfit, at most all of it.
fn score(estimator: &Estimator<'_>, first: &First, own: &Tried) -> (f64, f64) {
    let fault = &estimator.prior.faults[own.fault];
    let column: Vec<f64> = first.rows.iter().map(|row| row[fault.at]).collect();
    let pull: f64 = column.iter().zip(&first.solved).map(|(a, b)| a * b).sum();
    let weight: f64 = column.iter().zip(first.system.solve(&column)).map(|(a, b)| a * b).sum();
    let towards = weight > 0.0 && (pull > 0.0 || fault.mean < 0.0);
    let explains = if towards { (0.5 * pull * pull / weight).min(0.5 * first.left) } else { 0.0 };
    // The first fault may leave the complaint unexplained, which this one may explain.
    (explains + (own.heard - first.heard).max(0.0) + fault.log_odds, own.heard_at)
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
