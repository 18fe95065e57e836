//! Explanations in which one reading is wrong.

use crate::estimator::{Asked, Estimator};
use crate::explanation::Explanation;
use crate::fit::{questions, variance};
use crate::observation::Observation;
use crate::rough::{Tried, WORTH_FITTING};
use crate::single::fitted;
use crate::slip::Wild;
use crate::suspect::SuspectKind;

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

/// The likeliest explanations that take one reading for wrong.
pub(crate) fn with_one_wrong(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    explanations: &[Explanation],
    tried: &[Tried],
) -> Vec<Explanation> {
    let observations = asked.observations;
    let Some(wild) = wild_values(estimator, asked) else { return Vec::new() };
    let mut best = explanations.iter().map(|own| own.weight).fold(f64::MIN, f64::max);
    let mut wrong = Vec::new();
    for Doubt { reading, of, weight } in doubts(estimator, observations, explanations, tried, &wild)
    {
        if weight < best - WORTH_FITTING {
            break;
        }
        let mut rest = observations.to_vec();
        let left_out = rest.remove(reading);
        let rest =
            Asked { observations: &rest, complaint: asked.complaint, states: asked.states.clone() };
        let again = fitted_again(estimator, of, explanations, &rest);
        let Some(mut again) = again else { continue };
        let Some(chance) = chance_of(estimator, &left_out, &again, &wild[reading]) else {
            continue;
        };
        again.weight += chance;
        again.without = Some(reading);
        best = best.max(again.weight);
        wrong.push(again);
    }
    wrong
}

/// What each reading may show when it is wrong; nothing where the sound vehicle cannot be solved.
fn wild_values(estimator: &mut Estimator<'_>, asked: &Asked<'_>) -> Option<Vec<Wild>> {
    let sound = estimator.prior.sound.mean.clone();
    let sound = estimator.forward.guess(&sound, &[], &asked.states, None)?;
    let wild = |own: &Observation| Wild::of(&estimator.forward, &sound, own);
    Some(asked.observations.iter().map(wild).collect())
}

/// An explanation, or a fault that was tried roughly, fitted to other readings.
fn fitted_again(
    estimator: &mut Estimator<'_>,
    of: Of,
    explanations: &[Explanation],
    asked: &Asked<'_>,
) -> Option<Explanation> {
    match of {
        Of::Fault(fault, start) => fitted(estimator, fault, &[start], asked),
        Of::Explanation(at) => {
            let own = &explanations[at];
            let (belief, faults) = (own.belief.clone(), own.faults.clone());
            estimator.explain(asked, belief, &own.unknowns, faults, own.odds)
        }
    }
}

/// Logarithm of the chance of a value that an explanation takes for wrong.
fn chance_of(
    estimator: &Estimator<'_>,
    own: &Observation,
    by: &Explanation,
    wild: &Wild,
) -> Option<f64> {
    let fit = by.fit.as_ref()?;
    let middle = estimator.forward.value(&fit.guess, own.state, own.measured)?;
    let slopes =
        estimator.forward.rows(&fit.guess, &questions(std::slice::from_ref(own)))?.pop()?;
    let spread = (fit.variance_of(&slopes, &by.belief.spread) + variance(own)).sqrt();
    Some(wild.log_chance(own.value, middle, spread))
}

/// What is worth fitting without a reading, the likeliest first.
fn doubts(
    estimator: &Estimator<'_>,
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
        let weight = own.weight - estimator.prior.still_sound(fit, &own.belief, &own.faults);
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
    doubts.sort_by(|a, b| units::larger_first(a.weight, b.weight));
    keep_few(&mut doubts, estimator, explanations, observations.len());
    doubts
}

/// Of doubts, the likeliest first, only few of one reading, of few readings, and none twice.
fn keep_few(
    doubts: &mut Vec<Doubt>,
    estimator: &Estimator<'_>,
    explanations: &[Explanation],
    readings: usize,
) {
    let mut of_each = vec![0; readings];
    let mut seen: Vec<(usize, Vec<SuspectKind>)> = Vec::new();
    doubts.retain(|own| {
        let faults = match own.of {
            Of::Fault(fault, _) => estimator.prior.faults[fault].beside(&estimator.prior.as_filed),
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
}
