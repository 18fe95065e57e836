//! A first plan of readings for a vehicle that nobody has measured.
//!
//! Most of the plan are the losses over the conductors that carry most for most loads. The rest is
//! chosen for what those leave hidden: each time the reading that shows most of what may be wrong,
//! the clean vehicle's own spread and the readings chosen so far being allowed for.

use model::{ConductorId, Engine, JointId, Measured, Piece, Probe, StateId, Vehicle};
use units::Seconds;

use crate::estimator::Estimator;
use crate::forward::{Forward, Guess};
use crate::holding::worth_holding;
use crate::judged;
use crate::next_reading::{foreseen, questions};
use crate::observation::alike;
use crate::practice::{Practice, one_reading_minutes};
use crate::proposal::{Proposal, Why, as_much};
use crate::session::Session;

/// Everything that might be read, with what each fault would change in it.
#[derive(Default)]
struct Field {
    asked: Vec<(StateId, Measured)>,
    minutes: Vec<f64>,
    /// Change of each value with each unknown, in that unknown's spreads.
    rows: Vec<Vec<f64>>,
    /// Variance of each value in a clean vehicle, the meter's included, as far as the chosen
    /// readings leave it.
    variance: Vec<f64>,
    /// For each fault: its chance, what it changes in each value beyond what the chosen readings
    /// foretell, and how far it is seen by those.
    faults: Vec<(f64, Vec<f64>, f64)>,
    /// Covariance of each value with each chosen reading, as columns of a triangular factor.
    factor: Vec<Vec<f64>>,
    /// The readings chosen so far.
    chosen: Vec<usize>,
}

impl Field {
    /// Where a reading stands, whichever way round its leads are.
    fn position(&self, state: StateId, measured: Measured) -> Option<usize> {
        self.asked.iter().position(|own| own.0 == state && alike(own.1, measured).is_some())
    }

    /// Takes a reading into the plan.
    fn choose(&mut self, chosen: usize) {
        let scale = self.variance[chosen].sqrt();
        let column: Vec<f64> = (0..self.asked.len())
            .map(|at| {
                let all: f64 =
                    self.rows[at].iter().zip(&self.rows[chosen]).map(|(a, b)| a * b).sum();
                let known: f64 = self.factor.iter().map(|own| own[at] * own[chosen]).sum();
                (all - known) / scale
            })
            .collect();
        for (_, change, seen) in &mut self.faults {
            let whitened = change[chosen] / scale;
            *seen += whitened * whitened;
            for (change, column) in change.iter_mut().zip(&column) {
                *change -= column * whitened;
            }
        }
        for (variance, column) in self.variance.iter_mut().zip(&column) {
            *variance = (*variance - column * column).max(1e-12);
        }
        self.factor.push(column);
        self.chosen.push(chosen);
    }

    /// How much of all that may be wrong a reading would show more.
    fn gain(&self, at: usize) -> f64 {
        let half_seen = judged::readings().survey_half_seen.0;
        let part = |seen: f64| seen / (seen + half_seen);
        self.faults
            .iter()
            .map(|(chance, change, seen)| {
                let more = change[at] * change[at] / self.variance[at];
                chance * (part(seen + more) - part(*seen))
            })
            .sum()
    }
}

/// A first plan for a vehicle that nobody has measured: the shared feed and return, body by body.
#[must_use]
pub fn survey(vehicle: &Vehicle, most: usize) -> Vec<Proposal> {
    Session::new(vehicle).survey(most)
}

impl Session<'_> {
    /// A first plan of at most so many readings, one state after the other.
    ///
    /// Where the engine would have to run, only what nothing without it shows as well.
    #[must_use]
    pub fn survey(&mut self, most: usize) -> Vec<Proposal> {
        let Self { estimator, practice } = self;
        let for_the_hidden =
            (most as f64 * judged::readings().survey_hidden_share.0).floor() as usize;
        let mut plan = losses(&estimator.forward, practice, most - for_the_hidden);
        let left = most - plan.len();
        if let Some(mut field) = field(estimator, practice, &plan) {
            for own in &mut plan {
                stand_still(&estimator.forward, &field, own);
            }
            for own in &plan {
                if let Some(at) = field.position(own.state, own.measured) {
                    field.choose(at);
                }
            }
            plan.extend(hidden(&estimator.forward, &mut field, left));
        }
        // So that each state is held once.
        plan.sort_by_key(|own| own.state);
        plan
    }
}

/// Moves a planned reading to a state without a running engine where that shows as much.
fn stand_still(forward: &Forward<'_>, field: &Field, own: &mut Proposal) {
    let runs = |state: StateId| forward.vehicle().engine_in(state) == Engine::Runs;
    if !runs(own.state) {
        return;
    }
    let Some(now) = field.position(own.state, own.measured).map(|at| field.gain(at)) else {
        return;
    };
    let best = (0..field.asked.len())
        .filter(|at| {
            let (state, measured) = field.asked[*at];
            !runs(state) && alike(measured, own.measured).is_some()
        })
        .map(|at| (at, field.gain(at)))
        .max_by(|a, b| units::larger_first(b.1, a.1));
    match best.filter(|(_, gain)| *gain >= as_much() * now) {
        Some((at, _)) => {
            let (state, measured) = field.asked[at];
            *own = planned(forward, state, measured, one_reading_minutes());
        }
        None => own.why = Some(Why::TellsMore(best.map_or(0.0, |best| best.1 / now))),
    }
}

/// What the conductors lose that carry most for most loads, each in the state in which it
/// carries most; one reading spans a conductor with its two joints.
fn losses(forward: &Forward<'_>, practice: &Practice, most: usize) -> Vec<Proposal> {
    let vehicle = forward.vehicle();
    let from = judged::readings().survey_carries_from.0;
    let mut plan: Vec<(f64, Proposal)> = Vec::new();
    for (at, conductor) in vehicle.conductors.iter().enumerate() {
        let id = ConductorId::at(at);
        let ends = [vehicle.joint(conductor.from).point, vehicle.joint(conductor.to).point];
        if ends.iter().any(|end| vehicle.point(*end).access.out_of_reach) {
            continue;
        }
        let best = (0..vehicle.states.len())
            .map(StateId::at)
            .filter(|state| !practice.without.contains(state))
            .filter_map(|state| {
                let point = forward.points[state.index()].as_ref()?;
                Some((point.piece(vehicle, Piece::Conductor(id)).amps.0.abs(), state))
            })
            .max_by(|a, b| units::larger_first(b.0, a.0));
        let Some((amps, state)) = best.filter(|(amps, _)| *amps > from) else { continue };
        let [high, low] = ends.map(Probe::Point);
        let shared = loads_through(forward, conductor.from);
        plan.push((
            amps.ln() + 2.0 * (1.0 + shared as f64).ln(),
            planned(forward, state, Measured::Volts { high, low }, one_reading_minutes()),
        ));
    }
    plan.sort_by(|a, b| units::larger_first(a.0, b.0));
    plan.truncate(most);
    plan.into_iter().map(|(_, own)| own).collect()
}

fn planned(forward: &Forward<'_>, state: StateId, measured: Measured, minutes: f64) -> Proposal {
    Proposal::of(forward, (state, measured), Seconds(60.0 * minutes), 0.0, Vec::new())
}

/// Readings for what the chosen ones leave hidden.
fn hidden(forward: &Forward<'_>, field: &mut Field, most: usize) -> Vec<Proposal> {
    let vehicle = forward.vehicle();
    let runs: Vec<bool> =
        field.asked.iter().map(|own| vehicle.engine_in(own.0) == Engine::Runs).collect();
    let mut more: Vec<Proposal> = Vec::new();
    for _ in 0..most {
        let free = (0..field.asked.len()).filter(|at| !field.chosen.contains(at));
        let gains: Vec<(usize, f64)> = free.map(|at| (at, field.gain(at))).collect();
        let still = gains.iter().filter(|own| !runs[own.0]).map(|own| own.1);
        let still = still.fold(0.0, f64::max);
        let best = gains
            .into_iter()
            .filter(|(at, gain)| !runs[*at] || still < as_much() * gain)
            .max_by(|a, b| units::larger_first(b.1 / field.minutes[b.0], a.1 / field.minutes[a.0]));
        let Some((at, gain)) = best.filter(|(_, gain)| *gain > 0.0) else { break };
        field.choose(at);
        let (state, measured) = field.asked[at];
        let mut own = planned(forward, state, measured, field.minutes[at]);
        own.why = runs[at].then(|| Why::TellsMore(still / gain));
        more.push(own);
    }
    more
}

fn field(estimator: &mut Estimator<'_>, practice: &Practice, plan: &[Proposal]) -> Option<Field> {
    let mut states = worth_holding(&estimator.forward, practice, None);
    states.extend(plan.iter().map(|own| own.state));
    states.sort_unstable();
    states.dedup();
    let (asked, minutes) = worth_asking(&estimator.forward, practice, plan, &states);
    let guess = estimator.forward.guess(&estimator.prior.sound.mean.clone(), &[], &states, None)?;
    let sound = shown(&estimator.forward, &guess, &asked)?;
    let mut rows = estimator.forward.rows(&guess, &asked)?;
    for row in &mut rows {
        for (slope, spread) in row.iter_mut().zip(&estimator.prior.sound.spread) {
            *slope *= spread;
        }
    }
    let variance = rows
        .iter()
        .zip(sound.iter().zip(&asked))
        .map(|(row, (value, (_, measured)))| {
            let clean: f64 = row.iter().map(|slope| slope * slope).sum();
            clean + foreseen(*value, *measured).powi(2)
        })
        .collect();
    let faults = changes(estimator, &asked, &states, &guess, &sound);
    Some(Field { asked, minutes, rows, variance, faults, ..Field::default() })
}

/// The planned readings and all others that can be taken, with the minutes each takes.
fn worth_asking(
    forward: &Forward<'_>,
    practice: &Practice,
    plan: &[Proposal],
    states: &[StateId],
) -> (Vec<(StateId, Measured)>, Vec<f64>) {
    let mut asked: Vec<(StateId, Measured)> =
        plan.iter().map(|own| (own.state, own.measured)).collect();
    let mut minutes = vec![one_reading_minutes(); asked.len()];
    for state in states {
        for (measured, took) in questions(forward, *state, practice) {
            let same =
                |own: &(StateId, Measured)| own.0 == *state && alike(own.1, measured).is_some();
            if !asked.iter().any(same) {
                asked.push((*state, measured));
                minutes.push(took);
            }
        }
    }
    (asked, minutes)
}

/// What a vehicle shows to each reading.
fn shown(forward: &Forward<'_>, guess: &Guess, asked: &[(StateId, Measured)]) -> Option<Vec<f64>> {
    asked.iter().map(|(state, measured)| forward.value(guess, *state, *measured)).collect()
}

/// For each fault at each size its chance, what it changes in each reading, and that it is not seen yet.
fn changes(
    estimator: &mut Estimator<'_>,
    asked: &[(StateId, Measured)],
    states: &[StateId],
    guess: &Guess,
    sound: &[f64],
) -> Vec<(f64, Vec<f64>, f64)> {
    let judged = judged::readings();
    let seen_at = [judged.survey_moderate_fault.0, judged.survey_plain_fault.0];
    let mut faults = Vec::new();
    for fault in estimator.prior.faults.clone() {
        for step in seen_at {
            let mut unknowns = estimator.prior.sound.mean.clone();
            unknowns[fault.at] = fault.mean + step * fault.spread;
            let present = fault.present.as_slice();
            let Some(changed) = estimator
                .forward
                .guess(&unknowns, present, states, Some(guess))
                .and_then(|guess| shown(&estimator.forward, &guess, asked))
            else {
                continue;
            };
            let change = changed.iter().zip(sound).map(|(now, sound)| now - sound).collect();
            faults.push((fault.log_odds.exp() / seen_at.len() as f64, change, 0.0));
        }
    }
    faults
}

/// Loads a good part of whose current passes a joint in any state.
fn loads_through(forward: &Forward<'_>, joint: JointId) -> usize {
    let vehicle = forward.vehicle();
    let at = forward.points.iter().flatten();
    let most = at
        .map(|point| {
            let amps = point.piece(vehicle, Piece::Joint(joint)).amps.0.abs();
            point.loads.iter().filter(|load| load.amps.0 > 0.0 && load.amps.0 < amps).count()
        })
        .max();
    most.unwrap_or(0)
}
