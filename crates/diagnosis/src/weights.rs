//! Weights of explanations.

use crate::diagnose::Explanation;
use crate::fit::variance;
use crate::observation::Observation;

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
