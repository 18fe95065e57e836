//! A reading at the coil that switches a load on: what it tells, and whether to take it.

use model::{BatteryId, Measured, Probe};

use super::{Account, Heard, Symptom};
use crate::estimator::Estimator;
use crate::hypothesis::is_metal;
use crate::judged;
use crate::observation::Observation;
use crate::proposal::Proposal;
use crate::suspect::SuspectKind;

/// The reading at the coil, when it would tell a dead load from one that is not switched on.
pub(super) fn coil_reading(
    estimator: &Estimator<'_>,
    account: &Account,
    observations: &[Observation],
    heard: Heard,
) -> Option<Proposal> {
    let load = heard.load?;
    let coil = estimator.vehicle().load(load).control?;
    if heard.symptom != Symptom::NoCrank
        || observations.iter().any(|own| at_coil(estimator, own, heard))
    {
        return None;
    }
    let dead = account.diagnosis.suspects.iter();
    let dead = dead
        .filter(|own| own.kind == SuspectKind::LoadOpen(load))
        .map(|own| own.probability)
        .sum::<f64>();
    let gain = told_by_coil(dead * account.control.0);
    let coil = estimator.vehicle().load(coil);
    let (high, low) = (Probe::Point(coil.positive), Probe::Point(coil.negative));
    let measured = Measured::Volts { high, low };
    let (asked, time) = ((heard.state, measured), judged::readings().coil_reading);
    Some(Proposal::of(&estimator.forward, asked, time, gain.max(0.0), Vec::new()))
}

/// What a reading at the coil tells of whether the control is at fault, when it is with this chance: it
/// errs as rarely as is judged.
fn told_by_coil(control: f64) -> f64 {
    let entropy = |p: f64| {
        if p <= 0.0 || p >= 1.0 { 0.0 } else { -p * p.ln() - (1.0 - p) * (1.0 - p).ln() }
    };
    let own = judged::symptoms();
    let (faulty, sound) = (own.volts_all_the_same.0, own.volts_as_it_should.0);
    let high = control * faulty + (1.0 - control) * sound;
    entropy(high) - control * entropy(faulty) - (1.0 - control) * entropy(sound)
}

/// True for a voltage between the terminals of the coil that switches the load on, or between
/// its live one and the metal.
pub(super) fn at_coil(estimator: &Estimator<'_>, own: &Observation, heard: Heard) -> bool {
    let vehicle = estimator.vehicle();
    let Some(coil) = heard.load.and_then(|load| vehicle.load(load).control) else {
        return false;
    };
    let Measured::Volts { high, low } = own.measured else { return false };
    let (live, back) = vehicle.load_terminals(coil);
    let ends = [high, low];
    own.state == heard.state
        && ends.contains(&Probe::Point(live))
        && ends.iter().any(|end| match end {
            Probe::Point(id) => {
                *id == back
                    || is_metal(vehicle, *id)
                    || (0..vehicle.batteries.len())
                        .any(|at| vehicle.battery_terminals(BatteryId::at(at)).1 == *id)
            }
            Probe::Lug(_) | Probe::Strand(_) => false,
        })
}

/// How likely a reading at the coil is when control is at fault, and when it is not.
pub(super) fn likely_at_coil(
    estimator: &Estimator<'_>,
    reading: Option<&Observation>,
) -> (f64, f64) {
    let Some(reading) = reading else { return (1.0, 1.0) };
    let has = has_volts(estimator, reading.value);
    let mixed = |when: f64| has * when + (1.0 - has) * (1.0 - when);
    let own = judged::symptoms();
    (mixed(own.volts_all_the_same.0), mixed(own.volts_as_it_should.0))
}

/// How surely these volts are enough for a coil.
fn has_volts(estimator: &Estimator<'_>, volts: f64) -> f64 {
    let share = volts.abs() / estimator.vehicle().nominal.0;
    let own = judged::symptoms();
    1.0 / (1.0 + (-(share - own.pulls_in.0) / own.pulls_in_sharpness.0).exp())
}
