//! The most that a vehicle's sources can give: what is beyond it was not measured there.

use units::{Amperes, Volts};

use crate::id::BatteryId;
use crate::reading::{Measured, Probe, Told};
use crate::vehicle::Vehicle;

/// How far above what the sources hold a voltage may be: a regulator that fails lets a 12 V battery rise
/// to some 18 V, an equalising charge to 16 V (our judgement). It is still below what the next higher
/// system shows when rested, so that 24 V in a 12 V vehicle are beyond it.
const VOLTS_MARGIN: f64 = 1.5;
/// How far above what the sources give into a dead short a current may be: a battery may have a third of
/// the resistance that the file says (our judgement).
const AMPS_MARGIN: f64 = 3.0;
/// A minus over a battery whose plus was named is none up to this share of its nominal voltage: the weak
/// one of two in series may be driven a little beyond empty, and another load's current shifts a clamp
/// (our judgement).
const REVERSED_MARGIN: f64 = 0.1;

/// Why a value cannot be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Impossible {
    /// More than the sources give; the most, in volts or amperes.
    Beyond(f64),
    /// A minus over a battery whose plus was named: its probes were crossed.
    Reversed(BatteryId),
}

impl Vehicle {
    /// The highest voltage that may be shown between any two points, whatever is bad: what the sources
    /// hold one behind the other, with a margin for charging.
    #[must_use]
    pub fn most_volts(&self) -> Volts {
        let held = self.regulated.iter().map(|source| source.set_point.0);
        let highest = held.chain([self.in_series(), self.nominal.0]).fold(0.0, f64::max);
        Volts(VOLTS_MARGIN * highest)
    }

    /// The largest current that may be shown in any conductor: what all sources give into a dead short,
    /// with a margin.
    #[must_use]
    pub fn most_amps(&self) -> Amperes {
        let batteries = self.batteries.iter().map(|own| own.rested.0 / own.resistance.0);
        let regulated = self.regulated.iter().flat_map(|own| own.limit.iter().map(|own| own.0));
        Amperes(AMPS_MARGIN * (batteries.sum::<f64>() + regulated.fold(0.0, f64::max)))
    }

    /// Why a value cannot be, if it cannot: between two numbers the one nearer to zero counts.
    #[must_use]
    pub fn impossible(&self, measured: Measured, told: Told) -> Option<Impossible> {
        let (low, high) = match told {
            Told::Value(value) | Told::About(value) | Told::Held(value) | Told::Gauge(value) => {
                (value, value)
            }
            Told::Between(low, high) => (low.min(high), low.max(high)),
            Told::Nothing | Told::Change(_) => return None,
        };
        let most = match measured {
            Measured::Volts { .. } => self.most_volts().0,
            Measured::Amps { .. } => self.most_amps().0,
            Measured::Ohms { .. } | Measured::JumpLead { .. } | Measured::Moved { .. } => {
                return None;
            }
        };
        if low > most || high < -most {
            return Some(Impossible::Beyond(most));
        }
        let Measured::Volts { high: red, low: black } = measured else { return None };
        let over = self.batteries.iter().position(|own| {
            self.touches(red) == own.positive
                && self.touches(black) == own.negative
                && high < -REVERSED_MARGIN * own.nominal.0
        });
        over.map(|at| Impossible::Reversed(BatteryId::at(at)))
    }

    /// The point at which a probe is, its joint being nothing.
    #[must_use]
    pub fn touches(&self, probe: Probe) -> crate::id::PointId {
        match probe {
            Probe::Point(point) => point,
            Probe::Lug(joint) => self.joint(joint).point,
        }
    }

    /// The nominal volts of the longest row of batteries one behind the other, metal taken as one.
    fn in_series(&self) -> f64 {
        let bodies = self.bodies();
        let mut most = 0.0_f64;
        let mut known: Vec<Option<f64>> = vec![None; self.points.len()];
        for start in &self.batteries {
            if known[bodies[start.negative.index()]].is_some() {
                continue;
            }
            known[bodies[start.negative.index()]] = Some(0.0);
            let mut here = vec![0.0];
            let mut grown = true;
            while grown {
                grown = false;
                for own in &self.batteries {
                    let plus = bodies[own.positive.index()];
                    let minus = bodies[own.negative.index()];
                    let (at, volts) = match (known[minus], known[plus]) {
                        (Some(low), None) => (plus, low + own.nominal.0),
                        (None, Some(high)) => (minus, high - own.nominal.0),
                        _ => continue,
                    };
                    known[at] = Some(volts);
                    here.push(volts);
                    grown = true;
                }
            }
            let highest = here.iter().copied().fold(f64::MIN, f64::max);
            let lowest = here.iter().copied().fold(f64::MAX, f64::min);
            most = most.max(highest - lowest);
        }
        most
    }

    /// For each point the number of the body of metal that it belongs to, all switches closed.
    fn bodies(&self) -> Vec<usize> {
        let mut body: Vec<usize> = (0..self.points.len()).collect();
        let root = |body: &[usize], mut at: usize| {
            while body[at] != at {
                at = body[at];
            }
            at
        };
        for (a, b) in self.pieces().filter_map(|piece| self.piece_ends(piece)) {
            let (a, b) = (root(&body, a.index()), root(&body, b.index()));
            body[a] = b;
        }
        (0..body.len()).map(|at| root(&body, at)).collect()
    }
}
