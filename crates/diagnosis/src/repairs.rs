//! What is worth doing: each step's expected gain in volts, its chance to help, its minutes, its price.

mod candidates;
mod case;
mod consumer;
mod gained;
mod order;
mod straps;
mod work;

use model::{ConductorId, JointId, LoadId, Piece, PointId, StateId, Vehicle};
use units::{Amperes, Metres, Money, Ohms, Seconds, Volts, WireSize};

use crate::diagnose::Diagnosis;
use crate::forward::{Forward, Guess};
use crate::hypothesis::sound;
use crate::judged;
use crate::prior::stated_bad;
use crate::session::Session;
use crate::suspect::{Complaint, conductor_of};
use case::{Case, clean};
pub use consumer::{Consumer, Gain};
use gained::Gained;
use order::{cleaning_first, one_size_each};
pub use work::{price, work_time};

/// One thing that could be done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Action {
    /// Open the joint, clean the faces, tighten it with its torque, protect it.
    Clean(JointId),
    /// Clean and tighten both ends of the conductor in one go.
    CleanBoth(ConductorId),
    /// Cut the end back and fix a new lug or terminal; its joint is cleaned with it.
    ReplaceEnd(JointId),
    /// Replace the conductor with its ends by one of the same size.
    Replace(ConductorId),
    /// Replace the conductor with its ends by one of a larger size.
    Enlarge {
        /// Which.
        conductor: ConductorId,
        /// The size to fit.
        size: WireSize,
        /// Resistance of the new conductor at 20 °C, ends excluded.
        ohms: Ohms,
    },
    /// Add a conductor between two points on the earthed side.
    Add {
        /// One end.
        from: PointId,
        /// The other end.
        to: PointId,
        /// The size to fit, chosen for the current that it will carry.
        size: WireSize,
        /// Its length, as the crow flies and a third more.
        length: Metres,
        /// Its resistance with two clean lugs.
        ohms: Ohms,
        /// The largest current that it will carry in any state.
        amps: Amperes,
    },
}

impl Action {
    /// The joints that it puts right, crimps among them; none of a conductor that is added.
    pub(crate) fn joints(self, vehicle: &Vehicle) -> Vec<JointId> {
        match self {
            Self::Clean(joint) => vec![joint],
            Self::ReplaceEnd(joint) => {
                [Some(joint), vehicle.crimp_at(joint)].into_iter().flatten().collect()
            }
            Self::CleanBoth(id) => vec![vehicle.conductor(id).from, vehicle.conductor(id).to],
            Self::Replace(id) | Self::Enlarge { conductor: id, .. } => {
                vehicle.conductor(id).joints().collect()
            }
            Self::Add { .. } => Vec::new(),
        }
    }

    /// True for what mends nothing, but makes up for a vehicle that was made too small.
    pub(crate) fn is_design(self) -> bool {
        matches!(self, Self::Enlarge { .. } | Self::Add { .. })
    }
}

/// A step and what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// What to do.
    pub action: Action,
    /// The gain that matters: at the complaint's load, or the largest.
    pub best: Gain,
    /// Every gain or loss above ten millivolts, the largest gain first.
    pub gains: Vec<Gain>,
    /// Probability that it gains the load at least a third of what makes a joint bad.
    pub helps: f64,
    /// Probability that it mends something: that what it reaches is bad, or that the vehicle falls short as
    /// it was made.
    pub mends: f64,
    /// Work, access included.
    pub time: Seconds,
    /// Work and parts, in the currency of the vehicle's workshop.
    pub price: Money,
    /// Who stays below their minimum after it, with the expected voltage.
    pub still_short: Vec<(Consumer, StateId, Volts)>,
}

impl Repair {
    /// Expected gain for a minute of work.
    #[must_use]
    pub fn per_minute(&self) -> Volts {
        self.best.volts / (self.time.0 / 60.0)
    }

    /// Expected gain for one unit of money; nothing for what costs nothing.
    #[must_use]
    pub fn per_money(&self) -> Option<Volts> {
        (self.price > Money::ZERO).then(|| self.best.volts / self.price.0)
    }
}

/// Steps that are tried on top of the first.
const MOST_SECOND: usize = 12;

/// True when an action reaches a joint that the file itself states as bad: it is mended though little flows
/// there in any state of the file.
fn stated_bad_at(vehicle: &Vehicle, action: Action) -> bool {
    let mut joints = action.joints(vehicle).into_iter();
    !action.is_design() && joints.any(|joint| stated_bad(vehicle.joint(joint)))
}

/// Chance that an action reaches what is wrong.
fn reaches(vehicle: &Vehicle, action: Action) -> f64 {
    let in_the_crimp = judged::repairs().in_the_crimp.0;
    match action {
        Action::Clean(joint)
            if conductor_of(vehicle, joint).is_none() || vehicle.crimp_at(joint).is_some() =>
        {
            1.0
        }
        Action::Clean(_) | Action::CleanBoth(_) => 1.0 - in_the_crimp,
        _ => 1.0,
    }
}

impl Session<'_> {
    /// Steps ranked by what they gain for a minute of work, best first; empty when nothing is worth doing.
    ///
    /// With a complaint only its state counts; without one every state does. A step is worth doing when what
    /// it reaches is bad: a joint beyond what its kind usually has, or the file's own range, or a conductor
    /// that is rotten or open. What a sound cable loses is the drop it was made with and is left; a larger or
    /// a second one is offered only where a load falls short of its minimum with everything sound.
    #[must_use]
    pub fn repairs(&mut self, diagnosis: &Diagnosis, complaint: Option<Complaint>) -> Vec<Repair> {
        let forward = &mut self.estimator.forward;
        let judged = judged::repairs();
        let nominal = forward.vehicle().nominal.0 / 12.0;
        let mut repairs = tried(forward, diagnosis, complaint);
        repairs.retain(|own| {
            let least = if own.action.is_design() {
                judged.gain_worth_telling
            } else {
                judged.gain_worth_mending
            };
            let worth = own.best.volts > least * nominal;
            own.mends >= judged.mends_at_least.0
                && (worth || stated_bad_at(forward.vehicle(), own.action))
        });
        repairs.sort_by(|a, b| b.per_minute().0.total_cmp(&a.per_minute().0));
        one_size_each(&mut repairs);
        cleaning_first(forward.vehicle(), &mut repairs);
        repairs
    }

    /// Loads that fall short of their minimum with everything sound, and where: the vehicle is made too small
    /// for them.
    #[must_use]
    pub fn made_too_small(&mut self, complaint: Option<Complaint>) -> Vec<(LoadId, StateId)> {
        let forward = &mut self.estimator.forward;
        let states = states_of(forward.vehicle(), complaint);
        short_by_make(forward, &states)
    }
}

/// Every step that was tried, in the order of trying.
fn tried(
    forward: &mut Forward<'_>,
    diagnosis: &Diagnosis,
    complaint: Option<Complaint>,
) -> Vec<Repair> {
    let vehicle = forward.vehicle();
    let mut bench = Bench::new(forward, diagnosis, complaint);
    let actions = bench.candidates(diagnosis);
    actions
        .into_iter()
        .filter_map(|action| {
            let gained = bench.gained(None, action)?;
            gained.repair(vehicle, action, complaint, &bench.short)
        })
        .collect()
}

impl Session<'_> {
    /// The step that gains most for a minute when the first of these is done: its gains are what comes
    /// on top, its time is what it adds, with what the first took off still off.
    #[must_use]
    pub fn then(
        &mut self,
        diagnosis: &Diagnosis,
        complaint: Option<Complaint>,
        repairs: &[Repair],
    ) -> Option<Repair> {
        let forward = &mut self.estimator.forward;
        let vehicle = forward.vehicle();
        let (first, others) = repairs.split_first()?;
        let mut bench = Bench::new(forward, diagnosis, complaint);
        others
            .iter()
            .take(MOST_SECOND)
            .filter_map(|other| {
                let gained = bench.gained(Some(first.action), other.action)?;
                let mut second = gained.repair(vehicle, other.action, complaint, &bench.short)?;
                let together = work_time(vehicle, &[first.action, other.action]);
                let saved = first.time + other.time - together;
                second.time = other.time - saved;
                second.price = other.price - vehicle.workshop.labour_price(saved);
                Some(second)
            })
            .filter(|second| second.best.volts > judged::repairs().gain_worth_telling)
            .max_by(|a, b| a.per_minute().0.total_cmp(&b.per_minute().0))
    }
}

/// The explanations laid out for trying steps on them.
struct Bench<'v> {
    forward: Forward<'v>,
    cases: Vec<Case>,
    states: Vec<StateId>,
    /// Where a conductor might be added.
    pairs: Vec<(PointId, PointId)>,
    /// Loads that fall short of their minimum in a state with everything sound.
    short: Vec<(LoadId, StateId)>,
}

impl<'v> Bench<'v> {
    fn new(forward: &mut Forward<'v>, diagnosis: &Diagnosis, complaint: Option<Complaint>) -> Self {
        let states = states_of(forward.vehicle(), complaint);
        let pairs = straps::promising_pairs(forward, diagnosis, &states);
        let mut forward = forward.with_straps(&pairs);
        let cases = Case::of(&mut forward, diagnosis, &states);
        let short = short_by_make(&mut forward, &states);
        Self { forward, cases, states, pairs, short }
    }

    fn candidates(&mut self, diagnosis: &Diagnosis) -> Vec<Action> {
        let Self { forward, cases, states, pairs, short } = self;
        let pairs: &[(PointId, PointId)] = if short.is_empty() { &[] } else { pairs };
        candidates::all(forward, diagnosis, cases, states, pairs, !short.is_empty())
    }

    /// What an action gains by itself, or on top of one that is done already.
    fn gained(&mut self, done: Option<Action>, action: Action) -> Option<Gained> {
        let Self { forward, cases, states, .. } = self;
        let vehicle = forward.vehicle();
        let parts = judged::repairs().helps_from_parts.0;
        let worth = judged::faults().bad_drop_12_v.0 / parts * vehicle.nominal.0 / 12.0;
        let worth = Volts(worth);
        let mut gained = Gained::nothing(vehicle, states);
        let mut total = 0.0;
        for case in cases.iter() {
            if !case.mended_by(vehicle, action) {
                // Nothing that it reaches is bad: what it would gain is no repair.
                let done: Vec<Action> = done.into_iter().collect();
                let Some(before) = case.after(forward, states, &done) else { continue };
                total += case.weight;
                for (gain, _) in &mut gained.gains {
                    gain.after += gain.consumer.volts(forward, &before, gain.state)? * case.weight;
                }
                continue;
            }
            let Some(solved) = ways(forward, states, case, done, action) else { continue };
            total += case.weight;
            gained.mends += case.weight;
            for (chance, before, after) in &solved {
                gained.add(
                    forward,
                    case.weight * chance,
                    reaches(vehicle, action),
                    worth,
                    [before, after],
                )?;
            }
        }
        (total > 0.0).then(|| gained.over(total))
    }
}

/// A case solved before and after an action, each with its chance: with what was done before it and without,
/// as that may not have reached what is wrong.
fn ways(
    forward: &mut Forward<'_>,
    states: &[StateId],
    case: &Case,
    done: Option<Action>,
    action: Action,
) -> Option<Vec<(f64, Guess, Guess)>> {
    let ways = match done {
        Some(done) => {
            let chance = reaches(forward.vehicle(), done);
            vec![(chance, vec![done]), (1.0 - chance, Vec::new())]
        }
        None => vec![(1.0, Vec::new())],
    };
    let mut solved = Vec::new();
    for (chance, done) in ways.into_iter().filter(|(chance, _)| *chance > 0.0) {
        let both: Vec<Action> = done.iter().copied().chain([action]).collect();
        let before = case.after(forward, states, &done);
        solved
            .push(before.zip(case.after(forward, states, &both)).map(|own| (chance, own.0, own.1)));
    }
    solved.into_iter().collect()
}

/// The states that count: the complaint's, or all.
fn states_of(vehicle: &Vehicle, complaint: Option<Complaint>) -> Vec<StateId> {
    match complaint {
        Some(complaint) => vec![complaint.state],
        None => (0..vehicle.states.len()).map(StateId::at).collect(),
    }
}

/// Loads that fall short of their minimum with every joint as good as a typical clean one, and where.
fn short_by_make(forward: &mut Forward<'_>, states: &[StateId]) -> Vec<(LoadId, StateId)> {
    let vehicle = forward.vehicle();
    let mut unknowns = sound(forward).mean;
    unknowns.resize(forward.layout.len(), 0.0);
    for at in 0..vehicle.joints.len() {
        let slot = vehicle.piece_slot(Piece::Joint(JointId::at(at)));
        unknowns[slot] = unknowns[slot].min(clean(vehicle, JointId::at(at)));
    }
    let Some(guess) = forward.guess(&unknowns, &[], states, None) else { return Vec::new() };
    let mut short = Vec::new();
    for state in states {
        for load in (0..vehicle.loads.len()).map(LoadId::at) {
            let own = vehicle.load(load);
            let volts = forward.load_volts(&guess, *state, load);
            if let (true, Some(least), Some(volts)) = (own.is_on_in(*state), own.minimum, volts)
                && volts < least
            {
                short.push((load, *state));
            }
        }
    }
    short
}

#[cfg(test)]
mod laws;
