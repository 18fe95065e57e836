//! What a person says is wrong, as evidence: how likely each explanation would make them say it.
//!
//! A complaint about one load that gets too little is part of [`Session::diagnose`](crate::Session::diagnose). People say other
//! things too, and say them of vehicles that nobody has measured or drawn; here the explanations are
//! weighed once more by how well they account for what is said.

mod coil;
mod said;

use std::collections::BTreeMap;

use model::{BatteryId, LoadId, PointId, Probe, StateId, Vehicle};
use units::Ratio;

use crate::conclude::conclude;
use crate::diagnose::Diagnosis;
use crate::explanation::{Explanation, normalise};
use crate::holding::Holding;
use crate::judged;
use crate::next_reading::next_held;
use crate::observation::Observation;
use crate::proposal::{Proposal, as_much};
use crate::session::Session;
use crate::side::{Map, Side, not_switched_on, side_measured};
use crate::sides::Sides;
use crate::sight;
use crate::suspect::{Complaint, SuspectKind};
use crate::taught::above_taught;
use coil::{at_coil, coil_reading, likely_at_coil};
use said::chance;

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

impl Session<'_> {
    /// Weighs readings and what a person says is wrong.
    ///
    /// A reading at the coil that switches the load on is direct evidence of its control when the
    /// load does not work at all; it says nothing of the network then, in which the load is on.
    ///
    /// A reading above the limit that is taught for it never speaks for its side: that side keeps at
    /// least the chance that all other readings leave it. A file that nobody measured believes more of
    /// a sound vehicle's losses than what is taught of them.
    #[must_use]
    pub fn hear(&mut self, observations: &[Observation], heard: Heard) -> Account {
        let account = self.weigh_heard(observations, heard, &[]);
        let vehicle = self.vehicle();
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
            let without = self.weigh_heard(&rest, heard, &[]).sides.probability(side);
            if account.sides.probability(side) < without {
                least.push((side, without));
            }
        }
        if least.is_empty() { account } else { self.weigh_heard(observations, heard, &least) }
    }

    /// The same, with nothing said from a reading that is more likely wrong than not: the account is what
    /// the others leave, and the reading stands first among those to take again. Its number and how surely
    /// it is wrong come beside the account.
    #[must_use]
    pub fn hear_undoubted(
        &mut self,
        observations: &[Observation],
        heard: Heard,
    ) -> (Account, Option<(u32, Ratio)>) {
        let account = self.hear(observations, heard);
        let again = account.diagnosis.take_again.first().copied();
        let from = judged::verdicts().more_likely_wrong.0;
        let Some((number, chance)) = again.filter(|own| own.1 > from) else {
            return (account, None);
        };
        if account.diagnosis.repeated.contains(&number) {
            return (account, None);
        }
        let rest: Vec<Observation> =
            observations.iter().copied().filter(|own| own.number != number).collect();
        let mut without = self.hear(&rest, heard);
        without.diagnosis.take_again.insert(0, (number, chance));
        (without, Some((number, Ratio(chance))))
    }

    /// Weighs them; each of these sides keeps at least its chance.
    fn weigh_heard(
        &mut self,
        observations: &[Observation],
        heard: Heard,
        least: &[(Side, Ratio)],
    ) -> Account {
        let is_at_coil = |own: &Observation| {
            heard.symptom == Symptom::NoCrank && at_coil(&self.estimator, own, heard)
        };
        let (coil, rest): (Vec<_>, Vec<_>) = observations.iter().copied().partition(is_at_coil);
        let diagnosis = self.diagnose(&rest, None);
        let estimator = &mut self.estimator;
        let faults = estimator.prior.faults.clone();
        let (faulty, sound) = likely_at_coil(estimator, coil.last());
        let share = not_switched_on().0;
        // What was tried on the load tells one that is not switched on from a dead one.
        let tried = heard.load.map_or((1.0, 1.0), |load| estimator.hearsay.of_control(load));
        let (faulty, dead) = (faulty * tried.0, sound * tried.1);
        let open = share * faulty + (1.0 - share) * dead;
        let mut explanations = diagnosis.explanations;
        let mut found = BTreeMap::new();
        // What was found comes before what stands by.
        explanations.sort_by_key(|own| own.bystander.is_some());
        for own in &mut explanations {
            let chance = chance(estimator, own, heard, &faults);
            let without: f64 = found.get(&own.found()).copied().unwrap_or(chance);
            match &mut own.bystander {
                Some(own) => own.guilt = (1.0 - without / chance).max(0.0),
                None => _ = found.insert(own.faults.clone(), chance),
            }
            own.idle = is_idle(estimator.vehicle(), own, chance);
            let evidence = if is_open(own, heard) { open } else { sound };
            let more = more_likely(estimator.vehicle(), own, heard);
            own.weight = own.weight.max(1e-300).ln() + (chance * more * evidence).ln();
        }
        normalise(&mut explanations);
        let control = Ratio(share * faulty / open);
        let map = Map::new(estimator.vehicle(), heard.load);
        for (side, least) in least {
            keep(&map, &mut explanations, control, *side, *least);
        }
        if observations.is_empty() && estimator.hearsay.has_seen() {
            sight::at_most(&map, &mut explanations, control);
        }
        let diagnosis = conclude(&estimator.forward, &estimator.prior, &rest, explanations);
        let sides = Sides::of(estimator.vehicle(), &diagnosis, heard.load, control);
        Account { diagnosis, sides, control }
    }
}

/// True for an explanation by nothing but conductors that nobody has seen, which hardly accounts for what
/// is said.
fn is_idle(vehicle: &Vehicle, own: &Explanation, chance: f64) -> bool {
    let judged = judged::symptoms();
    let unseen = |kind: &SuspectKind| match kind {
        SuspectKind::Open(id) => vehicle.conductor(*id).missing.is_some(),
        _ => false,
    };
    let alone = !own.faults.is_empty() && own.faults.iter().all(unseen);
    alone && chance < judged.idle_groundless_times.0 * judged.groundless.0
}

/// True when the load itself is open in an explanation.
fn is_open(own: &Explanation, heard: Heard) -> bool {
    heard.load.is_some_and(|load| own.faults.contains(&SuspectKind::LoadOpen(load)))
}

/// How much more likely an explanation is for a starter than for any load.
fn more_likely(vehicle: &Vehicle, own: &Explanation, heard: Heard) -> f64 {
    // With a control, loads not switched on come beside dead ones.
    let controlled = heard.load.is_some_and(|id| vehicle.load(id).control.is_some());
    let drags = heard.load.is_some_and(|load| own.faults.contains(&SuspectKind::LoadDrags(load)));
    match heard.symptom {
        Symptom::NoCrank if is_open(own, heard) && controlled => 1.0 / (1.0 - not_switched_on().0),
        Symptom::SlowCrank if drags => judged::symptoms().starters_wear_times.0,
        _ => 1.0,
    }
}

impl Session<'_> {
    /// The readings that split best what is left, best first, the coil's among them.
    #[must_use]
    pub fn split(
        &mut self,
        account: &Account,
        observations: &[Observation],
        heard: Heard,
    ) -> Vec<Proposal> {
        let Self { estimator, practice } = self;
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
        proposals.sort_by(|a, b| units::larger_first(rate(a), rate(b)));
        // Where they tell as much, a person goes to the battery's posts and the load's terminals.
        let enough = as_much() * proposals.first().map_or(0.0, rate);
        let plain =
            |own: &Proposal| rate(own) >= enough && is_plain(estimator.vehicle(), own, heard);
        if let Some(at) = proposals.iter().position(plain) {
            let own = proposals.remove(at);
            proposals.insert(0, own);
        }
        proposals
    }
}

/// True for a reading between posts of batteries and terminals of the load that is complained of.
fn is_plain(vehicle: &Vehicle, own: &Proposal, heard: Heard) -> bool {
    let posts = (0..vehicle.batteries.len()).map(|at| vehicle.battery_terminals(BatteryId::at(at)));
    let ends = heard.load.map(|load| vehicle.load_terminals(load));
    let plain: Vec<PointId> = posts.chain(ends).flat_map(|(a, b)| [a, b]).collect();
    let is_point = |probe: Probe| matches!(probe, Probe::Point(id) if plain.contains(&id));
    own.measured.probes().is_some_and(|probes| probes.into_iter().all(is_point))
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
    let share = |own: &Explanation| map.touched_by(own, control).0[side as usize];
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
