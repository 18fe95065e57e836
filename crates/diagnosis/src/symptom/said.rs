//! How likely an explanation makes a person say what is wrong.

use model::{BatteryId, LoadId, Measured, PointId, Probe};
use units::Volts;

use super::{Heard, Symptom};
use crate::estimator::Estimator;
use crate::explanation::Explanation;
use crate::forward::Guess;
use crate::hypothesis::Hypothesis;
use crate::judged;
use crate::mixture::FIVE;
use crate::suspect::SuspectKind;

/// Volts of 12 that half of people would notice, and how sharply.
fn noticed(symptom: Symptom) -> (f64, f64) {
    let own = judged::symptoms();
    let (half, sharply) = match symptom {
        Symptom::SlowCrank => (own.slow_crank_noticed, own.slow_crank_sharpness),
        Symptom::NoCrank => (own.no_crank_noticed, own.no_crank_sharpness),
        Symptom::Weak => (own.weak_noticed, own.weak_sharpness),
        Symptom::NotCharging => (own.not_charging_noticed, own.not_charging_sharpness),
        Symptom::Disturbed | Symptom::Hot => (own.disturbed_noticed, own.disturbed_sharpness),
    };
    (half.0, sharply.0)
}

/// The same vehicle without what is at fault in an explanation.
fn mended(estimator: &Estimator<'_>, own: &Explanation, faults: &[Hypothesis]) -> Vec<f64> {
    let mut mended = own.unknowns.clone();
    for fault in faults.iter().filter(|fault| own.faults.contains(&fault.kind)) {
        mended[fault.at] = estimator.prior.mended(fault.kind, fault.at);
    }
    mended
}

/// Chance that somebody says this when the explanation holds.
pub(super) fn chance(
    estimator: &mut Estimator<'_>,
    own: &Explanation,
    heard: Heard,
    faults: &[Hypothesis],
) -> f64 {
    let groundless = judged::symptoms().groundless.0;
    if own.faults.is_empty() {
        return groundless;
    }
    // Where it was told what gets hot, a way home that nobody would miss gives no reason for it.
    let vehicle = estimator.vehicle();
    let unseen = |kind: &SuspectKind| matches!(kind, SuspectKind::Open(id) if vehicle.conductor(*id).missing.is_some());
    if heard.symptom == Symptom::Hot
        && estimator.hearsay.has_felt_heat()
        && own.faults.iter().all(unseen)
    {
        return groundless;
    }
    let stated = own.faults.iter().filter_map(|kind| by_kind(*kind, heard));
    if let Some(chance) = stated.max_by(f64::total_cmp) {
        return chance;
    }
    // A trifling explanation is not worth solving the network for.
    if own.weight < 1e-9 {
        return groundless;
    }
    let fault = match own.faults.as_slice() {
        [only] => faults.iter().find(|fault| fault.kind == *only && !fault.mends),
        _ => None,
    };
    // Only what the fault costs accounts for the symptom.
    let mended = mended(estimator, own, faults);
    let Some(mended) = estimator.forward.guess(&mended, &[], &[heard.state], None) else {
        return groundless;
    };
    let total = match fault {
        Some(fault) => said_around(estimator, own, fault, heard, &mended),
        None => said_of(estimator, &own.unknowns, own, heard, &mended),
    };
    groundless + (1.0 - groundless) * total
}

/// The same over all that one fault may be in an explanation.
fn said_around(
    estimator: &mut Estimator<'_>,
    own: &Explanation,
    fault: &Hypothesis,
    heard: Heard,
    mended: &Guess,
) -> f64 {
    let spread = own.belief.spread[fault.at];
    let spread = own.fit.as_ref().map_or(spread, |fit| fit.spread_of(fault.at, spread));
    let mut total = 0.0;
    for (z, weight) in FIVE {
        let mut unknowns = own.unknowns.clone();
        unknowns[fault.at] += z * spread;
        total += weight * said_of(estimator, &unknowns, own, heard, mended);
    }
    total
}

/// Chance that somebody says this of a vehicle like that, against the same with the fault mended.
fn said_of(
    estimator: &mut Estimator<'_>,
    unknowns: &[f64],
    own: &Explanation,
    heard: Heard,
    mended: &Guess,
) -> f64 {
    let guess = estimator.forward.guess(unknowns, &own.belief.present, &[heard.state], None);
    // A network that no longer has an operating point gives its load next to nothing.
    let Some(guess) = guess else { return 1.0 };
    let Some(lost) = lost(estimator, &guess, mended, heard) else { return 0.0 };
    let (half, sharp) = noticed(heard.symptom);
    let lost = lost.0 * 12.0 / estimator.vehicle().nominal.0;
    let noticed = |lost: f64| 1.0 / (1.0 + (-(lost - half) / sharp).exp());
    // What costs nothing accounts for nothing.
    ((noticed(lost) - noticed(0.0)) / (1.0 - noticed(0.0))).max(0.0)
}

/// What the symptom is about, in volts less than with the fault mended.
fn lost(estimator: &Estimator<'_>, guess: &Guess, mended: &Guess, heard: Heard) -> Option<Volts> {
    let vehicle = estimator.vehicle();
    let between = |guess: &Guess, high: PointId, low: PointId| {
        let measured = Measured::Volts { high: Probe::Point(high), low: Probe::Point(low) };
        estimator.forward.value(guess, heard.state, measured)
    };
    let at_load = |guess: &Guess, load: LoadId| {
        estimator.forward.load_volts(guess, heard.state, load).map(|volts| volts.0)
    };
    match (heard.symptom, heard.load) {
        (Symptom::NotCharging, _) | (_, None) => {
            let battery = vehicle.batteries.first()?;
            let posts = (battery.positive, battery.negative);
            let then = between(mended, posts.0, posts.1)?;
            Some(Volts(then - between(guess, posts.0, posts.1)?))
        }
        (Symptom::Disturbed, Some(load)) => {
            let (_, back) = vehicle.load_terminals(load);
            let (_, post) = vehicle.battery_terminals(BatteryId::at(0));
            let lifted = between(guess, back, post)?.abs() - between(mended, back, post)?.abs();
            let less = at_load(mended, load)? - at_load(guess, load)?;
            // Less supply disturbs too, though a module bears more of that.
            Some(Volts(lifted.max(judged::symptoms().disturbed_by_supply.0 * less)))
        }
        (_, Some(load)) => Some(Volts(at_load(mended, load)? - at_load(guess, load)?)),
    }
}

/// Where what is at fault says enough by itself.
fn by_kind(kind: SuspectKind, heard: Heard) -> Option<f64> {
    let own = |load: LoadId| heard.load == Some(load);
    let judged = judged::symptoms();
    match (heard.symptom, kind) {
        (Symptom::SlowCrank, SuspectKind::LoadDrags(load)) if own(load) => Some(1.0),
        (Symptom::SlowCrank, SuspectKind::LoadOpen(load)) if own(load) => Some(judged.impossible.0),
        (Symptom::NoCrank, SuspectKind::LoadOpen(load)) if own(load) => Some(1.0),
        (Symptom::NoCrank, SuspectKind::LoadDrags(load)) if own(load) => {
            Some(judged.stuck_starter_clicks.0)
        }
        (Symptom::NoCrank, SuspectKind::BatteryLow(_)) => Some(judged.low_battery_clicks.0),
        (Symptom::Weak, SuspectKind::LoadOpen(load)) if own(load) => {
            Some(judged.dead_called_weak.0)
        }
        (
            Symptom::Hot,
            SuspectKind::Joint(_) | SuspectKind::Conductor(_) | SuspectKind::Inline(_),
        ) => Some(1.0),
        (Symptom::Hot, SuspectKind::Open(_) | SuspectKind::LoadDrags(_)) => {
            Some(judged.detour_hot.0)
        }
        (Symptom::Hot, _) => Some(judged.groundless.0),
        _ => None,
    }
}
