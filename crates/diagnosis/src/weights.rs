//! Weights of explanations, and which readings are worth doubting.

use crate::diagnose::Explanation;
use crate::fit::variance;
use crate::observation::Observation;

/// Readings that are tried as wrong, the oddest first.
const MOST_DOUBTED: usize = 12;

/// The readings that are tried as wrong: all of a few, or of many those that the best explanation
/// finds oddest.
pub(crate) fn doubtful(observations: &[Observation], best: Option<&Explanation>) -> Vec<usize> {
    let mut doubtful: Vec<usize> = (0..observations.len()).collect();
    if let Some((fit, own)) = best.and_then(|own| Some((own.fit.as_ref()?, own)))
        && observations.len() > MOST_DOUBTED
    {
        let odd = fit.foretold(&own.belief);
        doubtful.sort_by(|a, b| odd[*b].abs().total_cmp(&odd[*a].abs()));
        doubtful.truncate(MOST_DOUBTED);
    }
    doubtful
}

/// True when no reading is further from what the fit expects than chance would have it.
pub(crate) fn explains_all(explanation: &Explanation, observations: &[Observation]) -> bool {
    explanation.fit.as_ref().is_some_and(|fit| {
        let pairs = fit.residuals.iter().zip(observations);
        pairs.into_iter().all(|(residual, own)| residual * residual < 16.0 * variance(own))
    })
}

/// Turns logarithms into weights that sum to one.
pub(crate) fn normalise(explanations: &mut [Explanation]) {
    let best = explanations.iter().map(|own| own.weight).fold(f64::MIN, f64::max);
    for explanation in explanations.iter_mut() {
        explanation.weight = (explanation.weight - best).exp();
    }
    let sum: f64 = explanations.iter().map(|own| own.weight).sum();
    for explanation in explanations {
        explanation.weight /= sum;
    }
}
