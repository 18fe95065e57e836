//! One explanation of the readings, and the weights of several.

use crate::fit::{Belief, Fit, variance};
use crate::mixture::View;
use crate::observation::Observation;
use crate::suspect::SuspectKind;

/// One explanation of the readings, with its weight.
#[derive(Debug, Clone)]
pub(crate) struct Explanation {
    pub faults: Vec<SuspectKind>,
    pub weight: f64,
    /// Logarithm of the chance of its faults before any reading, against nothing being wrong.
    pub odds: f64,
    pub belief: Belief,
    /// The most probable vehicle if it is so: fitted, or roughly.
    pub unknowns: Vec<f64>,
    pub fit: Option<Fit>,
    /// The observation that is taken for wrong.
    pub without: Option<usize>,
    /// True when its only fault is a way home that nobody has seen and that nobody would miss here.
    pub idle: bool,
    /// The one of its faults that nothing was read of: it stands beside what the readings found.
    pub bystander: Option<Bystander>,
}

/// A fault that nothing was read of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bystander {
    pub kind: SuspectKind,
    /// The share of what is complained of that only it accounts for.
    pub guilt: f64,
}

impl Explanation {
    /// True for one that adds to what was found only what does nothing to what is complained of.
    pub(crate) fn adds_no_cause(&self) -> bool {
        self.bystander.is_some_and(|own| own.guilt < 0.5)
    }

    /// Its faults but the one that nothing was read of.
    pub(crate) fn found(&self) -> Vec<SuspectKind> {
        let stands_by = |kind: &SuspectKind| self.bystander.is_some_and(|own| own.kind == *kind);
        self.faults.iter().copied().filter(|kind| !stands_by(kind)).collect()
    }
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

/// How each explanation sees an unknown.
pub(crate) fn views(sound: &Belief, at: usize, explanations: &[Explanation]) -> Vec<View> {
    let mut views: Vec<View> = explanations
        .iter()
        .take(12)
        .map(|own| match &own.fit {
            Some(fit) => View {
                weight: own.weight,
                middle: fit.unknowns[at],
                spread: fit.spread_of(at, own.belief.spread[at]),
            },
            None => View {
                weight: own.weight,
                middle: own.belief.mean[at],
                spread: own.belief.spread[at],
            },
        })
        .filter(|view| view.weight > 1e-6)
        .collect();
    if views.is_empty() {
        views.push(View { weight: 1.0, middle: sound.mean[at], spread: sound.spread[at] });
    }
    views
}
