//! A rough look at every single fault, so that only those that may be it are fitted.

use crate::dense::{ByTheRest, Cholesky};
use crate::estimator::{Asked, Estimator};
use crate::fit::{Belief, covariance, questions, variance};
use crate::forward::{Forward, Guess};
use crate::observation::Observation;
use crate::slip::Wild;

/// Values of an unknown, in spreads from its middle, at which a fault is first tried.
pub(crate) const TRIED: [f64; 7] = [-1.8, -1.1, -0.4, 0.3, 1.0, 1.7, 2.4];
/// Between two tried values a loss changes by about this share, so that a rough look must not be
/// sharper.
const ROUGH: f64 = 0.35;
/// A reading that a fault moves by less than this share of its uncertainty is not moved.
const UNTOUCHED: f64 = 0.02;
/// Faults this much less likely than the best are not looked at closely.
pub(crate) const WORTH_FITTING: f64 = 9.0;
/// With more readings than this none is left out in the rough look.
const MOST_LEFT_OUT: usize = 48;

/// A fault that was tried roughly.
pub(crate) struct Tried {
    /// Its number among the faults that are considered.
    pub fault: usize,
    /// The value that explains best.
    pub best: f64,
    pub log_weight: f64,
    /// Logarithm of the chance of what was noticed if it is there, and the value that makes that likeliest.
    pub told: (f64, f64),
    /// How much better it explains what was read than nothing does; its chance left out.
    pub readings: f64,
    /// How much better it explains all that was read and noticed than nothing does; its chance left
    /// out.
    pub better: f64,
    /// For each reading, the weight when that one is taken for wrong, and the value that explains best.
    pub without: Vec<(f64, f64)>,
}

/// The sound vehicle of the file: what it would show, and how that changes.
pub(crate) struct Base {
    pub guess: Guess,
    rows: Vec<Vec<f64>>,
    /// How the values vary together by all that is unknown.
    covariance: Vec<f64>,
    /// Logarithm of the chance of what was noticed, and with the readings too, roughly.
    heard: f64,
    nothing: f64,
    values: Vec<f64>,
    wild: Vec<Wild>,
}

/// How well one value of one fault explains the readings.
pub(crate) struct Rough {
    pub all: f64,
    without: Vec<f64>,
}

impl Base {
    /// The sound vehicle beside these readings; nothing where it cannot be solved.
    pub(crate) fn of(estimator: &mut Estimator<'_>, asked: &Asked<'_>) -> Option<Self> {
        let Asked { observations, states, .. } = asked;
        let sound = estimator.prior.sound.clone();
        let guess = estimator.forward.guess(&sound.mean, &[], states, None)?;
        let forward = &estimator.forward;
        let rows = forward.rows(&guess, &questions(observations))?;
        let values = observations
            .iter()
            .map(|own| forward.value(&guess, own.state, own.measured))
            .collect::<Option<Vec<f64>>>()?;
        let wild = observations.iter().map(|own| Wild::of(forward, &guess, own)).collect();
        let covariance = covariance(&rows, &sound.spread);
        let filed = estimator.prior.as_filed.clone();
        let heard = estimator.heard(asked.complaint, &guess, (&sound.mean, &[]), &filed);
        let mut base = Self { guess, rows, covariance, heard, nothing: heard, values, wild };
        let readings =
            base.explains(&estimator.forward, &sound, observations, &base.guess, None)?;
        base.nothing += readings.all;
        Some(base)
    }

    /// How well a guess explains the readings when everything but one unknown may follow a little:
    /// all of them, and each time one less, that one being taken for wrong.
    pub(crate) fn explains(
        &self,
        forward: &Forward<'_>,
        sound: &Belief,
        observations: &[Observation],
        guess: &Guess,
        held: Option<usize>,
    ) -> Option<Rough> {
        let m = observations.len();
        let mut right = Vec::with_capacity(m);
        let mut matrix = self.covariance_without(sound, held);
        for (index, observation) in observations.iter().enumerate() {
            let now = forward.value(guess, observation.state, observation.measured)?;
            right.push(observation.value - now);
            let moved = ROUGH * (now - self.values[index]);
            matrix[index * m + index] += variance(observation) + moved * moved;
        }
        let system = Cholesky::new(m, &matrix)?;
        let solved = system.solve(&right);
        let misfit: f64 = right.iter().zip(&solved).map(|(a, b)| a * b).sum();
        let all = -0.5 * misfit
            - 0.5 * system.log_determinant()
            - 0.5 * m as f64 * (2.0 * std::f64::consts::PI).ln();
        if m > MOST_LEFT_OUT {
            return Some(Rough { all, without: Vec::new() });
        }
        let rest = system.foretold_by_the_rest(&solved);
        Some(Rough { all, without: self.each_left_out(all, &rest, observations) })
    }

    /// How well all readings but one are explained, that one being taken for wrong, for each.
    fn each_left_out(
        &self,
        all: f64,
        by_the_rest: &[ByTheRest],
        observations: &[Observation],
    ) -> Vec<f64> {
        by_the_rest
            .iter()
            .zip(observations.iter().zip(&self.wild))
            .map(|(rest, (own, wild))| {
                all - rest.log_density()
                    + wild.log_chance(own.value, own.value - rest.off, rest.spread)
            })
            .collect()
    }

    /// How the values vary together when one unknown is held and does not vary.
    fn covariance_without(&self, sound: &Belief, held: Option<usize>) -> Vec<f64> {
        let mut matrix = self.covariance.clone();
        let Some(at) = held else { return matrix };
        let spread = sound.spread[at];
        let column: Vec<f64> = self.rows.iter().map(|row| row[at] * spread).collect();
        for (row, own) in matrix.chunks_exact_mut(column.len().max(1)).zip(&column) {
            for (value, other) in row.iter_mut().zip(&column) {
                *value -= own * other;
            }
        }
        matrix
    }

    /// True when a guess moves a reading by as much as could matter.
    fn is_moved(&self, forward: &Forward<'_>, observations: &[Observation], to: &Guess) -> bool {
        observations.iter().zip(&self.values).any(|(own, before)| {
            let now = forward.value(to, own.state, own.measured);
            now.is_none_or(|now| (now - before).abs() > UNTOUCHED * own.sigma)
        })
    }
}

/// Tries every fault at a few values, everything else as the file has it and free to follow;
/// the likeliest first.
///
/// Not as fitted without the fault: what is bent out of shape to explain a fault away leaves
/// nothing for the fault to explain.
pub(crate) fn try_faults(estimator: &mut Estimator<'_>, asked: &Asked<'_>) -> Vec<Tried> {
    let Some(base) = Base::of(estimator, asked) else { return Vec::new() };
    let mut tried: Vec<Tried> = (0..estimator.prior.faults.len())
        .filter_map(|fault| {
            Values::of(estimator, fault, asked, &base).tried(estimator, fault, &base)
        })
        .collect();
    tried.sort_by(|a, b| units::larger_first(a.log_weight, b.log_weight));
    tried
}

/// What the tried values of one fault explain.
struct Values {
    /// Readings and what was noticed.
    all: Sum,
    /// What was noticed alone.
    alone: Sum,
    /// True when a value moves any reading.
    touched: bool,
    /// As `all`, with one reading taken for wrong.
    without: Vec<Sum>,
}

impl Values {
    fn of(estimator: &mut Estimator<'_>, number: usize, asked: &Asked<'_>, base: &Base) -> Self {
        let fault = estimator.prior.faults[number].clone();
        let present = fault.present.as_slice();
        let observations = asked.observations;
        let mut values = Self {
            all: Sum::default(),
            alone: Sum::default(),
            touched: false,
            without: vec![Sum::default(); observations.len()],
        };
        let faults = fault.beside(&estimator.prior.as_filed);
        for step in TRIED {
            let mut unknowns = estimator.prior.sound.mean.clone();
            unknowns[fault.at] = fault.mean + step * fault.spread;
            let at = unknowns[fault.at];
            let guess = estimator.forward.moved(&unknowns, present, fault.at, &base.guess);
            let Some(guess) = guess else { continue };
            let told = estimator.heard(asked.complaint, &guess, (&unknowns, present), &faults);
            let said = told - 0.5 * step * step;
            values.alone.add(said, at);
            let (forward, sound) = (&estimator.forward, &estimator.prior.sound);
            values.touched |= base.is_moved(forward, observations, &guess);
            let rough = base.explains(forward, sound, observations, &guess, Some(fault.at));
            let Some(rough) = rough else { continue };
            values.all.add(said + rough.all, at);
            for (sum, own) in values.without.iter_mut().zip(&rough.without) {
                sum.add(said + own, at);
            }
        }
        values
    }

    fn tried(self, estimator: &Estimator<'_>, fault: usize, base: &Base) -> Option<Tried> {
        let weights: f64 = TRIED.iter().map(|step| (-0.5 * step * step).exp()).sum();
        let offset = estimator.prior.faults[fault].log_odds - weights.ln();
        let (log_weight, best) = self.all.total()?;
        let (alone, at) = self.alone.total()?;
        let told = (alone - weights.ln(), at);
        // What moves no reading explains none, whatever the rounding of the rough look says.
        let heard = told.0 - base.heard;
        let better = if self.touched { log_weight - weights.ln() - base.nothing } else { heard };
        let without = self
            .without
            .iter()
            .map(|sum| sum.total().map_or((f64::MIN, best), |(log, at)| (offset + log, at)));
        Some(Tried {
            fault,
            best,
            log_weight: offset + log_weight,
            told,
            readings: better - heard,
            better,
            without: without.collect(),
        })
    }
}

/// A sum of exponentials, kept as logarithms, and where its largest term lay.
#[derive(Debug, Clone, Default)]
struct Sum {
    terms: Vec<(f64, f64)>,
}

impl Sum {
    fn add(&mut self, log: f64, at: f64) {
        self.terms.push((log, at));
    }

    fn total(&self) -> Option<(f64, f64)> {
        let best = self.terms.iter().copied().max_by(|a, b| units::larger_first(b.0, a.0))?;
        let sum: f64 = self.terms.iter().map(|(log, _)| (log - best.0).exp()).sum();
        Some((best.0 + sum.ln(), best.1))
    }
}
