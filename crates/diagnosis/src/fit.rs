//! The most probable vehicle under one hypothesis, and how well it explains the readings.
//!
//! Gauss–Newton in the space of readings: with prior mean μ and variances P, values h(θ) and slopes J,
//! θ ← μ + P Jᵀ (J P Jᵀ + R)⁻¹ (y − h + J(θ − μ)), each step shortened until the misfit falls. The
//! evidence is Laplace's: log p(y|H) ≈ −misfit − ½ log det(J P Jᵀ + R) − (m/2) log 2π.

use model::{Measured, StateId};

use crate::dense::{ByTheRest, Cholesky};
use crate::forward::{Forward, Guess, states_of};
use crate::judged;
use crate::observation::Observation;

const MOST_STEPS: usize = 15;
/// The longest step of one logarithm.
const LONGEST: f64 = 2.0;
/// A step that lowers the misfit by less has found the bottom.
const SETTLED: f64 = 1e-4;

/// Belief about everything unknown before the readings.
#[derive(Debug, Clone)]
pub(crate) struct Belief {
    pub mean: Vec<f64>,
    pub spread: Vec<f64>,
    /// The extra paths that are there.
    pub present: Vec<usize>,
}

/// The outcome of a fit.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    pub unknowns: Vec<f64>,
    pub guess: Guess,
    pub evidence: f64,
    /// Readings less what the fit expects.
    pub residuals: Vec<f64>,
    rows: Vec<Vec<f64>>,
    system: Cholesky,
}

pub(crate) fn variance(observation: &Observation) -> f64 {
    let own = judged::readings();
    let model = own.model_share.0 * observation.value.abs() + own.model_floor.0;
    observation.sigma * observation.sigma + model * model
}

pub(crate) fn questions(observations: &[Observation]) -> Vec<(StateId, Measured)> {
    observations.iter().map(|observation| (observation.state, observation.measured)).collect()
}

fn misfit(
    belief: &Belief,
    unknowns: &[f64],
    residuals: &[f64],
    observations: &[Observation],
) -> f64 {
    let readings: f64 = residuals.iter().zip(observations).map(|(r, o)| r * r / variance(o)).sum();
    let beliefs: f64 = unknowns
        .iter()
        .zip(belief.mean.iter().zip(&belief.spread))
        .map(|(x, (mean, spread))| ((x - mean) / spread).powi(2))
        .sum();
    0.5 * (readings + beliefs)
}

/// `J P Jᵀ + R`, factorised.
pub(crate) fn system(
    rows: &[Vec<f64>],
    spread: &[f64],
    observations: &[Observation],
) -> Option<Cholesky> {
    let mut matrix = covariance(rows, spread);
    for (at, observation) in observations.iter().enumerate() {
        matrix[at * rows.len() + at] += variance(observation);
    }
    Cholesky::new(rows.len(), &matrix)
}

/// `J P Jᵀ`, row by row: how the values vary together by what is unknown.
pub(crate) fn covariance(rows: &[Vec<f64>], spread: &[f64]) -> Vec<f64> {
    let m = rows.len();
    let scaled: Vec<Vec<f64>> = rows
        .iter()
        .map(|row| row.iter().zip(spread).map(|(slope, spread)| slope * spread).collect())
        .collect();
    let mut matrix = vec![0.0; m * m];
    for i in 0..m {
        for j in 0..=i {
            let dot: f64 = scaled[i].iter().zip(&scaled[j]).map(|(a, b)| a * b).sum();
            matrix[i * m + j] = dot;
            matrix[j * m + i] = dot;
        }
    }
    matrix
}

/// Fits; nothing when the network cannot be solved there.
pub(crate) fn fit(
    forward: &mut Forward<'_>,
    observations: &[Observation],
    belief: &Belief,
    start: &[f64],
    states: &[StateId],
) -> Option<Fit> {
    let asked = questions(observations);
    let mut all_states = states_of(observations);
    all_states.extend(states);
    all_states.sort_unstable();
    all_states.dedup();
    let problem = Problem { observations, belief, states: &all_states };
    let mut here = Place::at(forward, &problem, start.to_vec(), None)?;
    let mut rows = forward.rows(&here.guess, &asked)?;
    for _ in 0..MOST_STEPS {
        let system = system(&rows, &belief.spread, observations)?;
        let weights = system.solve(&innovation(&rows, &here.residuals, &here.unknowns, belief));
        let step = here.step(forward, &problem, &target(&rows, &weights, belief));
        let is_last = step.as_ref().is_none_or(|(_, settled)| *settled);
        here = step.map_or(here, |(there, _)| there);
        rows = forward.rows(&here.guess, &asked)?;
        if is_last {
            break;
        }
    }
    let system = system(&rows, &belief.spread, observations)?;
    let m = observations.len() as f64;
    let evidence =
        -here.cost - 0.5 * system.log_determinant() - 0.5 * m * (2.0 * std::f64::consts::PI).ln();
    let Place { unknowns, guess, residuals, .. } = here;
    Some(Fit { unknowns, guess, evidence, residuals, rows, system })
}

/// What is fitted to what.
struct Problem<'a> {
    observations: &'a [Observation],
    belief: &'a Belief,
    states: &'a [StateId],
}

/// Values of all that is unknown, and how far the readings are from what they make the vehicle show.
struct Place {
    unknowns: Vec<f64>,
    guess: Guess,
    residuals: Vec<f64>,
    cost: f64,
}

impl Place {
    fn at(
        forward: &mut Forward<'_>,
        problem: &Problem<'_>,
        unknowns: Vec<f64>,
        near: Option<&Guess>,
    ) -> Option<Self> {
        let Problem { observations, belief, states } = *problem;
        let guess = forward.guess(&unknowns, &belief.present, states, near)?;
        let residuals = observations
            .iter()
            .map(|o| forward.value(&guess, o.state, o.measured).map(|value| o.value - value))
            .collect::<Option<Vec<f64>>>()?;
        let cost = misfit(belief, &unknowns, &residuals, observations);
        Some(Self { unknowns, guess, residuals, cost })
    }

    /// A step towards a target, shortened until the misfit falls; with it whether the bottom is found.
    fn step(
        &self,
        forward: &mut Forward<'_>,
        problem: &Problem<'_>,
        target: &[f64],
    ) -> Option<(Self, bool)> {
        let ways = target.iter().zip(&self.unknowns).map(|(to, from)| (to - from).abs());
        let longest = ways.fold(0.0, f64::max);
        let mut share = if longest > LONGEST { LONGEST / longest } else { 1.0 };
        for _ in 0..8 {
            let between = self.unknowns.iter().zip(target);
            let next = between.map(|(from, to)| from + share * (to - from)).collect();
            let there = Self::at(forward, problem, next, Some(&self.guess));
            if let Some(there) = there.filter(|there| there.cost < self.cost) {
                let settled = self.cost - there.cost < SETTLED && share > 0.99;
                return Some((there, settled));
            }
            share *= 0.4;
        }
        None
    }
}

/// Where a whole step of Gauss and Newton leads: the belief's middle, pulled by the weighted readings.
fn target(rows: &[Vec<f64>], weights: &[f64], belief: &Belief) -> Vec<f64> {
    let pull =
        |at: usize| -> f64 { rows.iter().zip(weights).map(|(row, weight)| row[at] * weight).sum() };
    (0..belief.mean.len())
        .map(|at| belief.mean[at] + belief.spread[at] * belief.spread[at] * pull(at))
        .collect()
}

impl Fit {
    /// Standard deviation of one unknown after the readings.
    pub(crate) fn spread_of(&self, at: usize, prior: f64) -> f64 {
        let column: Vec<f64> = self.rows.iter().map(|row| row[at] * prior * prior).collect();
        let solved = self.system.solve(&column);
        let less: f64 = column.iter().zip(&solved).map(|(a, b)| a * b).sum();
        (prior * prior - less).max(1e-12).sqrt()
    }

    /// Variance that the unknowns still leave in a value with these slopes.
    pub(crate) fn variance_of(&self, slopes: &[f64], spread: &[f64]) -> f64 {
        let prior: f64 =
            slopes.iter().zip(spread).map(|(slope, spread)| (slope * spread).powi(2)).sum();
        let cross: Vec<f64> = self
            .rows
            .iter()
            .map(|row| {
                row.iter().zip(slopes.iter().zip(spread)).map(|(a, (b, s))| a * b * s * s).sum()
            })
            .collect();
        let solved = self.system.solve(&cross);
        let less: f64 = cross.iter().zip(&solved).map(|(a, b)| a * b).sum();
        (prior - less).max(0.0)
    }

    /// How each reading changes with one unknown, in the reading's standard deviations.
    pub(crate) fn column(&self, at: usize, observations: &[Observation]) -> Vec<f64> {
        let rows = self.rows.iter().zip(observations);
        rows.map(|(row, own)| row[at] / variance(own).sqrt()).collect()
    }

    /// Readings less what the belief alone foretells of them, along straight lines from the fit.
    pub(crate) fn innovation(&self, belief: &Belief) -> Vec<f64> {
        innovation(&self.rows, &self.residuals, &self.unknowns, belief)
    }

    /// Each reading beside what it is foretold to be by all the others.
    pub(crate) fn foretold_by_the_rest(&self, belief: &Belief) -> Vec<ByTheRest> {
        self.system.foretold_by_the_rest(&self.system.solve(&self.innovation(belief)))
    }

    /// Normalised residuals: each reading's misfit over its own standard deviation when it is
    /// foretold by all the others.
    pub(crate) fn foretold(&self, belief: &Belief) -> Vec<f64> {
        self.foretold_by_the_rest(belief).iter().map(|own| own.off / own.spread).collect()
    }
}

fn innovation(rows: &[Vec<f64>], residuals: &[f64], unknowns: &[f64], belief: &Belief) -> Vec<f64> {
    let moved: Vec<f64> = unknowns.iter().zip(&belief.mean).map(|(x, mean)| x - mean).collect();
    rows.iter()
        .zip(residuals)
        .map(|(row, residual)| {
            residual + row.iter().zip(&moved).map(|(slope, moved)| slope * moved).sum::<f64>()
        })
        .collect()
}
