//! Every single fault as an explanation: fitted where it may be it, else as roughly tried.

use std::collections::BTreeSet;

use crate::a_priori::APriori;
use crate::estimator::{Asked, Estimator};
use crate::explanation::{Explanation, explains_all};
use crate::hypothesis::Hypothesis;
use crate::paths::same_bodies;
use crate::rough::{Tried, WORTH_FITTING};
use crate::suspect::SuspectKind;

/// Faults towards which the sound vehicle is bent by more spreads than this are looked at closely.
const BENT: f64 = 1.5;
pub(crate) const MOST_BENT: usize = 6;
/// A fault that explains the readings no better than nothing does, but for this, is not looked at closely.
const EXPLAINS: f64 = 0.5;
pub(crate) const MOST_FITTED: usize = 28;
/// Of paths that the file does not show so many, because they are alike.
pub(crate) const MOST_PATHS_FITTED: usize = 6;
/// The likeliest faults are fitted from other values too, when a first fit leaves readings unexplained.
pub(crate) const MOST_STARTED_AGAIN: usize = 8;
pub(crate) const STARTED_AGAIN: [f64; 3] = [-0.8, 0.6, 2.0];

/// The best of the fits of one fault that begin at these values of it.
pub(crate) fn fitted(
    estimator: &mut Estimator<'_>,
    number: usize,
    starts: &[f64],
    asked: &Asked<'_>,
) -> Option<Explanation> {
    let fault = estimator.prior.faults[number].clone();
    let mut best: Option<Explanation> = None;
    for start in starts {
        let mut unknowns = estimator.prior.sound.mean.clone();
        unknowns[fault.at] = *start;
        let belief = fault.belief(&estimator.prior.sound);
        let (kinds, odds) = (fault.beside(&estimator.prior.as_filed), fault.log_odds);
        let fit = estimator.explain(asked, belief, &unknowns, kinds, odds);
        let done = fit.as_ref().is_some_and(|own| explains_all(own, asked.observations));
        if let Some(fit) = fit
            && best.as_ref().is_none_or(|best| fit.weight > best.weight)
        {
            best = Some(fit);
        }
        if done {
            break;
        }
    }
    best
}

/// Every single fault: the likeliest fitted, the others as they were tried.
///
/// With a piece of a conductor its other pieces are fitted too, because no difference between
/// those may come from one being looked at. What cannot be fitted, because no such vehicle can
/// stand still, is no explanation.
pub(crate) fn singles(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    tried: &[Tried],
    nothing: &Explanation,
) -> Vec<Explanation> {
    let mut close = Close { faults: BTreeSet::new(), fitted: Vec::new(), best: nothing.weight };
    for fault in bent(&estimator.prior, nothing) {
        if !close.faults.contains(&fault) {
            close.group(estimator, fault, tried, asked);
        }
    }
    close.likeliest(estimator, tried, asked);
    let Close { faults, mut fitted, .. } = close;
    let stood_for = stand_for(estimator, tried, &faults, &mut fitted);
    let left =
        tried.iter().filter(|own| !faults.contains(&own.fault) && !stood_for.contains(&own.fault));
    fitted.extend(left.map(|own| as_tried(&estimator.prior, own, nothing)));
    fitted
}

/// Faults that were looked at closely.
struct Close {
    /// Their numbers, whether they could be fitted or not.
    faults: BTreeSet<usize>,
    fitted: Vec<Explanation>,
    /// The best weight so far.
    best: f64,
}

impl Close {
    /// Looks closely at what the rough look found likeliest.
    fn likeliest(&mut self, estimator: &mut Estimator<'_>, tried: &[Tried], asked: &Asked<'_>) {
        let mut rough = f64::MIN;
        let (mut paths, mut others) = (0, 0);
        for own in tried {
            let is_path = estimator.prior.faults[own.fault].present.is_some();
            let (number, most) =
                if is_path { (&mut paths, MOST_PATHS_FITTED) } else { (&mut others, MOST_FITTED) };
            // The rough look can be far off for all alike when there is a second fault: what has been
            // fitted well is measured by both looks.
            if own.log_weight < self.best.min(rough) - WORTH_FITTING {
                break;
            }
            if own.better < EXPLAINS || *number >= most {
                continue;
            }
            *number += 1;
            let well = if self.faults.contains(&own.fault) {
                own.log_weight
            } else {
                self.group(estimator, own.fault, tried, asked)
            };
            rough = rough.max(well);
        }
    }

    /// Fits a fault with the other faults of the same conductor; gives the best rough weight among
    /// those that could be fitted.
    fn group(
        &mut self,
        estimator: &mut Estimator<'_>,
        fault: usize,
        tried: &[Tried],
        asked: &Asked<'_>,
    ) -> f64 {
        let mut rough = f64::MIN;
        for fault in siblings(estimator, fault) {
            self.faults.insert(fault);
            let Some(first) = tried.iter().find(|tried| tried.fault == fault) else { continue };
            let Hypothesis { mean, spread, .. } = estimator.prior.faults[fault];
            let others: &[f64] =
                if self.fitted.len() < MOST_STARTED_AGAIN { &STARTED_AGAIN } else { &[] };
            let starts: Vec<f64> = std::iter::once(first.best)
                .chain(others.iter().map(|step| mean + step * spread))
                .collect();
            if let Some(own) = fitted(estimator, fault, &starts, asked) {
                rough = rough.max(first.log_weight);
                self.best = self.best.max(own.weight);
                self.fitted.push(own);
            }
        }
        rough
    }
}

/// A fault as it was roughly tried.
fn as_tried(prior: &APriori, own: &Tried, nothing: &Explanation) -> Explanation {
    let fault = &prior.faults[own.fault];
    let mut unknowns = prior.sound.mean.clone();
    unknowns[fault.at] = own.best;
    Explanation {
        faults: fault.beside(&prior.as_filed),
        weight: if own.better < EXPLAINS {
            // Against nothing being wrong, both as roughly looked at.
            nothing.weight + fault.log_odds + own.better
        } else {
            own.log_weight
        },
        odds: fault.log_odds,
        belief: fault.belief(&prior.sound),
        unknowns,
        fit: None,
        without: None,
        idle: false,
        bystander: None,
    }
}

/// The faults towards which the fit without any is bent most: where two faults hide each other
/// from the rough look, both show there.
fn bent(prior: &APriori, nothing: &Explanation) -> Vec<usize> {
    let Some(fit) = &nothing.fit else { return Vec::new() };
    let mut bent: Vec<(f64, usize)> = prior
        .faults
        .iter()
        .enumerate()
        .filter(|(_, fault)| fault.present.is_none())
        .map(|(number, fault)| {
            let moved = (fit.unknowns[fault.at] - prior.sound.mean[fault.at])
                / prior.sound.spread[fault.at];
            (if fault.mean < 0.0 { -moved } else { moved }, number)
        })
        .filter(|(moved, _)| *moved > BENT)
        .collect();
    bent.sort_by(|a, b| units::larger_first(a.0, b.0));
    bent.truncate(MOST_BENT);
    bent.into_iter().map(|(_, number)| number).collect()
}

/// Lets the fitted paths between two bodies stand for all between the same two, in the ratio in
/// which the rough look found them; gives those that are stood for.
fn stand_for(
    estimator: &Estimator<'_>,
    tried: &[Tried],
    close: &BTreeSet<usize>,
    fitted: &mut [Explanation],
) -> BTreeSet<usize> {
    let vehicle = estimator.vehicle();
    let ends = |kind: SuspectKind| match kind {
        SuspectKind::ExtraPath { from, to } => Some((from, to)),
        _ => None,
    };
    let mut stood_for = BTreeSet::new();
    for own in fitted {
        let Some(path) = own.faults.iter().find_map(|kind| ends(*kind)) else { continue };
        let alike: Vec<&Tried> = tried
            .iter()
            .filter(|tried| {
                ends(estimator.prior.faults[tried.fault].kind)
                    .is_some_and(|other| same_bodies(vehicle, path, other))
            })
            .collect();
        let best = alike.iter().map(|own| own.log_weight).fold(f64::MIN, f64::max);
        let sum = |fitted_only: bool| -> f64 {
            let some = alike.iter().filter(|own| !fitted_only || close.contains(&own.fault));
            some.map(|own| (own.log_weight - best).exp()).sum()
        };
        let more = (sum(false) / sum(true)).ln();
        if more.is_finite() {
            own.weight += more;
            own.odds += more;
            stood_for.extend(alike.iter().map(|own| own.fault));
        }
    }
    stood_for
}

/// A fault with the other faults of the same conductor.
fn siblings(estimator: &Estimator<'_>, fault: usize) -> Vec<usize> {
    let vehicle = estimator.vehicle();
    let faults = &estimator.prior.faults;
    let own = faults[fault].kind.conductor(vehicle);
    (0..faults.len())
        .filter(|other| {
            *other == fault || (own.is_some() && faults[*other].kind.conductor(vehicle) == own)
        })
        .collect()
}
