//! Solving a state again and again until what depends on the solution has settled: what sources sense
//! elsewhere hold, what converters take, loads that switch themselves off, the heat in conductors.

use model::{Piece, PointId, RegulatedId};
use physics::source::Regulated;
use units::{Amperes, Volts};

use crate::circuit::{Ending, Numbers, Solution};
use crate::conditions::{Conditions, conductor_ohms};
use crate::heating::metal_temperature;
use crate::law::Law;
use crate::network::Network;
use crate::wiring::Device;

/// Rounds of settling what depends on the solution: remote sensing, converters, dropouts, heat.
const MOST_ROUNDS: usize = 60;

/// Remote sensing has settled when the sensed voltage is this close to what is held, in volts.
const SENSE_TOLERANCE: f64 = 1e-9;

/// A current that differs from another by less is the same: what a device leaks, in amperes.
pub(crate) const LEAST_AMPERES: f64 = 1e-6;

/// What a state came to rest at.
pub(crate) struct Settled {
    pub numbers: Numbers,
    pub solution: Solution,
    pub steps: usize,
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
        let mut round = 0;
        loop {
            let numbers = conditions.numbers(&self.wiring);
            self.wiring.circuit.prepare(&numbers, &mut self.work);
            let solution = self.wiring.circuit.solve(&numbers.laws, &across, &mut self.work);
            steps += solution.steps;
            round += 1;
            let again = round < MOST_ROUNDS && solution.ending == Ending::Found && {
                across = self.wiring.across(&solution.volts);
                self.settle_sources(&numbers, &solution, conditions)
                    || self.drop_loads(&solution, conditions)
                    || (heat == Heat::Warms && self.warm(&numbers, &solution, conditions))
            };
            if !again {
                return Settled { numbers, solution, steps };
            }
        }
    }

    /// Moves what sources hold and converters take towards what the solution asks; true when
    /// something moved enough to solve again.
    pub(crate) fn settle_sources(
        &self,
        numbers: &Numbers,
        solution: &Solution,
        conditions: &mut Conditions,
    ) -> bool {
        let mut changed = false;
        for (at, source) in self.vehicle().regulated.iter().enumerate() {
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
        self.settle_converters(numbers, solution, conditions) || changed
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
            Some(held + short / follows.max(0.05))
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
    fn warm(&self, numbers: &Numbers, solution: &Solution, conditions: &mut Conditions) -> bool {
        let vehicle = self.vehicle();
        let mut changed = false;
        for (branch, siemens) in self.wiring.branches.iter().zip(&numbers.siemens) {
            for piece in branch.pieces() {
                let Piece::Conductor(id) = piece else { continue };
                let amps =
                    Amperes(siemens * (solution.volts[branch.from] - solution.volts[branch.to]));
                let temperature = metal_temperature(vehicle, id, amps, conditions.state);
                let ohms = conductor_ohms(vehicle, id, temperature).0;
                let before = &mut conditions.conductor_ohms[id.index()];
                conditions.temperatures[id.index()] = temperature;
                // A hundred-thousandth of a resistance is far below what any joint is known to.
                if (ohms - *before).abs() > 1e-5 * ohms {
                    *before = ohms;
                    changed = true;
                }
            }
        }
        changed
    }
}
