//! Chance with a name: every draw of a trial comes from its seed and can be repeated.

use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64;

/// The chance of one trial.
#[derive(Debug, Clone)]
pub struct Dice(Pcg64);

impl Dice {
    /// The chance that belongs to a seed, a purpose and a number within it.
    #[must_use]
    pub fn new(seed: u64, purpose: &str, number: u64) -> Self {
        // FNV-1a keeps purposes apart without a table of them.
        let mixed = purpose
            .bytes()
            .chain(number.to_le_bytes())
            .fold(seed ^ 0xcbf2_9ce4_8422_2325, |hash, byte| {
                (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
            });
        Self(Pcg64::seed_from_u64(mixed))
    }

    /// True so many times out of one.
    pub fn chance(&mut self, share: f64) -> bool {
        self.0.random::<f64>() < share
    }

    /// Any number between two, all alike.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.random::<f64>()
    }

    /// Any number between two positive ones, every decade alike.
    pub fn decades(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    /// A whole number from `low` to `high`, ends included.
    pub fn count(&mut self, low: usize, high: usize) -> usize {
        self.0.random_range(low..=high.max(low))
    }

    /// A normal number of mean zero and standard deviation one.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// A lognormal factor of median one; two thirds lie within `factor` of it.
    pub fn factor(&mut self, factor: f64) -> f64 {
        (factor.ln() * self.normal()).exp()
    }

    /// One of a list; nothing of an empty one.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        if from.is_empty() { None } else { from.get(self.count(0, from.len() - 1)) }
    }

    /// One of two, the first so many times out of one.
    pub fn either<T>(&mut self, share: f64, first: T, second: T) -> T {
        if self.chance(share) { first } else { second }
    }

    /// Brings a list into any order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for at in (1..list.len()).rev() {
            list.swap(at, self.count(0, at));
        }
    }
}
