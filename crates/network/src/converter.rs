//! What ties the two sides of a converter together: it cannot give more than it takes.
//!
//! Input and output are two devices of the circuit, and what joins them is settled around the search
//! for the operating point. As long as its feed can give it, the input takes the output's power over
//! the efficiency. Where the feed gives no more at the converter's least input voltage, the input
//! holds that voltage, and the output is limited to what comes through.

use model::RegulatedId;
use units::{Amperes, Volts, Watts};

use crate::circuit::{Numbers, Solution};
use crate::conditions::{Conditions, meets, most_input_watts};
use crate::law::Law;
use crate::network::Network;
use crate::operating_point::Convergence;
use crate::wiring::Device;

/// Powers have settled when they change by less than this share.
const SETTLED_SHARE: f64 = 1e-9;

/// Watts by which the sides of a converter may miss each other.
const LEAST_WATTS: f64 = 1e-3;

/// After so many changes of mind a converter is left limited, though a little more might pass.
const MOST_RELEASES: u8 = 3;

/// Both sides of a converter in a solution.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sides {
    /// Watts that it gives.
    pub given: f64,
    /// Watts that it takes.
    pub taken: f64,
    /// Its feed does not give what it wants.
    pub short: bool,
    /// It gives all that it may by its limit of power.
    pub limited: bool,
}

impl Network<'_> {
    /// Both sides of a converter; nothing for another source.
    pub(crate) fn converter_sides(&self, at: usize, laws: &[Law], volts: &[f64]) -> Option<Sides> {
        let id = RegulatedId::at(at);
        let output = self.wiring.device(Device::Regulated(id))?;
        let input = self.wiring.device(Device::Input(id))?;
        let across = |device: usize| {
            let (plus, minus) = self.wiring.circuit.devices[device];
            volts[plus] - volts[minus]
        };
        let (own, feed) = (across(output), across(input));
        let taken = (feed * laws[input].amperes(feed)).max(0.0);
        let short = match laws[input] {
            Law::Input(wants) => taken < wants.power.0 * (1.0 - SETTLED_SHARE),
            _ => false,
        };
        let limited = match laws[output] {
            Law::Regulated(source) => {
                let most = source.most_current(Volts(own));
                let short = source.held - Volts(own);
                source.power.0.is_finite()
                    && most < source.limit
                    && short / source.droop >= most
                    && short > Volts::ZERO
            }
            _ => false,
        };
        let given = (own * -laws[output].amperes(own)).max(0.0);
        Some(Sides { given, taken, short, limited })
    }

    /// Moves what converters take and may give towards each other; true when something moved enough
    /// to solve again.
    pub(crate) fn settle_converters(
        &self,
        numbers: &Numbers,
        solution: &Solution,
        conditions: &mut Conditions,
    ) -> bool {
        let mut changed = false;
        for (at, source) in self.vehicle().regulated.iter().enumerate() {
            let Some(input) = &source.input else { continue };
            let Some(sides) = self.converter_sides(at, &numbers.laws, &solution.volts) else {
                continue;
            };
            let most = most_input_watts(self.vehicle(), RegulatedId::at(at), conditions.state);
            let follows = source.follows.is_some();
            changed |= settle(sides, input.efficiency.0, most, follows, at, conditions);
        }
        changed
    }

    /// Reached unless a converter gives what it does not take.
    pub(crate) fn converters_agree(&self, laws: &[Law], volts: &[f64]) -> Convergence {
        match self.converter_miss(laws, volts) {
            Some((at, miss)) if miss.0.abs() > LEAST_WATTS => {
                let source = &self.vehicle().regulated[at];
                Convergence::NotReached {
                    at: source.id.clone(),
                    amps: Amperes(miss.0.abs() / source.set_point.0),
                }
            }
            _ => Convergence::Reached,
        }
    }

    /// By how much the two sides of any converter miss each other: output over efficiency less input,
    /// of the one that fits worst.
    pub(crate) fn converter_miss(&self, laws: &[Law], volts: &[f64]) -> Option<(usize, Watts)> {
        let sources = self.vehicle().regulated.iter().enumerate();
        let misses = sources.filter_map(|(at, source)| {
            let efficiency = source.input.as_ref()?.efficiency.0;
            let sides = self.converter_sides(at, laws, volts)?;
            Some((at, Watts(sides.given / efficiency - sides.taken)))
        });
        misses.max_by(|a, b| a.1.0.abs().total_cmp(&b.1.0.abs()))
    }
}

/// One step for one converter; `most` are the watts that it could ever take, `follows` is true for half an equaliser.
fn settle(
    sides: Sides,
    efficiency: f64,
    most: f64,
    follows: bool,
    at: usize,
    conditions: &mut Conditions,
) -> bool {
    let Sides { given, taken, short, limited } = sides;
    let needed = given / efficiency;
    let apart = |a: f64, b: f64| (a - b).abs() > SETTLED_SHARE * a.abs().max(b.abs()).max(1.0);
    let free = conditions.output_watts[at].is_infinite();
    let stubborn = conditions.releases[at] >= MOST_RELEASES;
    if !free && stubborn && !apart(needed, taken) {
        return false;
    }
    if free || !limited {
        // What it gives decides what it takes.
        if !free && !stubborn {
            conditions.output_watts[at] = f64::INFINITY;
            conditions.releases[at] += 1;
            conditions.limit_steps[at] = None;
        }
        let wants = conditions.input_watts[at];
        if apart(needed, wants) {
            // Where both sides share their way, what it takes tells on what it gives: led to where they meet.
            let last = conditions.input_steps[at].replace((wants, needed));
            let next = last.filter(|_| follows).map(|last| meets(last, (wants, needed)));
            conditions.input_watts[at] = next.unwrap_or(needed).max(0.0);
            return true;
        }
        if !short {
            return !free && !stubborn;
        }
    } else if !short && !stubborn {
        // It may be that its feed gives more by now.
        let wanted = &mut conditions.input_watts[at];
        let more = apart(most, *wanted);
        *wanted = most;
        if more {
            return true;
        }
    }
    // What its feed gives decides what it gives.
    let limit = conditions.output_watts[at];
    let through = taken * efficiency;
    if limit.is_finite() && !apart(limit, through) {
        return false;
    }
    let next = match conditions.limit_steps[at] {
        Some((before, gave)) if limit.is_finite() && apart(limit, before) => {
            let slope = (through - gave) / (limit - before);
            if slope < 0.9 { (through - slope * limit) / (1.0 - slope) } else { through }
        }
        _ => through,
    };
    conditions.limit_steps[at] = limit.is_finite().then_some((limit, through));
    conditions.output_watts[at] = next.clamp(0.0, most * efficiency);
    true
}
