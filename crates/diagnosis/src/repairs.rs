//! What is worth doing: each step's expected gain in volts, its chance to help, its minutes, its price.

mod candidates;
mod case;
mod straps;
mod work;

use model::{ConductorId, JointId, JointOf, LoadId, PointId, StateId, Vehicle};
use units::{Amperes, Metres, Money, Ohms, Seconds, Volts, WireSize};

use crate::diagnose::{Complaint, Diagnosis};
use crate::forward::Forward;
use crate::prior::BAD_DROP_12_V;
use crate::session::Session;
use case::Case;
pub use work::{price, work_time};

/// One thing that could be done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Action {
    /// Open the joint, clean the faces, tighten it with its torque, protect it.
    Clean(JointId),
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

/// What a load gains in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// The load.
    pub load: LoadId,
    /// The state.
    pub state: StateId,
    /// Expected gain.
    pub volts: Volts,
    /// Expected voltage after it.
    pub after: Volts,
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
    /// Work, access included.
    pub time: Seconds,
    /// Work and parts, in the currency of the vehicle's workshop.
    pub price: Money,
    /// Loads that stay below their minimum after it, with their expected voltage.
    pub still_short: Vec<(LoadId, StateId, Volts)>,
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

/// Chance that what is wrong at a conductor's end lies in the crimp, which cleaning does not reach
/// (our judgement; no survey was found).
pub const IN_THE_CRIMP: f64 = 0.25;
/// Steps that are tried on top of the first.
const MOST_SECOND: usize = 12;
/// Gains and losses below this are not listed.
const WORTH_TELLING: Volts = Volts(0.01);

/// Chance that an action reaches what is wrong.
fn reaches(vehicle: &Vehicle, action: Action) -> f64 {
    match action {
        Action::Clean(joint) => match vehicle.joint(joint).of {
            JointOf::From(_) | JointOf::To(_) => 1.0 - IN_THE_CRIMP,
            JointOf::LoadCase(_) | JointOf::SourceCase(_) => 1.0,
        },
        _ => 1.0,
    }
}

impl Session<'_> {
    /// Steps ranked by what they gain for a minute of work, best first.
    ///
    /// With a complaint only its state counts; without one every state does.
    #[must_use]
    pub fn repairs(&mut self, diagnosis: &Diagnosis, complaint: Option<Complaint>) -> Vec<Repair> {
        let vehicle = self.vehicle();
        let mut bench = Bench::new(self, diagnosis, complaint);
        let actions = bench.candidates(diagnosis);
        let mut repairs: Vec<Repair> = actions
            .into_iter()
            .filter_map(|action| bench.gained(None, action)?.repair(vehicle, action, complaint))
            .collect();
        repairs.sort_by(|a, b| b.per_minute().0.total_cmp(&a.per_minute().0));
        one_size_each(&mut repairs);
        repairs
    }

    /// The step that gains most for a minute when the first of these is done: its gains are what comes
    /// on top, its time is what it adds, with what the first took off still off.
    #[must_use]
    pub fn then(
        &mut self,
        diagnosis: &Diagnosis,
        complaint: Option<Complaint>,
        repairs: &[Repair],
    ) -> Option<Repair> {
        let vehicle = self.vehicle();
        let (first, others) = repairs.split_first()?;
        let mut bench = Bench::new(self, diagnosis, complaint);
        others
            .iter()
            .take(MOST_SECOND)
            .filter_map(|other| {
                let gained = bench.gained(Some(first.action), other.action)?;
                let mut second = gained.repair(vehicle, other.action, complaint)?;
                let together = work_time(vehicle, &[first.action, other.action]);
                let saved = first.time + other.time - together;
                second.time = other.time - saved;
                second.price = other.price - vehicle.workshop.labour_price(saved);
                Some(second)
            })
            .filter(|second| second.best.volts > WORTH_TELLING)
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
}

impl<'v> Bench<'v> {
    fn new(session: &mut Session<'v>, diagnosis: &Diagnosis, complaint: Option<Complaint>) -> Self {
        let states: Vec<StateId> = match complaint {
            Some(complaint) => vec![complaint.state],
            None => (0..session.vehicle().states.len()).map(StateId::at).collect(),
        };
        let pairs = straps::promising_pairs(&mut session.forward, diagnosis, &states);
        let mut forward = session.forward.with_straps(&pairs);
        let cases = Case::of(&mut forward, diagnosis, &states);
        Self { forward, cases, states, pairs }
    }

    fn candidates(&mut self, diagnosis: &Diagnosis) -> Vec<Action> {
        candidates::all(&mut self.forward, diagnosis, &self.cases, &self.states, &self.pairs)
    }

    /// What an action gains by itself, or on top of one that is done already.
    fn gained(&mut self, done: Option<Action>, action: Action) -> Option<Gained> {
        let Self { forward, cases, states, .. } = self;
        let vehicle = forward.vehicle();
        let worth = Volts(BAD_DROP_12_V.0 / 3.0 * vehicle.nominal.0 / 12.0);
        let reached = reaches(vehicle, action);
        let mut total = 0.0;
        let mut gains: Vec<(Gain, f64)> = Vec::new();
        for state in states.iter() {
            for load in (0..vehicle.loads.len()).map(LoadId::at) {
                if vehicle.load(load).is_on_in(*state) {
                    let (volts, after) = (Volts::ZERO, Volts::ZERO);
                    gains.push((Gain { load, state: *state, volts, after }, 0.0));
                }
            }
        }
        for case in cases.iter() {
            // With and without what was done before: it may not have reached what is wrong.
            let mut ways = vec![(1.0, None)];
            if let Some(done) = done {
                let chance = reaches(vehicle, done);
                ways = vec![(chance, Some(done)), (1.0 - chance, None)];
            }
            let mut solved = Vec::new();
            for (chance, done) in ways.into_iter().filter(|(chance, _)| *chance > 0.0) {
                let done: Vec<Action> = done.into_iter().collect();
                let both: Vec<Action> = done.iter().copied().chain([action]).collect();
                let before = case.after(forward, states, &done);
                solved
                    .push(before.zip(case.after(forward, states, &both)).map(|own| (chance, own)));
            }
            let Some(solved) = solved.into_iter().collect::<Option<Vec<_>>>() else { continue };
            total += case.weight;
            for (chance, (before, after)) in &solved {
                let weight = case.weight * chance;
                for (gain, helps) in &mut gains {
                    let before = forward.load_volts(before, gain.state, gain.load)?;
                    let after = forward.load_volts(after, gain.state, gain.load)?;
                    let gained = (after - before) * reached;
                    gain.volts += gained * weight;
                    gain.after += (before + gained) * weight;
                    if after - before > worth {
                        *helps += weight * reached;
                    }
                }
            }
        }
        if total <= 0.0 {
            return None;
        }
        for (gain, helps) in &mut gains {
            gain.volts = gain.volts / total;
            gain.after = gain.after / total;
            *helps /= total;
        }
        gains.sort_by(|a, b| b.0.volts.0.total_cmp(&a.0.volts.0));
        Some(Gained { gains })
    }
}

/// Of several sizes for the same place only the one that ranks first is kept.
fn one_size_each(repairs: &mut Vec<Repair>) {
    let mut seen: Vec<ConductorId> = Vec::new();
    repairs.retain(|own| match own.action {
        Action::Enlarge { conductor, .. } => {
            let new = !seen.contains(&conductor);
            seen.push(conductor);
            new
        }
        _ => true,
    });
}

/// Expected gains of one action, and for each the chance that it helps.
struct Gained {
    gains: Vec<(Gain, f64)>,
}

impl Gained {
    fn repair(
        self,
        vehicle: &Vehicle,
        action: Action,
        complaint: Option<Complaint>,
    ) -> Option<Repair> {
        let (best, helps) = match complaint {
            Some(complaint) => *self
                .gains
                .iter()
                .find(|(gain, _)| gain.load == complaint.load && gain.state == complaint.state)?,
            None => *self.gains.first()?,
        };
        let short = |gain: &Gain| {
            vehicle.load(gain.load).minimum.is_some_and(|minimum| gain.after < minimum)
        };
        let gains: Vec<Gain> = self.gains.into_iter().map(|(gain, _)| gain).collect();
        let still_short = gains
            .iter()
            .filter(|gain| short(gain))
            .map(|gain| (gain.load, gain.state, gain.after))
            .collect();
        Some(Repair {
            action,
            best,
            gains: gains.into_iter().filter(|gain| gain.volts.abs() > WORTH_TELLING).collect(),
            helps,
            time: work_time(vehicle, &[action]),
            price: price(vehicle, action),
            still_short,
        })
    }
}

#[cfg(test)]
mod laws;
