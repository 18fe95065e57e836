//! Explanations in which one reading is wrong.

use model::{ConductorId, Measured, Probe};

use crate::diagnose::Explanation;
use crate::fit::{questions, variance};
use crate::forward::Guess;
use crate::observation::Observation;
use crate::session::{Asked, Session};
use crate::slip::{Wild, density_elsewhere};
use crate::tried::{Tried, WORTH_FITTING};

/// Explanations that are fitted without a reading, and how many of them without the same one.
pub(crate) const MOST_FITTED: usize = 40;
const MOST_OF_ONE: usize = 6;
/// Of many readings so many are taken for wrong, those that the best explanations find oddest.
const MOST_DOUBTED: usize = 12;

/// An explanation that may hold when one reading is wrong.
struct Doubt {
    reading: usize,
    weight: f64,
    of: Of,
}

enum Of {
    /// A fault that was tried roughly, and the value from which it is fitted.
    Fault(usize, f64),
    /// An explanation that was fitted with the reading.
    Explanation(usize),
}

impl Session<'_> {
    /// What a wrong reading may have shown instead of the right value.
    pub(crate) fn wild(&self, guess: &Guess, own: &Observation) -> Wild {
        let value = |measured| self.forward.value(guess, own.state, measured);
        let vehicle = self.vehicle();
        let places: Vec<f64> = match own.measured {
            Measured::Volts { high, low } => {
                let points = (0..vehicle.points.len()).map(model::PointId::at);
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
            Measured::Volts { .. } => 2.0 * vehicle.nominal.0,
            _ => 1000.0,
        };
        Wild { elsewhere: density_elsewhere(own.value, own.sigma, &places), span }
    }

    /// The likeliest explanations that take one reading for wrong.
    pub(crate) fn with_one_wrong(
        &mut self,
        asked: &Asked<'_>,
        explanations: &[Explanation],
        tried: &[Tried],
    ) -> Vec<Explanation> {
        let observations = asked.observations;
        let Some(sound) = self.forward.guess(&self.sound.mean.clone(), &[], &asked.states, None)
        else {
            return Vec::new();
        };
        let wild: Vec<Wild> = observations.iter().map(|own| self.wild(&sound, own)).collect();
        let mut best = explanations.iter().map(|own| own.weight).fold(f64::MIN, f64::max);
        let mut wrong = Vec::new();
        for Doubt { reading, of, weight } in self.doubts(observations, explanations, tried, &wild) {
            if weight < best - WORTH_FITTING {
                break;
            }
            let mut rest = observations.to_vec();
            let left_out = rest.remove(reading);
            let rest = Asked {
                observations: &rest,
                complaint: asked.complaint,
                states: asked.states.clone(),
            };
            let again = match of {
                Of::Fault(fault, start) => self.fitted(fault, &[start], &rest),
                Of::Explanation(at) => {
                    let own = &explanations[at];
                    let (belief, faults) = (own.belief.clone(), own.faults.clone());
                    let odds = own.odds;
                    self.explain(&rest, belief, &own.unknowns, faults, odds)
                }
            };
            let Some(mut again) = again else { continue };
            let Some(chance) = self.chance_of(&left_out, &again, &wild[reading]) else { continue };
            again.weight += chance;
            again.without = Some(reading);
            best = best.max(again.weight);
            wrong.push(again);
        }
        wrong
    }

    /// Logarithm of the chance of a value that an explanation takes for wrong.
    fn chance_of(&self, own: &Observation, by: &Explanation, wild: &Wild) -> Option<f64> {
        let fit = by.fit.as_ref()?;
        let middle = self.forward.value(&fit.guess, own.state, own.measured)?;
        let slopes = self.forward.rows(&fit.guess, &questions(std::slice::from_ref(own)))?.pop()?;
        let spread = (fit.variance_of(&slopes, &by.belief.spread) + variance(own)).sqrt();
        Some(wild.log_chance(own.value, middle, spread))
    }

    /// What is worth fitting without a reading, the likeliest first.
    fn doubts(
        &self,
        observations: &[Observation],
        explanations: &[Explanation],
        tried: &[Tried],
        wild: &[Wild],
    ) -> Vec<Doubt> {
        let mut doubts: Vec<Doubt> = Vec::new();
        for own in tried {
            doubts.extend(own.without.iter().enumerate().map(|(reading, (weight, start))| Doubt {
                reading,
                weight: *weight,
                of: Of::Fault(own.fault, *start),
            }));
        }
        for (at, own) in explanations.iter().enumerate() {
            let Some(fit) = &own.fit else { continue };
            // What stretched a sound joint may have been the reading that is left out.
            let weight = own.weight - self.still_sound(fit, &own.belief, &own.faults);
            for (reading, rest) in fit.foretold_by_the_rest(&own.belief).iter().enumerate() {
                let shown = observations[reading].value;
                let chance = wild[reading].log_chance(shown, shown - rest.off, rest.spread);
                doubts.push(Doubt {
                    reading,
                    weight: weight - rest.log_density() + chance,
                    of: Of::Explanation(at),
                });
            }
        }
        doubts.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        let mut of_each = vec![0; observations.len()];
        let mut seen: Vec<(usize, Vec<crate::SuspectKind>)> = Vec::new();
        doubts.retain(|own| {
            let faults = match own.of {
                Of::Fault(fault, _) => self.faults[fault].beside(&self.as_filed),
                Of::Explanation(at) => explanations[at].faults.clone(),
            };
            if of_each[own.reading] >= MOST_OF_ONE
                || of_each.iter().sum::<usize>() >= MOST_FITTED
                || (of_each[own.reading] == 0
                    && of_each.iter().filter(|number| **number > 0).count() >= MOST_DOUBTED)
                || seen.contains(&(own.reading, faults.clone()))
            {
                return false;
            }
            seen.push((own.reading, faults));
            of_each[own.reading] += 1;
            true
        });
        doubts
    }
}
