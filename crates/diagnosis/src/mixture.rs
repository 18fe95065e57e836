//! A belief about one unknown as a mixture of normal distributions, and three numbers of it.

/// A belief in three numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval<T> {
    /// As likely more as less.
    pub median: T,
    /// Less with a probability of 5 %.
    pub low: T,
    /// More with a probability of 5 %.
    pub high: T,
}

impl<T> Interval<T> {
    pub(crate) fn map<U>(self, change: impl Fn(T) -> U) -> Interval<U> {
        Interval { median: change(self.median), low: change(self.low), high: change(self.high) }
    }
}

/// One hypothesis' view of an unknown: weight, middle and spread.
pub(crate) struct View {
    pub weight: f64,
    pub middle: f64,
    pub spread: f64,
}

/// Median, 5 % and 95 % of a mixture of normal views.
pub(crate) fn interval(views: &[View]) -> Interval<f64> {
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
        f64::midpoint(low, high)
    };
    Interval { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) }
}

/// Share of a standard normal distribution below a value.
pub(crate) fn normal_below(x: f64) -> f64 {
    0.5 * libm::erfc(-x / std::f64::consts::SQRT_2)
}

/// Density of a normal distribution.
pub(crate) fn normal(x: f64, middle: f64, spread: f64) -> f64 {
    let z = (x - middle) / spread;
    (-0.5 * z * z).exp() / (spread * (2.0 * std::f64::consts::PI).sqrt())
}

/// Places and weights of a normal distribution's five-point sum (Gauss–Hermite).
pub(crate) const FIVE: [(f64, f64); 5] = [
    (-2.856_97, 0.011_257),
    (-1.355_63, 0.222_076),
    (0.0, 0.533_333),
    (1.355_63, 0.222_076),
    (2.856_97, 0.011_257),
];
