//! A further fault along a straight line from a fit.

use super::First;
use crate::explanation::Explanation;
use crate::fit::Fit;
use crate::hypothesis::Hypothesis;

/// Values of a fault, in spreads from its middle, over which is summed what the readings say of it.
const SUMMED: i32 = 12;
const STEP: f64 = 0.2;
const WIDEST: f64 = 2.4;
/// A fault that moves the readings less than this, in squares of their uncertainty for each e of it, moves none.
const MOVES_NOTHING: f64 = 1e-9;

/// A further fault along a straight line from the fit: what it loses grows with its ohms, amperes or volts.
pub(super) struct Along<'f> {
    fault: &'f Hypothesis,
    /// How it pulls at what is left unexplained, and how firmly the readings hold it.
    pull: f64,
    held: f64,
    /// Its unknown in the fit, and in a sound vehicle.
    now: f64,
    sound: f64,
    logarithm: bool,
}

impl<'f> Along<'f> {
    pub(super) fn of(
        first: &First,
        own: &Explanation,
        fit: &Fit,
        fault: &'f Hypothesis,
        logarithm: bool,
    ) -> Self {
        let column: Vec<f64> = first.rows.iter().map(|row| row[fault.at]).collect();
        let pull = column.iter().zip(&first.solved).map(|(a, b)| a * b).sum();
        let held = column.iter().zip(first.system.solve(&column)).map(|(a, b)| a * b).sum();
        let (now, sound) = (fit.unknowns[fault.at], own.belief.mean[fault.at]);
        Self { fault, pull, held, now, sound, logarithm }
    }

    /// How far along a value lies, in what the fit's slope is of, from where the belief would have it.
    fn far(&self, value: f64) -> f64 {
        let from_fit =
            if self.logarithm { (value - self.now).exp() - 1.0 } else { value - self.now };
        from_fit + self.now - self.sound
    }

    /// The value that lies so far along, if it may be there at all.
    fn value(&self, far: f64) -> f64 {
        let from_fit = far + self.sound - self.now;
        let value =
            self.now + if self.logarithm { (1.0 + from_fit).max(1e-9).ln() } else { from_fit };
        let Hypothesis { mean, spread, .. } = *self.fault;
        value.clamp(mean - WIDEST * spread, mean + WIDEST * spread)
    }

    /// What it could take off the misfit at most, as bad as it may be or less, and the value that does.
    pub(super) fn explains(&self, left: f64) -> (f64, f64) {
        if self.held <= MOVES_NOTHING {
            return (0.0, self.fault.mean);
        }
        let Hypothesis { mean, spread, .. } = *self.fault;
        let end = self.far(if mean < self.sound {
            mean - WIDEST * spread
        } else {
            mean + WIDEST * spread
        });
        let far = (self.pull / self.held).clamp(end.min(0.0), end.max(0.0));
        let explains = self.pull * far - 0.5 * self.held * far * far;
        (explains.clamp(0.0, 0.5 * left), self.value(far))
    }

    /// Logarithm of how well the readings bear it, against its not being there and never better (what they
    /// speak for is fitted), and how bad they would have it: summed over how bad it may be. Nothing where it
    /// moves no reading.
    pub(super) fn borne(&self) -> Option<(f64, f64)> {
        if self.held <= MOVES_NOTHING {
            return None;
        }
        let most = self.pull / self.held;
        let (mut sum, mut all) = (0.0, 0.0);
        let mut best = (f64::MIN, self.fault.mean);
        for step in -SUMMED..=SUMMED {
            let step = STEP * f64::from(step);
            let value = self.fault.mean + step * self.fault.spread;
            let slope = if self.logarithm { (value - self.now).exp() } else { 1.0 };
            // Between two steps it may be anything.
            let between = 0.5 * STEP * self.fault.spread * slope;
            let variance = 1.0 / self.held + between * between;
            let log = 0.5 * most * most * self.held
                - 0.5 * (most - self.far(value)).powi(2) / variance
                - 0.5 * (variance * self.held).ln();
            let own = log.min(0.0) - 0.5 * step * step;
            all += (-0.5 * step * step).exp();
            sum += own.exp();
            if own > best.0 {
                best = (own, value);
            }
        }
        Some(((sum / all).max(f64::MIN_POSITIVE).ln(), best.1))
    }
}
