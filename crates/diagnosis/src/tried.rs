//! A rough look at every single fault, and a close one at those that may be it.

use std::collections::BTreeSet;

use model::JointOf;

use crate::dense::Cholesky;
use crate::diagnose::{Explanation, SuspectKind};
use crate::fit::{covariance, questions, variance};
use crate::forward::Guess;
use crate::hypothesis::Hypothesis;
use crate::observation::Observation;
use crate::paths::same_bodies;
use crate::session::{Asked, Session};
use crate::slip::Wild;
use crate::weights::explains_all;

/// Values of an unknown, in spreads from its middle, at which a fault is first tried.
pub(crate) const TRIED: [f64; 7] = [-1.8, -1.1, -0.4, 0.3, 1.0, 1.7, 2.4];
/// Between two tried values a loss changes by about this share, so that a rough look must not be
/// sharper.
const ROUGH: f64 = 0.35;
/// A reading that a fault moves by less than this share of its uncertainty is not moved.
const UNTOUCHED: f64 = 0.02;
/// Faults towards which the sound vehicle is bent by more spreads than this are looked at closely.
const BENT: f64 = 1.5;
pub(crate) const MOST_BENT: usize = 6;
/// A fault that explains the readings no better than nothing does, but for this, is not looked at closely.
const EXPLAINS: f64 = 0.5;
/// Faults this much less likely than the best are not looked at closely.
pub(crate) const WORTH_FITTING: f64 = 9.0;
pub(crate) const MOST_FITTED: usize = 28;
/// Of paths that the file does not show so many, because they are alike.
pub(crate) const MOST_PATHS_FITTED: usize = 6;
/// The likeliest faults are fitted from other values too, when a first fit leaves readings unexplained.
pub(crate) const MOST_STARTED_AGAIN: usize = 8;
pub(crate) const STARTED_AGAIN: [f64; 3] = [-0.8, 0.6, 2.0];
/// With more readings than this none is left out in the rough look.
const MOST_LEFT_OUT: usize = 48;

/// A fault that was tried roughly.
pub(crate) struct Tried {
    /// Its number among the session's faults.
    pub fault: usize,
    /// The value that explains best.
    pub best: f64,
    pub log_weight: f64,
    /// Logarithm of the chance of what was noticed at the value that makes it likeliest.
    pub heard: f64,
    /// That value.
    pub heard_at: f64,
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

impl Session<'_> {
    pub(crate) fn base(&mut self, asked: &Asked<'_>) -> Option<Base> {
        let Asked { observations, states, .. } = asked;
        let guess = self.forward.guess(&self.sound.mean, &[], states, None)?;
        let rows = self.forward.rows(&guess, &questions(observations))?;
        let values = observations
            .iter()
            .map(|own| self.forward.value(&guess, own.state, own.measured))
            .collect::<Option<Vec<f64>>>()?;
        let wild = observations.iter().map(|own| self.wild(&guess, own)).collect();
        let covariance = covariance(&rows, &self.sound.spread);
        let filed = self.as_filed.clone();
        let heard = self.heard(asked.complaint, &guess, (&self.sound.mean.clone(), &[]), &filed);
        let mut base = Base { guess, rows, covariance, heard, nothing: heard, values, wild };
        let readings = self.rough_fit(asked.observations, &base, &base.guess, None)?;
        base.nothing += readings.all;
        Some(base)
    }

    /// Tries every fault at a few values, everything else as the file has it and free to follow;
    /// the likeliest first.
    ///
    /// Not as fitted without the fault: what is bent out of shape to explain a fault away leaves
    /// nothing for the fault to explain.
    pub(crate) fn try_faults(&mut self, asked: &Asked<'_>) -> Vec<Tried> {
        let Some(base) = self.base(asked) else { return Vec::new() };
        let mut tried: Vec<Tried> = (0..self.faults.len())
            .filter_map(|fault| self.try_fault(fault, asked, &base))
            .collect();
        tried.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
        tried
    }

    fn try_fault(&mut self, number: usize, asked: &Asked<'_>, base: &Base) -> Option<Tried> {
        let fault = self.faults[number].clone();
        let present = fault.present.as_slice();
        let mut heard = (f64::MIN, fault.mean);
        let mut all = Sum::default();
        let mut alone = Sum::default();
        let mut touched = false;
        let mut without = vec![Sum::default(); asked.observations.len()];
        for step in TRIED {
            let mut unknowns = self.sound.mean.clone();
            unknowns[fault.at] = fault.mean + step * fault.spread;
            let at = unknowns[fault.at];
            let guess = self.forward.moved(&unknowns, present, fault.at, &base.guess);
            let Some(guess) = guess else { continue };
            let faults = fault.beside(&self.as_filed);
            let told = self.heard(asked.complaint, &guess, (&unknowns, present), &faults);
            if told > heard.0 {
                heard = (told, at);
            }
            let said = told - 0.5 * step * step;
            alone.add(said, at);
            touched |= self.touches(asked.observations, base, &guess);
            let Some(rough) = self.rough_fit(asked.observations, base, &guess, Some(fault.at))
            else {
                continue;
            };
            all.add(said + rough.all, at);
            for (sum, own) in without.iter_mut().zip(&rough.without) {
                sum.add(said + own, at);
            }
        }
        let weights: f64 = TRIED.iter().map(|step| (-0.5 * step * step).exp()).sum();
        let offset = fault.log_odds - weights.ln();
        let (log_weight, best) = all.total()?;
        // What moves no reading explains none, whatever the rounding of the rough look says.
        let better = if touched {
            log_weight - weights.ln() - base.nothing
        } else {
            alone.total().map_or(0.0, |(log, _)| log - weights.ln()) - base.heard
        };
        Some(Tried {
            fault: number,
            best,
            log_weight: offset + log_weight,
            heard: heard.0,
            heard_at: heard.1,
            better,
            without: without
                .iter()
                .map(|sum| sum.total().map_or((f64::MIN, best), |(log, at)| (offset + log, at)))
                .collect(),
        })
    }

    /// True when a guess moves a reading by as much as could matter.
    fn touches(&self, observations: &[Observation], base: &Base, guess: &Guess) -> bool {
        observations.iter().zip(&base.values).any(|(own, before)| {
            let now = self.forward.value(guess, own.state, own.measured);
            now.is_none_or(|now| (now - before).abs() > UNTOUCHED * own.sigma)
        })
    }

    /// How well a guess explains the readings when everything but one unknown may follow a little:
    /// all of them, and each time one less, that one being taken for wrong.
    pub(crate) fn rough_fit(
        &self,
        observations: &[Observation],
        base: &Base,
        guess: &Guess,
        held: Option<usize>,
    ) -> Option<Rough> {
        let m = observations.len();
        let mut right = Vec::with_capacity(m);
        // The unknown that is held does not vary.
        let mut matrix = base.covariance.clone();
        if let Some(at) = held {
            let spread = self.sound.spread[at];
            let column: Vec<f64> = base.rows.iter().map(|row| row[at] * spread).collect();
            for (row, own) in matrix.chunks_exact_mut(m.max(1)).zip(&column) {
                for (value, other) in row.iter_mut().zip(&column) {
                    *value -= own * other;
                }
            }
        }
        for (index, observation) in observations.iter().enumerate() {
            let now = self.forward.value(guess, observation.state, observation.measured)?;
            right.push(observation.value - now);
            let moved = ROUGH * (now - base.values[index]);
            matrix[index * m + index] += variance(observation) + moved * moved;
        }
        let system = Cholesky::new(m, &matrix)?;
        let solved = system.solve(&right);
        let misfit: f64 = right.iter().zip(&solved).map(|(a, b)| a * b).sum();
        let all = -0.5 * misfit
            - 0.5 * system.log_determinant()
            - 0.5 * m as f64 * (2.0 * std::f64::consts::PI).ln();
        if observations.len() > MOST_LEFT_OUT {
            return Some(Rough { all, without: Vec::new() });
        }
        let without = system
            .foretold_by_the_rest(&solved)
            .iter()
            .zip(observations.iter().zip(&base.wild))
            .map(|(rest, (own, wild))| {
                all - rest.log_density()
                    + wild.log_chance(own.value, own.value - rest.off, rest.spread)
            })
            .collect();
        Some(Rough { all, without })
    }

    /// Nothing wrong, every single fault worth a look, and pairs where they explain more.
    pub(crate) fn explanations(&mut self, asked: &Asked<'_>, tried: &[Tried]) -> Vec<Explanation> {
        let sound = self.sound.clone();
        let start = sound.mean.clone();
        let Some(nothing) = self.explain(asked, sound, &start, self.as_filed.clone(), 0.0) else {
            return Vec::new();
        };
        let mut explanations = self.singles(asked, tried, &nothing);
        explanations.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        let pairs = self.pairs(asked, &explanations, tried);
        explanations.extend(pairs);
        explanations.push(nothing);
        let both = self.in_both_ways(asked, &explanations);
        explanations.extend(both);
        explanations
    }

    /// The best of the fits of one fault that begin at these values of it.
    pub(crate) fn fitted(
        &mut self,
        number: usize,
        starts: &[f64],
        asked: &Asked<'_>,
    ) -> Option<Explanation> {
        let fault = self.faults[number].clone();
        let mut best: Option<Explanation> = None;
        for start in starts {
            let mut unknowns = self.sound.mean.clone();
            unknowns[fault.at] = *start;
            let belief = fault.belief(&self.sound);
            let (kinds, odds) = (fault.beside(&self.as_filed), fault.log_odds);
            let fit = self.explain(asked, belief, &unknowns, kinds, odds);
            let done = fit.as_ref().is_some_and(|own| explains_all(own, asked.observations));
            if let Some(fit) = fit
                && best.as_ref().is_none_or(|best| fit.weight > best.weight)
            {
                best = Some(fit);
            }
            if done {
                break;
            }
        }
        best
    }

    /// Every single fault: the likeliest fitted, the others as they were tried.
    ///
    /// With a piece of a conductor its other pieces are fitted too, because no difference between
    /// those may come from one being looked at. What cannot be fitted, because no such vehicle can
    /// stand still, is no explanation.
    fn singles(
        &mut self,
        asked: &Asked<'_>,
        tried: &[Tried],
        nothing: &Explanation,
    ) -> Vec<Explanation> {
        let mut close: BTreeSet<usize> = BTreeSet::new();
        let mut fitted: Vec<Explanation> = Vec::new();
        let mut best = nothing.weight;
        for fault in self.bent(nothing) {
            if !close.contains(&fault) {
                let (more, _) = self.group(fault, tried, asked, &mut close, fitted.len());
                best = more.iter().map(|own| own.weight).fold(best, f64::max);
                fitted.extend(more);
            }
        }
        let mut rough = f64::MIN;
        let (mut paths, mut others) = (0, 0);
        for own in tried {
            let is_path = self.faults[own.fault].present.is_some();
            let (number, most) =
                if is_path { (&mut paths, MOST_PATHS_FITTED) } else { (&mut others, MOST_FITTED) };
            // The rough look can be far off for all alike when there is a second fault: what has been
            // fitted well is measured by both looks.
            if own.log_weight < best.min(rough) - WORTH_FITTING {
                break;
            }
            if own.better < EXPLAINS || *number >= most {
                continue;
            }
            *number += 1;
            if close.contains(&own.fault) {
                rough = rough.max(own.log_weight);
                continue;
            }
            let (more, well) = self.group(own.fault, tried, asked, &mut close, fitted.len());
            best = more.iter().map(|own| own.weight).fold(best, f64::max);
            rough = rough.max(well);
            fitted.extend(more);
        }
        let stood_for = self.stand_for(tried, &close, &mut fitted);
        let left = tried
            .iter()
            .filter(|own| !close.contains(&own.fault) && !stood_for.contains(&own.fault));
        for own in left {
            let fault = &self.faults[own.fault];
            let mut unknowns = self.sound.mean.clone();
            unknowns[fault.at] = own.best;
            fitted.push(Explanation {
                faults: fault.beside(&self.as_filed),
                weight: if own.better < EXPLAINS {
                    // Against nothing being wrong, both as roughly looked at.
                    nothing.weight + fault.log_odds + own.better
                } else {
                    own.log_weight
                },
                odds: fault.log_odds,
                belief: fault.belief(&self.sound),
                unknowns,
                fit: None,
                without: None,
                idle: false,
            });
        }
        fitted
    }

    /// Fits a fault with the other faults of the same conductor; also gives the best rough weight
    /// among those that could be fitted.
    fn group(
        &mut self,
        fault: usize,
        tried: &[Tried],
        asked: &Asked<'_>,
        close: &mut BTreeSet<usize>,
        already: usize,
    ) -> (Vec<Explanation>, f64) {
        let mut fitted = Vec::new();
        let mut rough = f64::MIN;
        for fault in self.siblings(fault) {
            close.insert(fault);
            let Some(first) = tried.iter().find(|tried| tried.fault == fault) else { continue };
            let Hypothesis { mean, spread, .. } = self.faults[fault];
            let others: &[f64] =
                if already + fitted.len() < MOST_STARTED_AGAIN { &STARTED_AGAIN } else { &[] };
            let starts: Vec<f64> = std::iter::once(first.best)
                .chain(others.iter().map(|step| mean + step * spread))
                .collect();
            if let Some(own) = self.fitted(fault, &starts, asked) {
                rough = rough.max(first.log_weight);
                fitted.push(own);
            }
        }
        (fitted, rough)
    }

    /// The faults towards which the fit without any is bent most: where two faults hide each other
    /// from the rough look, both show there.
    fn bent(&self, nothing: &Explanation) -> Vec<usize> {
        let Some(fit) = &nothing.fit else { return Vec::new() };
        let mut bent: Vec<(f64, usize)> = self
            .faults
            .iter()
            .enumerate()
            .filter(|(_, fault)| fault.present.is_none())
            .map(|(number, fault)| {
                let moved = (fit.unknowns[fault.at] - self.sound.mean[fault.at])
                    / self.sound.spread[fault.at];
                (if fault.mean < 0.0 { -moved } else { moved }, number)
            })
            .filter(|(moved, _)| *moved > BENT)
            .collect();
        bent.sort_by(|a, b| b.0.total_cmp(&a.0));
        bent.truncate(MOST_BENT);
        bent.into_iter().map(|(_, number)| number).collect()
    }

    /// Lets the fitted paths between two bodies stand for all between the same two, in the ratio in
    /// which the rough look found them; gives those that are stood for.
    fn stand_for(
        &self,
        tried: &[Tried],
        close: &BTreeSet<usize>,
        fitted: &mut [Explanation],
    ) -> BTreeSet<usize> {
        let vehicle = self.vehicle();
        let ends = |kind: SuspectKind| match kind {
            SuspectKind::ExtraPath { from, to } => Some((from, to)),
            _ => None,
        };
        let mut stood_for = BTreeSet::new();
        for own in fitted {
            let Some(path) = own.faults.iter().find_map(|kind| ends(*kind)) else { continue };
            let alike: Vec<&Tried> = tried
                .iter()
                .filter(|tried| {
                    ends(self.faults[tried.fault].kind)
                        .is_some_and(|other| same_bodies(vehicle, path, other))
                })
                .collect();
            let best = alike.iter().map(|own| own.log_weight).fold(f64::MIN, f64::max);
            let sum = |fitted_only: bool| -> f64 {
                let some = alike.iter().filter(|own| !fitted_only || close.contains(&own.fault));
                some.map(|own| (own.log_weight - best).exp()).sum()
            };
            let more = (sum(false) / sum(true)).ln();
            if more.is_finite() {
                own.weight += more;
                own.odds += more;
                stood_for.extend(alike.iter().map(|own| own.fault));
            }
        }
        stood_for
    }

    /// A fault with the other faults of the same conductor.
    fn siblings(&self, fault: usize) -> Vec<usize> {
        let vehicle = self.vehicle();
        let conductor = |kind: SuspectKind| match kind {
            SuspectKind::Conductor(id) => Some(id),
            SuspectKind::Joint(id) => match vehicle.joint(id).of {
                JointOf::From(id) | JointOf::To(id) => Some(id),
                JointOf::LoadCase(_) | JointOf::SourceCase(_) => None,
            },
            _ => None,
        };
        let own = conductor(self.faults[fault].kind);
        (0..self.faults.len())
            .filter(|other| {
                *other == fault || (own.is_some() && conductor(self.faults[*other].kind) == own)
            })
            .collect()
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
        let best = self.terms.iter().copied().max_by(|a, b| a.0.total_cmp(&b.0))?;
        let sum: f64 = self.terms.iter().map(|(log, _)| (log - best.0).exp()).sum();
        Some((best.0 + sum.ln(), best.1))
    }
}
