//! What a battery equaliser holds: the middle of its bank at half of the bank's volts.
//!
//! It is two sources with an input each, tied like those of a converter: one gives to the lower half
//! what it takes from the upper, the other the other way about. What each would hold at its own terminals is settled
//! around the search for the operating point, so that its half has as many volts as the other; one works at a time.

use model::{Bank, RegulatedId};
use physics::source::Regulated;
use units::Volts;

use crate::circuit::{Numbers, Solution};
use crate::conditions::{Bracket, Conditions, HELD_BY_NONE, LEAST_AMPERES};
use crate::law::{LEAK_SIEMENS, Law};
use crate::network::Network;
use crate::wiring::Device;

/// Halves of a bank are equal when their volts are this close.
const EQUAL: f64 = 1e-9;

/// Of a volt that a half holds more, at least this much is seen at its terminals.
const LEAST_FOLLOWING: f64 = 0.002;

/// What rises by so many volts for an ampere hangs on nothing: there is nobody to give to.
const MOST_OHMS: f64 = 100.0;

/// A half of an equaliser in a solution.
struct Half {
    device: usize,
    law: Regulated,
    /// Volts between its terminals.
    own: f64,
    /// Amperes that it delivers.
    delivered: f64,
}

impl Half {
    /// The most that it delivers.
    fn limit(&self) -> f64 {
        self.law.most_current(Volts(self.own)).0
    }

    /// What a half that works should hold next, `short` being the volts that it lacks; nothing when it is as it
    /// should be. `answers` are the volts at its terminals, and those that it lacks less, for an ampere given.
    fn held_next(
        &self,
        short: f64,
        bracket: &mut Bracket,
        answers: impl Fn() -> (f64, f64),
    ) -> Option<f64> {
        let most = self.own + self.law.droop.0 * self.limit();
        let at_limit = self.delivered >= self.limit() - LEAST_AMPERES;
        if short.abs() <= EQUAL || (at_limit && short > 0.0) {
            return None;
        }
        let held = self.law.held.0.min(most);
        bracket.note(held, short);
        let (rises, gains) = answers();
        if rises >= MOST_OHMS {
            return Some(HELD_BY_NONE);
        }
        let wanted = if at_limit {
            0.5 * (self.own + most)
        } else {
            held + short / (gains / (self.law.droop.0 + rises)).max(LEAST_FOLLOWING)
        };
        // Its volts rise by less than they lack, so that it is at its limit there at the latest.
        let next = bracket.within(wanted).min(most + short.max(0.0));
        // With nothing left to give it goes to sleep, and the other may wake.
        Some(if next > self.own || bracket.short.is_some() { next } else { HELD_BY_NONE })
    }
}

impl Network<'_> {
    fn half(&self, id: RegulatedId, numbers: &Numbers, solution: &Solution) -> Option<Half> {
        let device = self.wiring.device(Device::Regulated(id))?;
        let Law::Regulated(law) = numbers.laws[device] else { return None };
        let (plus, minus) = self.wiring.circuit.devices[device];
        let own = solution.volts[plus] - solution.volts[minus];
        Some(Half { device, law, own, delivered: (law.held.0 - own).max(0.0) / law.droop.0 })
    }

    /// Moves what one half of an equaliser holds; true when it moved enough to solve again.
    pub(crate) fn settle_half(
        &self,
        id: RegulatedId,
        numbers: &Numbers,
        solution: &Solution,
        conditions: &mut Conditions,
    ) -> bool {
        let Some(bank) = self.vehicle().regulated_source(id).follows else { return false };
        let Some(half) = self.half(id, numbers, solution) else { return false };
        let twin = self.half(bank.twin, numbers, solution);
        let more = conditions.deviations.held.get(id.index()).copied().unwrap_or(Volts::ZERO);
        let whole = solution.volts[bank.top.index()] - solution.volts[bank.bottom.index()];
        let short = 0.5 * whole + more.0 - half.own;
        let bracket = &mut conditions.brackets[id.index()];
        let answers = || self.half_answers(id, bank, &half, numbers, solution);
        let next = if half.delivered > 0.0 {
            half.held_next(short, bracket, answers)
        } else {
            // The fuller half gives; nobody waits for one that has nothing to work on.
            let works = twin.is_some_and(|own| own.delivered > LEAST_AMPERES);
            *bracket = Bracket { short: Some((half.own, short)), over: None };
            let wakes = short > EQUAL && !works && half.limit() > LEAST_AMPERES && half.own > 0.0;
            // What it held before would set it to work against its twin as soon as that moves the middle.
            conditions.held_volts[id.index()] = HELD_BY_NONE;
            (wakes && answers().0 < MOST_OHMS)
                .then_some(half.own + half.law.droop.0 * half.limit() * 0.01)
        };
        if let Some(next) = next {
            conditions.input_steps[id.index()] = None;
            conditions.held_volts[id.index()] = next;
        }
        next.is_some()
    }

    /// Volts by which those of a half rise, and by which those that it lacks fall, for each ampere that it gives.
    fn half_answers(
        &self,
        id: RegulatedId,
        bank: Bank,
        half: &Half,
        numbers: &Numbers,
        solution: &Solution,
    ) -> (f64, f64) {
        let source = self.vehicle().regulated_source(id);
        let Some(input) = &source.input else { return (f64::INFINITY, 1.0) };
        let at = |id: model::PointId| id.index();
        let feed = solution.volts[at(input.positive)] - solution.volts[at(input.negative)];
        // What it takes for each ampere that it gives.
        let takes = half.own / (input.efficiency.0 * feed.max(0.1));
        let (plus, minus) = self.wiring.circuit.devices[half.device];
        let currents =
            [(plus, 1.0), (minus, -1.0), (at(input.positive), -takes), (at(input.negative), takes)];
        let mut slopes = self.slopes(&numbers.laws, &solution.volts);
        // What it gives is what is asked about, so that it does not answer by itself; nor does its twin, which
        // sleeps while this one works.
        slopes[half.device] = LEAK_SIEMENS;
        if let Some(twin) = self.wiring.device(Device::Regulated(bank.twin)) {
            slopes[twin] = LEAK_SIEMENS;
        }
        let circuit = &self.wiring.circuit;
        let answer = circuit.linear(&numbers.siemens, &slopes).or_else(|_| {
            // At the edge of what the network can stably feed: falling currents stand still for this step.
            slopes.iter_mut().for_each(|slope| *slope = slope.max(0.0));
            circuit.linear(&numbers.siemens, &slopes)
        });
        answer.map_or((f64::INFINITY, 1.0), |mut linear| {
            let volts = linear.respond(&currents).volts;
            let whole = volts[at(bank.top)] - volts[at(bank.bottom)];
            let own = volts[plus] - volts[minus];
            (own, own - 0.5 * whole)
        })
    }
}

#[cfg(test)]
mod laws;
