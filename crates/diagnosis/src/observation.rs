//! Readings as numbers with a standard uncertainty.

use model::{Measured, Reading, StateId, Told, Vehicle};

use crate::judged;

/// What a reading says, as a value and its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// The reading's number.
    pub number: u32,
    /// The state it was taken in.
    pub state: StateId,
    /// What was measured: volts or amperes.
    pub measured: Measured,
    /// Value, in volts or amperes.
    pub value: f64,
    /// Standard uncertainty, in the same unit.
    pub sigma: f64,
}

/// The sign that turns a value of one into a value of the other, where both are of the same thing;
/// leads that changed places only turn it.
#[must_use]
pub fn alike(one: Measured, other: Measured) -> Option<f64> {
    match (one, other) {
        _ if one == other => Some(1.0),
        (Measured::Volts { high, low }, Measured::Volts { high: red, low: black })
            if high == black && low == red =>
        {
            Some(-1.0)
        }
        _ => None,
    }
}

/// A promised interval without a distribution is taken as rectangular: u = a/√3 (GUM 4.3.7).
#[must_use]
pub fn standard_uncertainty_of_limit(limit: f64) -> f64 {
    limit / 3.0_f64.sqrt()
}

/// Every reading that is a voltage or a current in a known state, as an observation.
///
/// Ohms, jump leads and pushes are no numbers of the network under load; they count otherwise. What
/// cannot be ([`Vehicle::rules_out`]) is left out.
///
/// Beyond some dozens, readings of the same thing in the same state count together, as their
/// weighted mean, under the number of the first; beyond some hundreds the rest does not count ([`crowded`] says how many).
#[must_use]
pub fn observations(vehicle: &Vehicle, readings: &[Reading]) -> Vec<Observation> {
    let all = each(vehicle, readings);
    if all.len() > MOST_APART { together(all) } else { all }
}

/// How many of the readings are counted together with another of the same thing, and how many do not
/// count at all because so many different ones came before them.
#[must_use]
pub fn crowded(vehicle: &Vehicle, readings: &[Reading]) -> Crowded {
    let all = each(vehicle, readings);
    let seen = all.iter().map(|own| (own.state, own.measured)).collect::<Vec<_>>();
    let mut crowded = Crowded::default();
    if all.len() <= MOST_APART {
        return crowded;
    }
    let mut different = Vec::new();
    for own in seen {
        let same =
            |known: &(StateId, Measured)| known.0 == own.0 && alike(known.1, own.1).is_some();
        if different.iter().any(same) {
            crowded.together += 1;
        } else if different.len() < MOST {
            different.push(own);
        } else {
            crowded.left_out += 1;
        }
    }
    crowded
}

/// Readings too many to be weighed one by one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Crowded {
    /// Counted in the mean of what was measured before in the same place and state.
    pub together: usize,
    /// Kept and shown, but not weighed.
    pub left_out: usize,
}

/// Up to so many readings each counts for itself, so that one of two can be called wrong.
const MOST_APART: usize = 48;
/// More different readings than this would take minutes and say nothing new.
const MOST: usize = 160;

fn together(all: Vec<Observation>) -> Vec<Observation> {
    let mut groups: Vec<Vec<Observation>> = Vec::new();
    for own in all {
        let known = groups
            .iter()
            .enumerate()
            .filter(|(_, group)| group[0].state == own.state)
            .find_map(|(at, group)| Some((at, alike(own.measured, group[0].measured)?)));
        match known {
            Some((at, sign)) => groups[at].push(Observation { value: sign * own.value, ..own }),
            None if groups.len() < MOST => groups.push(vec![own]),
            None => {}
        }
    }
    groups
        .into_iter()
        .map(|group| {
            let weights: f64 = group.iter().map(|own| 1.0 / (own.sigma * own.sigma)).sum();
            let mean =
                group.iter().map(|own| own.value / (own.sigma * own.sigma)).sum::<f64>() / weights;
            // One meter's error does not shrink by repeating; scatter beyond it widens the mean.
            let number = f64::from(u32::try_from(group.len()).unwrap_or(u32::MAX));
            let scatter =
                (group.iter().map(|own| (own.value - mean).powi(2)).sum::<f64>() / number).sqrt();
            let own = group.iter().map(|own| own.sigma).fold(f64::MAX, f64::min);
            Observation { value: mean, sigma: own.hypot(scatter), ..group[0] }
        })
        .collect()
}

/// The number that was told, the middle of two; nothing where none was.
pub(crate) fn middle(told: Told) -> Option<f64> {
    match told {
        Told::Value(value)
        | Told::About(value)
        | Told::Held(value)
        | Told::AtLeast(value)
        | Told::Gauge(value) => Some(value),
        Told::Between(low, high) => Some(f64::midpoint(low, high)),
        Told::Nothing => Some(0.0),
        Told::Change(_) => None,
    }
}

fn each(vehicle: &Vehicle, readings: &[Reading]) -> Vec<Observation> {
    let possible = readings.iter().filter(|reading| {
        matches!(reading.measured, Measured::Volts { .. } | Measured::Amps { .. })
            && vehicle.rules_out(reading).is_none()
    });
    let observation = |reading: &Reading| {
        let (number, measured) = (reading.number, reading.measured);
        let (value, sigma) = told(reading)?;
        Some(Observation { number, state: reading.state?, measured, value, sigma })
    };
    possible.filter_map(observation).collect()
}

/// The value that was told, with its standard uncertainty; nothing where none was.
fn told(reading: &Reading) -> Option<(f64, f64)> {
    let judged = judged::readings();
    let meter = |value: f64| standard_uncertainty_of_limit(reading.accuracy.limit(value));
    Some(match reading.told {
        Told::Value(value) => (value, meter(value)),
        Told::Between(low, high) => {
            let middle = f64::midpoint(low, high);
            let between = standard_uncertainty_of_limit((high - low).abs() / 2.0);
            (middle, meter(middle).hypot(between))
        }
        Told::About(value) => (value, meter(value).hypot(judged.about.0 * value.abs())),
        Told::Nothing => (0.0, meter(0.0).hypot(judged.nothing.0)),
        Told::Held(value) => (value, meter(value).hypot(judged.held.0 * value.abs())),
        // Anything from there to what such a meter is still chosen for.
        Told::AtLeast(value) => {
            let above = (judged.most_above_times.0 - 1.0) * value.abs() / 2.0;
            let middle = value + above.copysign(value);
            (middle, meter(middle).hypot(standard_uncertainty_of_limit(above)))
        }
        Told::Gauge(value) => (value, judged.gauge.0),
        Told::Change(_) => return None,
    })
}
