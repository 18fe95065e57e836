//! Beliefs about single joints, mixed over hypotheses.

use units::Ohms;

use crate::diagnose::JointBelief;

/// One hypothesis' view of a joint: weight, and middle and spread of the logarithm of its ohms.
pub(crate) struct View {
    pub weight: f64,
    pub middle: f64,
    pub spread: f64,
}

/// Median, 5 % and 95 % of a mixture of lognormal views.
pub(crate) fn mixed(views: &[View], bad: f64) -> JointBelief {
    let total: f64 = views.iter().map(|view| view.weight).sum();
    let below = |x: f64| -> f64 {
        views
            .iter()
            .map(|view| view.weight / total * normal_below((x - view.middle) / view.spread))
            .sum()
    };
    let quantile = |share: f64| {
        let (mut low, mut high) = views.iter().fold((f64::MAX, f64::MIN), |(low, high), view| {
            (low.min(view.middle - 8.0 * view.spread), high.max(view.middle + 8.0 * view.spread))
        });
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if below(middle) < share { low = middle } else { high = middle }
        }
        Ohms(f64::midpoint(low, high).exp())
    };
    JointBelief { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95), bad }
}

/// Share of a standard normal distribution below a value.
pub(crate) fn normal_below(x: f64) -> f64 {
    0.5 * libm::erfc(-x / std::f64::consts::SQRT_2)
}
