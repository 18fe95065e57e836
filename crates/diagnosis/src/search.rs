//! Every explanation that is worth weighing: nothing wrong, faults as many as there are, a wrong reading.

use crate::estimator::{Asked, Estimator};
use crate::explanation::{Explanation, normalise};
use crate::observation::Observation;
use crate::rough::{Tried, try_faults};
use crate::single::singles;
use crate::suspect::Complaint;
use crate::{beside, cuts, single, wrong};

/// Fits of one diagnosis, about: pieces of one conductor, which are fitted together, count as one.
const MOST_FITS: usize = 1
    + single::MOST_BENT
    + single::MOST_FITTED
    + single::MOST_PATHS_FITTED
    + single::MOST_STARTED_AGAIN * single::STARTED_AGAIN.len()
    + beside::MOST_PAIRS
    + beside::MOST_LARGER
    + cuts::MOST_FITTED
    + wrong::MOST_FITTED;

/// The explanations of readings and a complaint, their weights summing to one.
pub(crate) fn weighed(
    estimator: &mut Estimator<'_>,
    observations: &[Observation],
    complaint: Option<Complaint>,
) -> Vec<Explanation> {
    let mut explanations = explained(estimator, observations, complaint);
    normalise(&mut explanations);
    explanations
}

/// Logarithm of how well the best and all other explanations together account for the readings.
pub(crate) fn evidence(
    estimator: &mut Estimator<'_>,
    observations: &[Observation],
    complaint: Option<Complaint>,
) -> f64 {
    let explanations = explained(estimator, observations, complaint);
    let best = explanations.iter().map(|own| own.weight).fold(f64::MIN, f64::max);
    best + explanations.iter().map(|own| (own.weight - best).exp()).sum::<f64>().ln()
}

/// Every explanation worth weighing, its weight a logarithm.
fn explained(
    estimator: &mut Estimator<'_>,
    observations: &[Observation],
    complaint: Option<Complaint>,
) -> Vec<Explanation> {
    estimator.watch.begin(MOST_FITS);
    let asked = &estimator.asked(observations, complaint);
    let tried = try_faults(estimator, asked);
    let mut explanations = with_all_readings(estimator, asked, &tried);
    if !observations.is_empty() {
        let wrong = wrong::with_one_wrong(estimator, asked, &explanations, &tried);
        explanations.extend(wrong);
    }
    beside::with_bystanders(estimator, asked, &mut explanations, &tried);
    explanations
}

/// Nothing wrong, every single fault worth a look, and more of them where they explain more.
fn with_all_readings(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    tried: &[Tried],
) -> Vec<Explanation> {
    let sound = estimator.prior.sound.clone();
    let (start, filed) = (sound.mean.clone(), estimator.prior.as_filed.clone());
    let Some(nothing) = estimator.explain(asked, sound, &start, filed, 0.0) else {
        return Vec::new();
    };
    let mut explanations = singles(estimator, asked, tried, &nothing);
    explanations.sort_by(|a, b| units::larger_first(a.weight, b.weight));
    beside::with_further_faults(estimator, asked, &mut explanations, tried);
    explanations.push(nothing);
    let both = cuts::in_both_ways(estimator, asked, &explanations);
    explanations.extend(both);
    explanations
}
