//! Solving a state again and again until what depends on the solution has settled: what sources sense
//! elsewhere hold, what converters take, loads that switch themselves off, the heat in conductors.

use model::{LoadId, Piece, PointId, RegulatedId};
use physics::source::Regulated;
use units::{Amperes, Volts};

use crate::circuit::{Ending, Numbers, Solution};
use crate::conditions::{Conditions, LEAST_AMPERES, conductor_ohms, meets};
use crate::heating::metal_temperature;
use crate::law::Law;
use crate::network::Network;
use crate::wiring::Device;

/// Rounds of settling what depends on the solution: remote sensing, converters, dropouts, heat.
/// Nearly all states need a few; converters that feed each other need many.
const MOST_ROUNDS: usize = 240;

/// What still moves by less than this when the rounds run out has settled as well as anybody can tell.
const LEAST_MOVING: Amperes = Amperes(1e-3);

/// A source raises its own terminals to no more than so many times what it is to hold elsewhere, which
/// may be a place that it does not feed.
const MOST_HELD: f64 = 2.0;

/// Rounds in which a conductor simply takes the resistance of its new temperature. Where the current
/// answers its own heat that goes to and fro, or creeps; from then on it is led to where the two meet.
const PLAIN_ROUNDS: usize = 6;

/// Remote sensing has settled when the sensed voltage is this close to what is held, in volts.
const SENSE_TOLERANCE: f64 = 1e-9;

/// What a state came to rest at.
pub(crate) struct Settled {
    pub numbers: Numbers,
    pub solution: Solution,
    pub steps: usize,
    /// What was still moving when the rounds ran out; nothing where the state has settled.
    pub moving: Option<Moving>,
}

/// What was still moving when the rounds ran out.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Moving {
    /// Its name in the file.
    pub at: String,
    /// By how much it would move in the next round, as a current of its own.
    pub amps: Amperes,
}

/// Whether conductors are warmed by their currents or keep the temperatures that they have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Heat {
    Warms,
    Stays,
}

/// A source that senses elsewhere than at its terminals.
#[derive(Clone, Copy)]
struct Sensing {
    law: Regulated,
    device: usize,
    sense: (PointId, PointId),
    /// The voltage that it wants where it senses.
    wanted: Volts,
}

impl Network<'_> {
    /// Solves, and again as long as sources, loads that drop out or the heat in conductors change
    /// what was solved.
    pub(crate) fn settle(
        &mut self,
        conditions: &mut Conditions,
        mut across: Vec<f64>,
        heat: Heat,
    ) -> Settled {
        let mut steps = 0;
        // Loads drop out one in a round.
        let most = MOST_ROUNDS + self.vehicle().loads.len();
        let mut round = 0;
        loop {
            round += 1;
            let numbers = conditions.numbers(&self.wiring);
            self.wiring.circuit.prepare(&numbers, &mut self.work);
            let solution = self.wiring.circuit.solve(&numbers.laws, &across, &mut self.work);
            steps += solution.steps;
            if solution.ending != Ending::Found {
                return Settled { numbers, solution, steps, moving: None };
            }
            // What is told is told of the conditions that were solved, not of those that come next.
            let before = (round >= most).then(|| conditions.clone());
            let warms = (heat == Heat::Warms).then_some(round);
            if !self.moves(&numbers, &solution, conditions, warms) {
                return Settled { numbers, solution, steps, moving: None };
            }
            if let Some(before) = before {
                let after = std::mem::replace(conditions, before);
                let moving = self.moving(conditions, &after, &numbers, &solution);
                let moving = Some(moving).filter(|own| own.amps >= LEAST_MOVING);
                return Settled { numbers, solution, steps, moving };
            }
            across = self.wiring.across(&solution.volts);
        }
    }

    /// Moves whatever depends on the solution; true when something moved enough to solve again.
    fn moves(
        &self,
        numbers: &Numbers,
        solution: &Solution,
        conditions: &mut Conditions,
        warms: Option<usize>,
    ) -> bool {
        self.settle_sources(numbers, solution, conditions)
            || self.drop_loads(solution, conditions)
            || warms.is_some_and(|round| self.warm(numbers, solution, conditions, round))
    }

    /// What moves most from some conditions to the next, sources before loads before heat.
    fn moving(
        &self,
        before: &Conditions,
        after: &Conditions,
        numbers: &Numbers,
        solution: &Solution,
    ) -> Moving {
        let vehicle = self.vehicle();
        let amps_of = |device: Device| {
            let at = self.wiring.device(device)?;
            let (plus, minus) = self.wiring.circuit.devices[at];
            Some(numbers.laws[at].amperes(solution.volts[plus] - solution.volts[minus]).abs())
        };
        let sources = vehicle.regulated.iter().enumerate().map(|(at, source)| {
            let held = (after.held_volts[at] - before.held_volts[at]).abs() / source.droop.0;
            let watts = |list: &[f64]| if list[at].is_finite() { list[at] } else { 0.0 };
            let given = watts(&after.output_watts) - watts(&before.output_watts);
            let taken = watts(&after.input_watts) - watts(&before.input_watts);
            let tied = given.abs().max(taken.abs()) / source.set_point.0;
            (source.id.as_str(), held.min(source.limit[before.state.index()].0).max(tied))
        });
        let loads = vehicle.loads.iter().enumerate().filter_map(|(at, load)| {
            let drops = after.dropped[at] && !before.dropped[at];
            let amps = drops.then(|| amps_of(Device::Load(LoadId::at(at))))??;
            Some((load.id.as_str(), amps))
        });
        let heat = self.wiring.branches.iter().zip(&numbers.siemens).flat_map(|(branch, g)| {
            let amps = g * (solution.volts[branch.from] - solution.volts[branch.to]);
            branch.pieces().filter_map(move |piece| {
                let Piece::Conductor(id) = piece else { return None };
                let now = before.conductor_ohms[id.index()];
                let share = (after.conductor_ohms[id.index()] - now) / now;
                Some((vehicle.conductor(id).id.as_str(), (amps * share).abs()))
            })
        });
        let all = sources.chain(loads).chain(heat);
        let most = all.fold(("", 0.0), |most, own| if own.1 > most.1 { own } else { most });
        Moving { at: most.0.to_owned(), amps: Amperes(most.1) }
    }

    /// Moves what sources hold and converters take towards what the solution asks; true when
    /// something moved enough to solve again.
    pub(crate) fn settle_sources(
        &self,
        numbers: &Numbers,
        solution: &Solution,
        conditions: &mut Conditions,
    ) -> bool {
        let tied = self.settle_converters(numbers, solution, conditions);
        let mut changed = tied;
        for (at, source) in self.vehicle().regulated.iter().enumerate() {
            if source.follows.is_some() {
                // First both of its sides agree; what it holds rests on that.
                changed |=
                    !tied && self.settle_half(RegulatedId::at(at), numbers, solution, conditions);
                continue;
            }
            let device = self.wiring.device(Device::Regulated(RegulatedId::at(at)));
            let (Some(device), Some(sense)) = (device, source.sense) else { continue };
            let Law::Regulated(law) = numbers.laws[device] else { continue };
            let more = conditions.deviations.held.get(at).copied().unwrap_or(Volts::ZERO);
            let sensing = Sensing { law, device, sense, wanted: source.set_point + more };
            if let Some(held) = self.held_for(sensing, numbers, solution) {
                conditions.held_volts[at] = held;
                changed = true;
            }
        }
        changed
    }

    /// What a source has to hold at its own terminals so that what it senses comes nearer to what is
    /// wanted there; nothing when it is near enough, or cannot do more.
    fn held_for(&self, sensing: Sensing, numbers: &Numbers, solution: &Solution) -> Option<f64> {
        let Sensing { law, device, sense: (high, low), .. } = sensing;
        let (plus, minus) = self.wiring.circuit.devices[device];
        let own = solution.volts[plus] - solution.volts[minus];
        // At a limit of power too it holds no voltage any more.
        let limit = law.most_current(Volts(own)).0;
        let (held, droop) = (law.held.0, law.droop.0);
        let short = sensing.wanted.0 - (solution.volts[high.index()] - solution.volts[low.index()]);
        let delivered = -numbers.laws[device].amperes(own);
        let at_limit = delivered >= limit - LEAST_AMPERES;
        if delivered > 0.0 && !at_limit && short.abs() > SENSE_TOLERANCE {
            let follows = self.sense_follows(numbers, solution, sensing);
            let next = (held + short / follows.max(0.05)).clamp(0.0, MOST_HELD * sensing.wanted.0);
            ((next - held).abs() > SENSE_TOLERANCE * 1e-3).then_some(next)
        } else if at_limit && short < -SENSE_TOLERANCE {
            Some(own + droop * limit * 0.5)
        } else if delivered <= 0.0 && short > SENSE_TOLERANCE && held < own {
            Some(own + droop * limit * 0.01)
        } else {
            None
        }
    }

    /// Volts by which the sensed voltage rises for each volt that the source holds more.
    fn sense_follows(&self, numbers: &Numbers, solution: &Solution, sensing: Sensing) -> f64 {
        let Sensing { law, device, sense: (high, low), .. } = sensing;
        let slopes = self.slopes(&numbers.laws, &solution.volts);
        let (plus, minus) = self.wiring.circuit.devices[device];
        let column = self
            .wiring
            .circuit
            .linear(&numbers.siemens, &slopes)
            .ok()
            .and_then(|mut linear| linear.one_ampere(plus, minus));
        column.map_or(1.0, |response| {
            (response.volts[high.index()] - response.volts[low.index()]) / law.droop.0
        })
    }

    /// Switches off the one load that is furthest below its dropout; true when there was one.
    ///
    /// One at a time, because the others may recover when it goes.
    pub(crate) fn drop_loads(&self, solution: &Solution, conditions: &mut Conditions) -> bool {
        let vehicle = self.vehicle();
        let mut worst: Option<(usize, f64)> = None;
        for (at, load) in vehicle.loads.iter().enumerate() {
            let (Some(dropout), true) =
                (load.dropout, load.is_on_in(conditions.state) && !conditions.dropped[at])
            else {
                continue;
            };
            let volts =
                solution.volts[load.positive.index()] - solution.volts[load.negative.index()];
            let share = volts / dropout.0;
            if share < 1.0 && worst.is_none_or(|(_, least)| share < least) {
                worst = Some((at, share));
            }
        }
        if let Some((at, _)) = worst {
            conditions.dropped[at] = true;
        }
        worst.is_some()
    }

    /// Warms conductors by their currents; true when a resistance changed enough to solve again.
    fn warm(
        &self,
        numbers: &Numbers,
        solution: &Solution,
        conditions: &mut Conditions,
        round: usize,
    ) -> bool {
        let vehicle = self.vehicle();
        let mut changed = false;
        for (branch, siemens) in self.wiring.branches.iter().zip(&numbers.siemens) {
            for piece in branch.pieces() {
                let Piece::Conductor(id) = piece else { continue };
                let amps =
                    Amperes(siemens * (solution.volts[branch.from] - solution.volts[branch.to]));
                let temperature = metal_temperature(vehicle, id, amps, conditions.state);
                let ohms = conductor_ohms(vehicle, id, temperature).0;
                let before = conditions.conductor_ohms[id.index()];
                conditions.temperatures[id.index()] = temperature;
                // A hundred-thousandth of a resistance is far below what any joint is known to.
                if (ohms - before).abs() > 1e-5 * ohms {
                    let last = conditions.warm_steps[id.index()].replace((before, ohms));
                    let last = last.filter(|_| round > PLAIN_ROUNDS);
                    conditions.conductor_ohms[id.index()] =
                        last.map_or(ohms, |last| meets(last, (before, ohms)));
                    changed = true;
                }
            }
        }
        changed
    }
}
