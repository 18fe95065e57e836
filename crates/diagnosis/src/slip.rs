//! How likely a value is when a reading was taken wrongly.
//!
//! The ways in which readings go wrong are few: probes or clamp the wrong way round, a decimal point
//! or prefix slipped, a probe at another place. Each foretells what was written down, so that a value
//! which is exactly the negative of what the rest foretells is far better explained than by "anything".

use model::{ConductorId, Measured, PointId, Probe};

use crate::forward::{Forward, Guess};
use crate::judged;
use crate::mixture::normal;
use crate::observation::Observation;

/// What a wrong reading may have shown, whatever is foretold for the right one.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wild {
    /// Density of its value when a probe or the clamp was at another place.
    pub elsewhere: f64,
    /// Width of the range in which any value at all may lie.
    pub span: f64,
}

impl Wild {
    /// What a wrong reading may have shown instead of the right value.
    pub(crate) fn of(forward: &Forward<'_>, guess: &Guess, own: &Observation) -> Self {
        let value = |measured| forward.value(guess, own.state, measured);
        let vehicle = forward.vehicle();
        let places: Vec<f64> = match own.measured {
            Measured::Volts { high, low } => {
                let points = (0..vehicle.points.len()).map(PointId::at);
                points
                    .filter(|point| !vehicle.point(*point).access.out_of_reach)
                    .flat_map(|point| {
                        let here = Probe::Point(point);
                        [Measured::Volts { high: here, low }, Measured::Volts { high, low: here }]
                    })
                    .filter_map(value)
                    .collect()
            }
            _ => (0..vehicle.conductors.len())
                .map(ConductorId::at)
                .filter_map(|conductor| value(Measured::Amps { conductor }))
                .collect(),
        };
        let span = match own.measured {
            Measured::Volts { .. } => {
                judged::readings().anywhere_nominal_times.0 * vehicle.nominal.0
            }
            _ => judged::readings().anywhere_amperes.0,
        };
        Self { elsewhere: density_elsewhere(own.value, own.sigma, &places), span }
    }

    /// Logarithm of the density of a shown value, with the chance of being wrong, when the right
    /// reading is foretold to lie at `middle` with the standard deviation `spread`.
    pub(crate) fn log_chance(&self, shown: f64, middle: f64, spread: f64) -> f64 {
        let own = judged::readings();
        let (reversed, slipped) = (own.wrong_reversed.0, own.wrong_slipped.0);
        let anything = 1.0 - reversed - 2.0 * slipped - own.wrong_elsewhere.0;
        let density = reversed * normal(-shown, middle, spread)
            + slipped * 10.0 * normal(10.0 * shown, middle, spread)
            + slipped * 0.1 * normal(0.1 * shown, middle, spread)
            + own.wrong_elsewhere.0 * self.elsewhere
            + anything / self.span;
        (own.wrong.0 * density).ln()
    }
}

/// Density of a value that any of these places may have shown, each blurred by what is not known of it.
pub(crate) fn density_elsewhere(shown: f64, sigma: f64, places: &[f64]) -> f64 {
    let own = judged::readings();
    let blurred =
        |place: f64| sigma.hypot(own.elsewhere_share.0 * place.abs()).hypot(own.elsewhere_floor.0);
    let sum: f64 = places.iter().map(|place| normal(shown, *place, blurred(*place))).sum();
    sum / places.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever is foretold, the ways of going wrong share out the chance and no more.
    #[test]
    fn chances_of_all_values_together_are_the_chance_of_a_wrong_reading() {
        let wild = Wild { elsewhere: 0.0, span: 48.0 };
        let step = 1e-4;
        let sum: f64 = (-240_000..240_000)
            .map(|at| wild.log_chance((f64::from(at) + 0.5) * step, 0.4, 0.01).exp() * step)
            .sum();
        let own = judged::readings();
        assert!((sum - own.wrong.0 * (1.0 - own.wrong_elsewhere.0)).abs() < 1e-4, "{sum}");
        let places = [0.0, 0.4, 12.0];
        let sum: f64 = (-240_000..240_000)
            .map(|at| density_elsewhere(f64::from(at) * step, 0.01, &places) * step)
            .sum();
        assert!((sum - 1.0).abs() < 1e-3, "{sum}");
    }

    #[test]
    fn crossed_probes_are_likelier_than_any_other_wrong_value() {
        let wild = Wild { elsewhere: 0.05, span: 48.0 };
        let at = |shown| wild.log_chance(shown, 0.4, 0.01);
        assert!(at(-0.4) > at(-0.3) + 3.0 && at(-0.4) > at(5.0) + 3.0);
        assert!(at(4.0) > at(3.0) + 1.0 && at(0.04) > at(0.2) + 3.0);
    }
}
