//! How many of those passed over may have been missed, from a sample in which some were.

use units::Ratio;

/// Upper bound, with 95 % confidence, of the share that was missed, when `missed` of `sampled` were.
///
/// One-sided bound of Clopper and Pearson (Biometrika 26, 1934): the share p at which so few would be
/// found with a probability of 5 %; 1 − 0.05^(1/n) when none was. One for an empty sample.
#[must_use]
pub fn missed_share(missed: usize, sampled: usize) -> Ratio {
    if sampled == 0 || missed >= sampled {
        return Ratio(1.0);
    }
    let (mut low, mut high) = (missed as f64 / sampled as f64, 1.0);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if at_most(missed, sampled, middle) > 0.05 { low = middle } else { high = middle }
    }
    Ratio(high)
}

/// Probability of at most `k` of `n`, each with probability `p` (binomial).
fn at_most(k: usize, n: usize, p: f64) -> f64 {
    let (n, logit) = (n as f64, (p / (1.0 - p)).ln());
    let mut term = n * (1.0 - p).ln();
    let mut sum = term.exp();
    for i in 0..k {
        let i = i as f64;
        term += ((n - i) / (i + 1.0)).ln() + logit;
        sum += term.exp();
    }
    sum
}

#[cfg(test)]
mod published {
    use super::*;

    /// The "rule of three" (Hanley and Lippman-Hand, JAMA 249, 1983): none of n, at most 3/n.
    #[test]
    fn none_missed_of_many_is_the_rule_of_three() {
        for n in [100_usize, 1000, 10_000] {
            let bound = missed_share(0, n).0;
            assert!((bound - (1.0 - 0.05_f64.powf(1.0 / n as f64))).abs() < 1e-9);
            assert!(bound < 3.0 / n as f64 && bound > 2.9 / n as f64, "{bound}");
        }
    }

    /// One-sided 95 % bounds by `scipy.stats.beta.ppf(0.95, k + 1, n - k)`.
    #[test]
    fn a_few_missed_are_bounded_as_scipy_has_it() {
        for (k, n, expected) in SCIPY {
            assert!((missed_share(k, n).0 - expected).abs() < 1e-9, "{k} of {n}");
        }
    }

    const SCIPY: [(usize, usize, f64); 4] = [
        (1, 20, 0.2161061642068473),
        (3, 200, 0.03830970849856934),
        (10, 1000, 0.016903175120562504),
        (0, 50, 0.05815507911697225),
    ];
}
