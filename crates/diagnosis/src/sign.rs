//! Signs that nobody wrote down, and values that cannot be: settled before anything is weighed.
//!
//! Whoever reads 147 mV off a meter that shows −147 mV often writes no minus, and which way round the
//! leads were is a matter of chance. Taken at its word such a reading accuses whatever might turn a
//! current round. So a value that was told without a sign is held against what a sound vehicle shows:
//! where it fits with the minus and not without it, it is taken so, and the person is asked. Where it
//! fits neither way, everything is weighed with the sign and without it, and the clearer one is taken.

use model::{BatteryId, Impossible, Measured, Reading, StateId, Told};

use crate::estimator::Estimator;
use crate::fit::variance;
use crate::forward::{Forward, states_of};
use crate::judged;
use crate::observation::{Observation, observations};
use crate::search;
use crate::session::Session;
use crate::suspect::Complaint;

/// What is asked about a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// More than the sources of the vehicle give; the most. Not weighed.
    Beyond(f64),
    /// More than the batteries alone give, in a state in which nothing else does; the most. Not weighed.
    BeyondBatteries(f64),
    /// A minus over a battery whose plus was named. Not weighed.
    Reversed(BatteryId),
    /// A minus where a supply's plus was named. Not weighed.
    Crossed,
    /// A minus where a sound vehicle shows a plus, and nothing else speaks for it. Not weighed.
    Against,
    /// Told without a sign, and weighed as if the meter had shown a minus.
    Minus,
    /// Told without a sign, which would decide. Not weighed.
    Either,
}

impl Doubt {
    /// True when the reading counts all the same.
    #[must_use]
    pub fn is_weighed(self) -> bool {
        self == Self::Minus
    }
}

/// A reading about which a person has to be asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// The reading's number.
    pub number: u32,
    /// The state it was taken in.
    pub state: StateId,
    /// What was measured.
    pub measured: Measured,
    /// The value as it was told, in volts or amperes.
    pub value: f64,
    /// What a sound vehicle would show; not a number where nothing holds the places together.
    pub sound: f64,
    /// What is in doubt.
    pub doubt: Doubt,
}

/// Readings as they are to be weighed, and what has to be asked about them.
#[derive(Debug, Clone, Default)]
pub struct Heeded {
    /// What counts.
    pub seen: Vec<Observation>,
    /// What is asked, in the order of the readings.
    pub questions: Vec<Question>,
}

/// What becomes of one reading.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Fate {
    AsTold,
    Turned,
    Open,
    /// Told with a minus where a sound vehicle shows a plus.
    Against,
    Left(Doubt),
}

/// Volts or amperes below which what a sound vehicle shows is the arithmetic's and has no sign.
const NOTHING: f64 = 1e-6;

/// What a sound vehicle would show, in volts or amperes; nothing where nothing holds the places
/// together.
fn sound_shows(forward: &Forward<'_>, state: StateId, measured: Measured) -> Option<f64> {
    forward.sound_value(state, measured).filter(|value| !value.is_nan())
}

impl Session<'_> {
    /// What a sound vehicle would show, in volts or amperes; nothing where nothing holds the places
    /// together.
    #[must_use]
    pub fn sound_shows(&self, state: StateId, measured: Measured) -> Option<f64> {
        sound_shows(&self.estimator.forward, state, measured)
    }

    /// Settles signs that were not told, and leaves out what cannot be.
    #[must_use]
    pub fn heed(&mut self, readings: &[Reading], complaint: Option<Complaint>) -> Heeded {
        let estimator = &mut self.estimator;
        let spreads = spreads(estimator, readings);
        let mut fates: Vec<Fate> = readings
            .iter()
            .zip(&spreads)
            .map(|(reading, spread)| fate(estimator, reading, *spread))
            .collect();
        decide(estimator, readings, &mut fates, complaint);
        let questions = readings.iter().zip(&fates);
        let questions =
            questions.filter_map(|(own, fate)| question(estimator, own, fate)).collect();
        let kept: Vec<Reading> = readings
            .iter()
            .zip(&fates)
            .filter_map(|(reading, fate)| match fate {
                Fate::AsTold => Some(reading.clone()),
                Fate::Turned => Some(turned(reading)),
                Fate::Open | Fate::Against | Fate::Left(_) => None,
            })
            .collect();
        Heeded { seen: observations(estimator.vehicle(), &kept), questions }
    }
}

/// The standard deviation of what a sound vehicle would show to this meter, for each reading.
fn spreads(estimator: &mut Estimator<'_>, readings: &[Reading]) -> Vec<Option<f64>> {
    let vehicle = estimator.vehicle();
    let single = |own: &Reading| observations(vehicle, std::slice::from_ref(own)).pop();
    let seen: Vec<Option<Observation>> = readings.iter().map(single).collect();
    let asked: Vec<(StateId, Measured)> =
        seen.iter().flatten().map(|own| (own.state, own.measured)).collect();
    let states = states_of(&seen.iter().flatten().copied().collect::<Vec<_>>());
    let mean = estimator.prior.sound.mean.clone();
    let rows = estimator
        .forward
        .guess(&mean, &[], &states, None)
        .and_then(|guess| estimator.forward.rows(&guess, &asked));
    let Some(mut rows) = rows.map(Vec::into_iter) else { return vec![None; readings.len()] };
    let spread = |row: Vec<f64>| -> f64 {
        row.iter()
            .zip(&estimator.prior.sound.spread)
            .map(|(slope, own)| (slope * own).powi(2))
            .sum()
    };
    seen.into_iter()
        .map(|own| {
            let own = own?;
            Some((spread(rows.next()?) + variance(&own)).sqrt())
        })
        .collect()
}

fn fate(estimator: &Estimator<'_>, reading: &Reading, spread: Option<f64>) -> Fate {
    let vehicle = estimator.vehicle();
    if let Some(why) = vehicle.rules_out(reading) {
        return Fate::Left(impossible(why));
    }
    let Some(seen) = observations(vehicle, std::slice::from_ref(reading)).pop() else {
        return Fate::AsTold;
    };
    let (Some(sound), Some(spread)) =
        (sound_shows(&estimator.forward, seen.state, seen.measured), spread)
    else {
        return Fate::AsTold;
    };
    let volts = matches!(seen.measured, Measured::Volts { .. });
    let judged = judged::readings();
    let supply = volts && sound.abs() > judged.supply_from.0 * vehicle.nominal.0;
    let opposite = sound.abs() > NOTHING && seen.value * sound < 0.0;
    let most = judged.supply_minus_until.0 * vehicle.nominal.0;
    if supply && opposite && seen.value.abs() > most {
        return supply_turned_round(seen.value, reading.signed);
    }
    let fits = |value: f64| (value - sound).abs() < judged.fits_within.0 * spread;
    if reading.signed {
        // Who wrote a plus has said so; a minus that the meter cannot tell from nothing is none.
        let minus = seen.value < -judged.fits_within.0 * variance(&seen).sqrt();
        return if opposite && minus { Fate::Against } else { Fate::AsTold };
    }
    // "Less than" a value says nothing of the sign.
    let one_sided = matches!(reading.told, Told::Between(low, high) if low * high == 0.0);
    if opposite && one_sided && fits(-seen.value) {
        return Fate::Turned;
    }
    if opposite { as_it_fits(seen.value, fits) } else { Fate::AsTold }
}

fn impossible(why: Impossible) -> Doubt {
    match why {
        Impossible::Beyond(most) => Doubt::Beyond(most),
        Impossible::BeyondBatteries(most) => Doubt::BeyondBatteries(most),
        Impossible::Outside => Doubt::Crossed,
        Impossible::Reversed(battery) => Doubt::Reversed(battery),
    }
}

/// A supply with its plus where the minus should be: only a minus that nobody wrote down explains it.
fn supply_turned_round(value: f64, signed: bool) -> Fate {
    if value > 0.0 && !signed { Fate::Turned } else { Fate::Left(Doubt::Crossed) }
}

/// A value against which a sound vehicle stands, told without a sign: with the one that fits.
fn as_it_fits(value: f64, fits: impl Fn(f64) -> bool) -> Fate {
    if fits(value) {
        Fate::AsTold
    } else if fits(-value) {
        Fate::Turned
    } else {
        Fate::Open
    }
}

/// Takes the open signs as told or turned, whichever explains all readings better. Whoever leaves a
/// minus off once does so again, so that they are settled together; then those told against the
/// current.
fn decide(
    estimator: &mut Estimator<'_>,
    readings: &[Reading],
    fates: &mut [Fate],
    complaint: Option<Complaint>,
) {
    let own = judged::readings();
    let (left_off, crossed) = (own.minus_left_off.0, own.leads_crossed.0);
    let clear = own.sign_clear.0;
    if let Some(minus) = odds(estimator, readings, fates, &Fate::Open, complaint) {
        let odds = minus + left_off.ln() - (1.0 - left_off).ln();
        for fate in fates.iter_mut().filter(|fate| **fate == Fate::Open) {
            *fate = if odds > clear {
                Fate::Turned
            } else if odds < -clear {
                Fate::AsTold
            } else {
                Fate::Left(Doubt::Either)
            };
        }
    }
    if let Some(plus) = odds(estimator, readings, fates, &Fate::Against, complaint) {
        let odds = plus + crossed.ln() - (1.0 - crossed).ln();
        for fate in fates.iter_mut().filter(|fate| **fate == Fate::Against) {
            *fate = if odds < -clear { Fate::AsTold } else { Fate::Left(Doubt::Against) };
        }
    }
}

/// How much better all readings are explained with those of this fate turned than as told, in
/// logarithm; nothing without such a reading.
fn odds(
    estimator: &mut Estimator<'_>,
    readings: &[Reading],
    fates: &[Fate],
    which: &Fate,
    complaint: Option<Complaint>,
) -> Option<f64> {
    fates.iter().any(|fate| fate == which).then_some(())?;
    let mut evidence = |turn: bool| {
        let kept: Vec<Reading> = readings
            .iter()
            .zip(fates)
            .filter_map(|(reading, fate)| match fate {
                Fate::AsTold => Some(reading.clone()),
                Fate::Turned => Some(turned(reading)),
                own if own == which && turn => Some(turned(reading)),
                own if own == which => Some(reading.clone()),
                Fate::Open | Fate::Against | Fate::Left(_) => None,
            })
            .collect();
        search::evidence(estimator, &observations(estimator.vehicle(), &kept), complaint)
    };
    let told = evidence(false);
    Some(evidence(true) - told)
}

fn question(estimator: &Estimator<'_>, reading: &Reading, fate: &Fate) -> Option<Question> {
    let doubt = match fate {
        Fate::Turned => Doubt::Minus,
        Fate::Left(doubt) => *doubt,
        Fate::AsTold | Fate::Open | Fate::Against => return None,
    };
    let state = reading.state?;
    Some(Question {
        number: reading.number,
        state,
        measured: reading.measured,
        value: crate::observation::middle(reading.told)?,
        sound: estimator.forward.sound_value(state, reading.measured).unwrap_or(f64::NAN),
        doubt,
    })
}

fn turned(reading: &Reading) -> Reading {
    Reading { told: reading.told.turned(), ..reading.clone() }
}

#[cfg(test)]
mod tests;
