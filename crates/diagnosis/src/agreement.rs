//! Whether readings and file fit together at all, before anything is blamed.
//!
//! The file's assumptions are pseudo-measurements: each unknown is "measured" by its belief, so that
//! n unknowns bring n measurements with them, and m readings leave m degrees of freedom. At the most
//! probable vehicle the sum of all squared misfits over their variances is then distributed as χ²
//! with m degrees, as far as the network is linear about it.
//!
//! Source of the tests: A. Abur and A. Gómez Expósito, *Power System State Estimation* (2004),
//! chapter 5: χ² on the whole, largest normalised residual above three on the single measurement.

use model::{BatteryId, LoadId, Piece, RegulatedId, Vehicle};
use statrs::distribution::{ChiSquared, ContinuousCDF};

use crate::a_priori::APriori;
use crate::estimator::Estimator;
use crate::explanation::Explanation;
use crate::fit::{Belief, Fit, fit, variance};
use crate::forward::{Forward, Layout};
use crate::observation::Observation;
use crate::session::Session;

/// Chance of a χ² at least so large, below which readings and file contradict each other: the
/// 99 % test of the textbooks.
pub const CONTRADICTION: f64 = 0.01;
/// Normalised residual from which a reading, or an assumption of the file, is at odds with the rest.
pub const AT_ODDS: f64 = 3.0;
/// Normalised residuals this close to the largest are not told apart by it.
const TIED: f64 = 0.1;
/// An assumption about which the readings say less than this share of its variance is left out.
const SAYS_NOTHING: f64 = 1e-6;

/// A χ² test of the whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChiSquare {
    /// Sum of squared misfits, of readings and of assumptions, each over its variance.
    pub statistic: f64,
    /// Degrees of freedom.
    pub degrees: usize,
    /// Chance of a sum at least so large when everything is as believed, zero to one.
    pub p_value: f64,
}

impl ChiSquare {
    /// The test of a sum with some degrees of freedom; nothing without any.
    #[must_use]
    pub fn new(statistic: f64, degrees: usize) -> Option<Self> {
        let count = u32::try_from(degrees).ok()?;
        let p_value = ChiSquared::new(f64::from(count)).ok()?.sf(statistic);
        Some(Self { statistic, degrees, p_value })
    }

    /// True when chance alone would hardly make the sum so large.
    #[must_use]
    pub fn contradicts(&self) -> bool {
        self.p_value < CONTRADICTION
    }
}

/// Something that the file states and a fit had to move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Assumption {
    /// A resistance: of a conductor its size, length and metal.
    Resistance(Piece),
    /// What a load draws.
    Draw(LoadId),
    /// A battery's voltage at rest, which follows its state of charge.
    BatteryVolts(BatteryId),
    /// A battery's resistance.
    BatteryOhms(BatteryId),
    /// What a regulated source holds.
    Held(RegulatedId),
}

/// By how much an assumption of the file had to be moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// What.
    pub assumption: Assumption,
    /// From its middle, in standard deviations of its belief.
    pub deviations: f64,
    /// The same as a normalised residual: over the standard deviation of the move itself.
    pub normalised: f64,
    /// Of a resistance or draw the natural logarithm of the factor on the file's value; of what
    /// [`in_volts`](Assumption::in_volts) the volts more than in the file.
    pub by: f64,
}

impl Assumption {
    /// True for what is moved by volts and not by a factor.
    #[must_use]
    pub fn in_volts(self) -> bool {
        matches!(self, Self::BatteryVolts(_) | Self::Held(_))
    }
}

/// How well readings and file fit together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Agreement {
    /// With nothing wrong; nothing without readings.
    pub as_filed: Option<ChiSquare>,
    /// Under the best explanation that uses every reading.
    pub explained: Option<ChiSquare>,
    /// Assumptions of the file whose normalised residual is above [`AT_ODDS`], the first the most
    /// at odds: under the best explanation where that contradicts the readings and blames something
    /// else, otherwise with nothing wrong. Where several are equally at odds, the readings cannot tell which of them it is, and
    /// the one that moved furthest in standard deviations comes first.
    pub at_odds: Vec<Moved>,
}

impl Agreement {
    /// True when not even the best explanation fits the readings.
    #[must_use]
    pub fn contradicts(&self) -> bool {
        self.explained.is_some_and(|test| test.contradicts())
    }

    pub(crate) fn new(
        forward: &Forward<'_>,
        prior: &APriori,
        observations: &[Observation],
        explanations: &[Explanation],
    ) -> Self {
        let with_all = |own: &&Explanation| own.without.is_none() && own.fit.is_some();
        let as_filed =
            explanations.iter().filter(with_all).find(|own| own.faults == prior.as_filed);
        let best = explanations
            .iter()
            .filter(with_all)
            .max_by(|a, b| units::larger_first(b.weight, a.weight));
        let test = |own: Option<&Explanation>| {
            let own = own?;
            let fit = own.fit.as_ref()?;
            ChiSquare::new(statistic(fit, &own.belief, observations), observations.len())
        };
        let (filed, explained) = (test(as_filed), test(best));
        let moves = |own: Option<&Explanation>| {
            own.and_then(|own| Some(moved(forward, own.fit.as_ref()?, &own.belief, &prior.sound)))
                .unwrap_or_default()
        };
        let mut at_odds = Vec::new();
        if explained.is_some_and(|test| test.contradicts()) {
            at_odds = moves(best);
        }
        // An explanation may blame the very thing that the file has wrong, and fit it badly.
        if at_odds.is_empty() {
            at_odds = moves(as_filed);
        }
        Self { as_filed: filed, explained, at_odds }
    }
}

impl Session<'_> {
    /// How well readings fit the file with nothing wrong: a single fit, without any weighing.
    ///
    /// Nothing without readings, and where no operating point is found.
    #[must_use]
    pub fn fits_file(&mut self, observations: &[Observation]) -> Option<ChiSquare> {
        let Estimator { forward, prior, .. } = &mut self.estimator;
        let sound = &prior.sound;
        let fit = fit(forward, observations, sound, &sound.mean, &[])?;
        ChiSquare::new(statistic(&fit, sound, observations), observations.len())
    }
}

/// Squared misfits of readings and of beliefs, each over its variance.
pub(crate) fn statistic(fit: &Fit, belief: &Belief, observations: &[Observation]) -> f64 {
    let readings = fit.residuals.iter().zip(observations).map(|(r, own)| r * r / variance(own));
    let beliefs = fit
        .unknowns
        .iter()
        .zip(belief.mean.iter().zip(&belief.spread))
        .map(|(x, (mean, spread))| ((x - mean) / spread).powi(2));
    readings.sum::<f64>() + beliefs.sum::<f64>()
}

/// The move of one unknown over the standard deviation of that move; nothing when the readings say
/// nothing about it.
///
/// A belief is a measurement of one unknown with variance P. The variance of its residual is
/// P less what is left of it after all, as Ω = R − H G⁻¹ Hᵀ has it for any measurement.
pub(crate) fn normalised(fit: &Fit, belief: &Belief, at: usize) -> Option<f64> {
    let prior = belief.spread[at];
    let left = fit.spread_of(at, prior);
    let of_move = prior * prior - left * left;
    (of_move > SAYS_NOTHING * prior * prior)
        .then(|| (fit.unknowns[at] - belief.mean[at]) / of_move.sqrt())
}

fn moved(forward: &Forward<'_>, fit: &Fit, belief: &Belief, sound: &Belief) -> Vec<Moved> {
    let mut all: Vec<Moved> = assumptions(forward.vehicle(), forward.layout)
        .into_iter()
        // What an explanation already blames is no assumption of the file.
        .filter(|(at, _)| (belief.mean[*at] - sound.mean[*at]).abs() < f64::EPSILON)
        .filter_map(|(at, assumption)| {
            let normalised = normalised(fit, belief, at)?;
            let by = fit.unknowns[at] - belief.mean[at];
            let deviations = by / belief.spread[at];
            Some(Moved { assumption, deviations, normalised, by })
        })
        .filter(|own| own.normalised.abs() > AT_ODDS)
        .collect();
    all.sort_by(|a, b| units::larger_first(a.normalised.abs(), b.normalised.abs()));
    let largest = all.first().map_or(0.0, |own| own.normalised.abs());
    let tied = all.iter().take_while(|own| own.normalised.abs() > largest * (1.0 - TIED)).count();
    all[..tied].sort_by(|a, b| units::larger_first(a.deviations.abs(), b.deviations.abs()));
    all
}

/// Every assumption of the file with the place of its unknown.
fn assumptions(vehicle: &Vehicle, layout: Layout) -> Vec<(usize, Assumption)> {
    let pieces = vehicle.pieces().map(|own| (vehicle.piece_slot(own), Assumption::Resistance(own)));
    let draws = (0..layout.loads).map(|at| (layout.draw(at), Assumption::Draw(LoadId::at(at))));
    let batteries = (0..layout.batteries).flat_map(|at| {
        [
            (layout.emf(at), Assumption::BatteryVolts(BatteryId::at(at))),
            (layout.battery(at), Assumption::BatteryOhms(BatteryId::at(at))),
        ]
    });
    let held =
        (0..layout.regulated).map(|at| (layout.held(at), Assumption::Held(RegulatedId::at(at))));
    pieces.chain(draws).chain(batteries).chain(held).collect()
}
