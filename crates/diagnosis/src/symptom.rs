//! What a person says is wrong, as evidence: how likely each explanation would make them say it.
//!
//! A complaint about one load that gets too little is part of [`Session::diagnose`](crate::Session::diagnose). People say other
//! things too, and say them of vehicles that nobody has measured or drawn; here the explanations are
//! weighed once more by how well they account for what is said.

use model::{LoadId, Measured, Probe, StateId};
use units::{Ratio, Volts};

use crate::conclude::{conclude, diagnose};
use crate::diagnose::Diagnosis;
use crate::estimator::Estimator;
use crate::explanation::{Explanation, normalise};
use crate::forward::Guess;
use crate::holding::Holding;
use crate::hypothesis::Hypothesis;
use crate::next_reading::next_held;
use crate::observation::Observation;
use crate::practice::Practice;
use crate::proposal::Proposal;
use crate::side::{Map, NOT_SWITCHED_ON, Side, side_measured};
use crate::sides::Sides;
use crate::suspect::{Complaint, SuspectKind};
use crate::taught::above_taught;

/// What is wrong, in the words of whoever drives it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symptom {
    /// The starter turns the engine slowly.
    SlowCrank,
    /// The starter does not turn: nothing, or a click.
    NoCrank,
    /// A lamp is dim or flickers, an accessory is weak.
    Weak,
    /// The battery is not charged.
    NotCharging,
    /// Gauges or modules misbehave when something comes on.
    Disturbed,
    /// Something gets hot.
    Hot,
}

/// A symptom with its load and the state in which it shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heard {
    /// What is said.
    pub symptom: Symptom,
    /// The load that it is about; nothing when it is about the whole vehicle.
    pub load: Option<LoadId>,
    /// When it shows.
    pub state: StateId,
}

/// Chance that somebody says so of a circuit that gives no reason for it: stiff oil, a wrong guess.
const GROUNDLESS: f64 = 0.005;
/// A starter that is not switched on at all does not turn slowly.
const IMPOSSIBLE: f64 = 0.000_5;

/// Volts of 12 that half of people would notice, and how sharply (our judgement).
fn noticed(symptom: Symptom) -> (f64, f64) {
    match symptom {
        Symptom::SlowCrank => (0.4, 0.08),
        // Below some 7 V a solenoid drops out or a starter no longer turns an engine.
        Symptom::NoCrank => (2.0, 0.5),
        Symptom::Weak => (0.5, 0.15),
        Symptom::NotCharging => (0.4, 0.1),
        Symptom::Disturbed | Symptom::Hot => (0.1, 0.03),
    }
}

/// From this chance of being wrong on nothing is said from a reading until it is taken again: it is more
/// likely wrong than right.
const MORE_LIKELY_WRONG: f64 = 0.5;

/// Worn starters and stiff engines against any motor that drags (our judgement).
const STARTERS_WEAR: f64 = 4.0;

/// Places and weights of a normal distribution's five-point sum (Gauss–Hermite).
const FIVE: [(f64, f64); 5] = [
    (-2.856_97, 0.011_257),
    (-1.355_63, 0.222_076),
    (0.0, 0.533_333),
    (1.355_63, 0.222_076),
    (2.856_97, 0.011_257),
];

/// The share of the nominal voltage at which a coil surely pulls in, and how sharply (common practice).
const PULLS_IN: (f64, f64) = (0.6, 0.04);
/// Chance that the coil's terminal has its volts when the control is at fault, and when it is not.
const VOLTS_ALL_THE_SAME: f64 = 0.05;
const VOLTS_AS_IT_SHOULD: f64 = 0.97;
/// Minutes of a reading while a helper holds the key.
const CONTROL_MIN: f64 = 2.5;

/// What a symptom and readings leave.
#[derive(Debug, Clone)]
pub struct Account {
    /// Suspects and beliefs.
    pub diagnosis: Diagnosis,
    /// The five sides.
    pub sides: Sides,
    /// Share of a dead load that is one not switched on, after a reading at its coil if there is one.
    pub control: Ratio,
}

/// Weighs readings and what a person says is wrong.
///
/// A reading at the coil that switches the load on is direct evidence of its control when the
/// load does not work at all; it says nothing of the network then, in which the load is on.
///
/// A reading above the limit that is taught for it never speaks for its side: that side keeps at
/// least the chance that all other readings leave it. A file that nobody measured believes more of
/// a sound vehicle's losses than what is taught of them.
pub(crate) fn hear(
    estimator: &mut Estimator<'_>,
    observations: &[Observation],
    heard: Heard,
) -> Account {
    let account = weigh_heard(estimator, observations, heard, &[]);
    let vehicle = estimator.vehicle();
    let over = |own: &Observation| {
        above_taught(vehicle, own)
            .then(|| side_measured(vehicle, heard.load, own.measured))
            .flatten()
    };
    let mut least: Vec<(Side, Ratio)> = Vec::new();
    for side in observations.iter().filter_map(over) {
        if least.iter().any(|(known, _)| *known == side) {
            continue;
        }
        let rest: Vec<Observation> =
            observations.iter().copied().filter(|own| over(own) != Some(side)).collect();
        let without = weigh_heard(estimator, &rest, heard, &[]).sides.probability(side);
        if account.sides.probability(side) < without {
            least.push((side, without));
        }
    }
    if least.is_empty() { account } else { weigh_heard(estimator, observations, heard, &least) }
}

/// The same, with nothing said from a reading that is more likely wrong than not: the account is what
/// the others leave, and the reading stands first among those to take again. Its number and how surely
/// it is wrong come beside the account.
pub(crate) fn hear_undoubted(
    estimator: &mut Estimator<'_>,
    observations: &[Observation],
    heard: Heard,
) -> (Account, Option<(u32, Ratio)>) {
    let account = hear(estimator, observations, heard);
    let again = account.diagnosis.take_again.first().copied();
    let Some((number, chance)) = again.filter(|own| own.1 > MORE_LIKELY_WRONG) else {
        return (account, None);
    };
    if account.diagnosis.repeated.contains(&number) {
        return (account, None);
    }
    let rest: Vec<Observation> =
        observations.iter().copied().filter(|own| own.number != number).collect();
    let mut without = hear(estimator, &rest, heard);
    without.diagnosis.take_again.insert(0, (number, chance));
    (without, Some((number, Ratio(chance))))
}

/// Weighs them; each of these sides keeps at least its chance.
fn weigh_heard(
    estimator: &mut Estimator<'_>,
    observations: &[Observation],
    heard: Heard,
    least: &[(Side, Ratio)],
) -> Account {
    let (coil, rest): (Vec<Observation>, Vec<Observation>) = observations
        .iter()
        .copied()
        .partition(|own| heard.symptom == Symptom::NoCrank && at_coil(estimator, own, heard));
    let diagnosis = diagnose(estimator, &rest, None);
    let faults = estimator.prior.faults.clone();
    let coil = coil.last().map(|own| has_volts(estimator, own.value));
    // How likely the coil's reading is when control is at fault, and when it is not.
    let (faulty, sound) = coil.map_or((1.0, 1.0), |has| {
        let mixed = |when: f64| has * when + (1.0 - has) * (1.0 - when);
        (mixed(VOLTS_ALL_THE_SAME), mixed(VOLTS_AS_IT_SHOULD))
    });
    let share = NOT_SWITCHED_ON.0;
    let open = share * faulty + (1.0 - share) * sound;
    let mut explanations = diagnosis.explanations;
    for own in &mut explanations {
        let chance = chance(estimator, own, heard, &faults);
        let unseen = |kind: &SuspectKind| match kind {
            SuspectKind::Open(id) => estimator.vehicle().conductor(*id).missing.is_some(),
            _ => false,
        };
        let alone = !own.faults.is_empty() && own.faults.iter().all(unseen);
        own.idle = alone && chance < 2.0 * GROUNDLESS;
        let is_open =
            heard.load.is_some_and(|load| own.faults.contains(&SuspectKind::LoadOpen(load)));
        // With a control, loads not switched on come beside dead ones.
        let controlled =
            heard.load.is_some_and(|id| estimator.vehicle().load(id).control.is_some());
        let drags =
            heard.load.is_some_and(|load| own.faults.contains(&SuspectKind::LoadDrags(load)));
        let more = match heard.symptom {
            Symptom::NoCrank if is_open && controlled => 1.0 / (1.0 - share),
            Symptom::SlowCrank if drags => STARTERS_WEAR,
            _ => 1.0,
        };
        let evidence = if is_open { open } else { sound };
        own.weight = own.weight.max(1e-300).ln() + (chance * more * evidence).ln();
    }
    normalise(&mut explanations);
    let control = Ratio(share * faulty / open);
    for (side, least) in least {
        keep(&Map::new(estimator.vehicle(), heard.load), &mut explanations, control, *side, *least);
    }
    let diagnosis = conclude(&estimator.forward, &estimator.prior, &rest, explanations);
    let sides = Sides::of(estimator.vehicle(), &diagnosis, heard.load, control);
    Account { diagnosis, sides, control }
}

/// The readings that split best what is left, best first, the coil's among them.
pub(crate) fn split(
    estimator: &mut Estimator<'_>,
    practice: &Practice,
    account: &Account,
    observations: &[Observation],
    heard: Heard,
) -> Vec<Proposal> {
    let complaint = heard.load.map(|load| Complaint { load, state: heard.state });
    let mut holding = Holding::of(estimator.vehicle(), complaint, observations);
    // A battery that is not charged shows so while something charges, and at no other time.
    if heard.symptom == Symptom::NotCharging {
        holding = holding.showing(heard.state);
    }
    let mut proposals =
        next_held(estimator, practice, &account.diagnosis, observations, complaint, &holding);
    let rate = |own: &Proposal| own.gain / own.time.0;
    proposals.extend(coil_reading(estimator, account, observations, heard));
    proposals.sort_by(|a, b| rate(b).total_cmp(&rate(a)));
    proposals
}

/// The reading at the coil, when it would tell a dead load from one that is not switched on.
fn coil_reading(
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
    let entropy = |p: f64| {
        if p <= 0.0 || p >= 1.0 { 0.0 } else { -p * p.ln() - (1.0 - p) * (1.0 - p).ln() }
    };
    // Before: is it the control? After: a reading that errs as rarely as assumed.
    let control = dead * account.control.0;
    let high = control * VOLTS_ALL_THE_SAME + (1.0 - control) * VOLTS_AS_IT_SHOULD;
    let gain = entropy(high)
        - control * entropy(VOLTS_ALL_THE_SAME)
        - (1.0 - control) * entropy(VOLTS_AS_IT_SHOULD);
    let (positive, negative) =
        (estimator.vehicle().load(coil).positive, estimator.vehicle().load(coil).negative);
    let measured = Measured::Volts { high: Probe::Point(positive), low: Probe::Point(negative) };
    let proposal = Proposal {
        state: heard.state,
        why: None,
        measured,
        towards: None,
        time: units::Seconds(60.0 * CONTROL_MIN),
        gain: gain.max(0.0),
        sound: estimator.forward.sound_value(heard.state, measured).unwrap_or(f64::NAN),
        outcomes: Vec::new(),
    };
    Some(proposal.upright(estimator.vehicle()))
}

/// True for a voltage between the terminals of the coil that switches the load on, or between
/// its live one and the metal.
fn at_coil(estimator: &Estimator<'_>, own: &Observation, heard: Heard) -> bool {
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
                    || crate::hypothesis::is_metal(vehicle, *id)
                    || (0..vehicle.batteries.len())
                        .any(|at| vehicle.battery_terminals(model::BatteryId::at(at)).1 == *id)
            }
            Probe::Lug(_) => false,
        })
}

/// How surely these volts are enough for a coil.
fn has_volts(estimator: &Estimator<'_>, volts: f64) -> f64 {
    let share = volts.abs() / estimator.vehicle().nominal.0;
    1.0 / (1.0 + (-(share - PULLS_IN.0) / PULLS_IN.1).exp())
}

/// Chance that somebody says this when the explanation holds.
fn chance(
    estimator: &mut Estimator<'_>,
    own: &Explanation,
    heard: Heard,
    faults: &[Hypothesis],
) -> f64 {
    if own.faults.is_empty() {
        return GROUNDLESS;
    }
    let stated = own.faults.iter().filter_map(|kind| by_kind(*kind, heard));
    if let Some(chance) = stated.max_by(f64::total_cmp) {
        return chance;
    }
    // A trifling explanation is not worth solving the network for.
    if own.weight < 1e-9 {
        return GROUNDLESS;
    }
    let fault = match own.faults.as_slice() {
        [only] => faults.iter().find(|fault| fault.kind == *only && !fault.mends),
        _ => None,
    };
    // The same vehicle without the fault: only what the fault costs accounts for the symptom.
    let mut mended = own.unknowns.clone();
    for fault in faults.iter().filter(|fault| own.faults.contains(&fault.kind)) {
        mended[fault.at] = estimator.prior.mended(fault.kind, fault.at);
    }
    let Some(mended) = estimator.forward.guess(&mended, &[], &[heard.state], None) else {
        return GROUNDLESS;
    };
    let mut total = 0.0;
    match fault {
        Some(fault) => {
            let spread = own.belief.spread[fault.at];
            let spread = own.fit.as_ref().map_or(spread, |fit| fit.spread_of(fault.at, spread));
            for (z, weight) in FIVE {
                let mut unknowns = own.unknowns.clone();
                unknowns[fault.at] += z * spread;
                total += weight * said_of(estimator, &unknowns, own, heard, &mended);
            }
        }
        None => total = said_of(estimator, &own.unknowns, own, heard, &mended),
    }
    GROUNDLESS + (1.0 - GROUNDLESS) * total
}

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
    let between = |guess: &Guess, high: model::PointId, low: model::PointId| {
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
            let (_, post) = vehicle.battery_terminals(model::BatteryId::at(0));
            let lifted = between(guess, back, post)?.abs() - between(mended, back, post)?.abs();
            let less = at_load(mended, load)? - at_load(guess, load)?;
            // Less supply disturbs too, though a module bears more of that.
            Some(Volts(lifted.max(0.2 * less)))
        }
        (_, Some(load)) => Some(Volts(at_load(mended, load)? - at_load(guess, load)?)),
    }
}

/// Gives a side at least so much of the weight, and changes nothing else: explanations on the side keep
/// their weights to one another, and so do the others.
fn keep(
    map: &Map<'_>,
    explanations: &mut [Explanation],
    control: Ratio,
    side: Side,
    Ratio(least): Ratio,
) {
    let share = |own: &Explanation| {
        if own.idle { 0.0 } else { map.touched(&own.faults, control).0[side as usize] }
    };
    let now: f64 = explanations.iter().map(|own| own.weight * share(own)).sum();
    if now <= 0.0 || now >= least || least >= 1.0 {
        return;
    }
    let times = least / now;
    let others = (1.0 - least) / (1.0 - now);
    for own in explanations {
        let on = share(own);
        own.weight *= on * times + (1.0 - on) * others;
    }
}

/// Where what is at fault says enough by itself.
fn by_kind(kind: SuspectKind, heard: Heard) -> Option<f64> {
    let own = |load: LoadId| heard.load == Some(load);
    match (heard.symptom, kind) {
        (Symptom::SlowCrank, SuspectKind::LoadDrags(load)) if own(load) => Some(1.0),
        (Symptom::SlowCrank, SuspectKind::LoadOpen(load)) if own(load) => Some(IMPOSSIBLE),
        (Symptom::NoCrank, SuspectKind::LoadOpen(load)) if own(load) => Some(1.0),
        // An engine or a starter that sticks: a click, and all the current there is.
        (Symptom::NoCrank, SuspectKind::LoadDrags(load)) if own(load) => Some(0.5),
        // A flat battery is believed to be low by a volt or so, which alone would still turn it.
        (Symptom::NoCrank, SuspectKind::BatteryLow(_)) => Some(0.5),
        (Symptom::Weak, SuspectKind::LoadOpen(load)) if own(load) => Some(0.3),
        (
            Symptom::Hot,
            SuspectKind::Joint(_) | SuspectKind::Conductor(_) | SuspectKind::Inline(_),
        ) => Some(1.0),
        // Where the usual way is gone the current takes another one, and warms it.
        (Symptom::Hot, SuspectKind::Open(_) | SuspectKind::LoadDrags(_)) => Some(0.5),
        (Symptom::Hot, _) => Some(GROUNDLESS),
        _ => None,
    }
}
