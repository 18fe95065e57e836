//! The most that a vehicle's sources can give: what is beyond it was not measured there.

use units::{Amperes, Volts};

use crate::engine::Engine;
use crate::id::{BatteryId, PointId, StateId};
use crate::reading::{Measured, Probe, Reading, Told};
use crate::source::Battery;
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
/// Share of its nominal voltage that a battery shows at most with nothing charging it and no starter on
/// it: a charged one of 12 V rests at 12.7 to 12.9 and shows 13.2 and more soon after a charge, for hours
/// if nothing draws on it (common practice); 13.5 is the most that we believe (our judgement).
const MOST_RESTED: f64 = 1.125;
/// The same while a starter draws on it, which takes the surface charge away at once (common practice);
/// 13.2 of 12 V is the most that we believe (our judgement).
const MOST_CRANKING: f64 = 1.1;
/// How far above the open-circuit voltage of its file a battery may be when nothing charges it (our
/// judgement).
const MOST_OF_ITS_OWN: f64 = 1.04;
/// How far above what batteries alone give into a dead short a current may be: a new, warm one may have
/// two thirds of the resistance that the file says, or a tenth less than its writer thinks likely (our
/// judgement).
const SHORTED_MARGIN: (f64, f64) = (1.5, 1.1);
/// A point is no further below the lowest post of all batteries, or above the highest, than this share of
/// the nominal voltage, however a meter drifts (our judgement); ideally it is at neither.
const OUTSIDE_MARGIN: f64 = 0.1;

/// Why a value cannot be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Impossible {
    /// More than the sources give; the most, in volts or amperes.
    Beyond(f64),
    /// More than the batteries alone give in a state in which nothing else does; the most, in volts or
    /// amperes.
    BeyondBatteries(f64),
    /// A point below the lowest post of all batteries, or above the highest, with nothing else feeding.
    Outside,
    /// A minus over a battery whose plus was named: its probes were crossed.
    Reversed(BatteryId),
}

impl Vehicle {
    /// The highest voltage that may be shown between any two points, whatever is bad: what the sources
    /// hold one behind the other, with a margin for charging.
    #[must_use]
    pub fn most_volts(&self) -> Volts {
        let held = self.regulated.iter().map(|source| source.set_point.0);
        let highest =
            held.chain([self.in_series(|own| own.nominal.0), self.nominal.0]).fold(0.0, f64::max);
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

    /// Why a value cannot be, if it cannot: between two numbers the one nearer to zero counts. Without a
    /// state only what no state shows is ruled out.
    #[must_use]
    pub fn impossible(
        &self,
        state: Option<StateId>,
        measured: Measured,
        told: Told,
    ) -> Option<Impossible> {
        let (low, high) = bounds(told)?;
        let beyond = |most: f64| low > most || high < -most;
        let most = match measured {
            Measured::Volts { .. } => self.most_volts().0,
            Measured::Amps { .. } => self.most_amps().0,
            Measured::Ohms { .. } | Measured::JumpLead { .. } | Measured::Moved { .. } => {
                return None;
            }
        };
        if beyond(most) {
            return Some(Impossible::Beyond(most));
        }
        let alone = state.filter(|state| self.batteries_alone(*state));
        if let Some(most) =
            alone.map(|state| self.most_alone(state, measured)).filter(|own| beyond(*own))
        {
            return Some(Impossible::BeyondBatteries(most));
        }
        let Measured::Volts { high: red, low: black } = measured else { return None };
        let (red, black) = (self.touches(red), self.touches(black));
        let over = self.batteries.iter().position(|own| {
            red == own.positive && black == own.negative && high < -REVERSED_MARGIN * own.nominal.0
        });
        if let Some(at) = over {
            return Some(Impossible::Reversed(BatteryId::at(at)));
        }
        let (lowest, highest) = alone.and_then(|_| self.ends_of_the_row())?;
        let outside =
            (black == lowest || red == highest) && high < -OUTSIDE_MARGIN * self.nominal.0;
        outside.then_some(Impossible::Outside)
    }

    /// The same for a reading. One whose sign was told is held to it both ways round: a plus from minus to
    /// plus is a minus from plus to minus.
    #[must_use]
    pub fn rules_out(&self, reading: &Reading) -> Option<Impossible> {
        let other = || {
            let Measured::Volts { high, low } = reading.measured else { return None };
            let turned = Measured::Volts { high: low, low: high };
            // Nobody named the plus first there.
            self.impossible(reading.state, turned, reading.told.turned()).map(|own| match own {
                Impossible::Reversed(_) => Impossible::Outside,
                other => other,
            })
        };
        let own = self.impossible(reading.state, reading.measured, reading.told);
        own.or_else(|| reading.signed.then(other).flatten())
    }

    /// True in a state in which nothing but batteries gives anything.
    fn batteries_alone(&self, state: StateId) -> bool {
        !self.batteries.is_empty() && !self.regulated.iter().any(|own| own.runs_in(state))
    }

    /// The most that the batteries alone show in a state, in volts or amperes.
    fn most_alone(&self, state: StateId, measured: Measured) -> f64 {
        let share = match self.engine_in(state) {
            Engine::Cranks => MOST_CRANKING,
            Engine::Stands | Engine::Runs => MOST_RESTED,
        };
        let most = |own: &Battery| {
            let open = own.open_circuit.get(state.index()).map_or(0.0, |own| own.0);
            (share * own.nominal.0).max(MOST_OF_ITS_OWN * open.max(own.rested.0))
        };
        match measured {
            Measured::Volts { high, low } => {
                let ends = [self.touches(high), self.touches(low)];
                let over =
                    |own: &&Battery| ends.contains(&own.positive) && ends.contains(&own.negative);
                match self.batteries.iter().find(over) {
                    Some(only) => most(only),
                    None => self.in_series(most),
                }
            }
            _ => {
                let shorted = self.batteries.iter().map(|own| {
                    let stated = SHORTED_MARGIN.0 / own.resistance.0;
                    let likely = own.likely_resistance.as_ref();
                    most(own) * likely.map_or(stated, |own| SHORTED_MARGIN.1 / own.low.0)
                });
                shorted.sum::<f64>()
            }
        }
    }

    /// The lowest and the highest post, when all batteries stand in one row.
    ///
    /// With nothing else feeding, no point is outside them: current runs from higher to lower points only.
    fn ends_of_the_row(&self) -> Option<(PointId, PointId)> {
        let bodies = self.bodies();
        let at = |point: PointId| bodies[point.index()];
        let alone = |ends: Vec<PointId>| match ends.as_slice() {
            [only] => Some(*only),
            _ => None,
        };
        let lowest = self
            .batteries
            .iter()
            .map(|own| own.negative)
            .filter(|end| !self.batteries.iter().any(|own| at(own.positive) == at(*end)));
        let highest = self
            .batteries
            .iter()
            .map(|own| own.positive)
            .filter(|end| !self.batteries.iter().any(|own| at(own.negative) == at(*end)));
        alone(lowest.collect()).zip(alone(highest.collect()))
    }

    /// The point at which a probe is, its joint being nothing.
    #[must_use]
    pub fn touches(&self, probe: Probe) -> PointId {
        match probe {
            Probe::Point(point) => point,
            Probe::Lug(joint) | Probe::Strand(joint) => self.joint(joint).point,
        }
    }

    /// The volts of the longest row of batteries one behind the other, metal taken as one.
    fn in_series(&self, volts: impl Fn(&Battery) -> f64) -> f64 {
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
                    let (at, here_volts) = match (known[minus], known[plus]) {
                        (Some(low), None) => (plus, low + volts(own)),
                        (None, Some(high)) => (minus, high - volts(own)),
                        _ => continue,
                    };
                    known[at] = Some(here_volts);
                    here.push(here_volts);
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
        self.parts(|_| true).roots()
    }
}

/// The lower and the higher number; nothing where none was told.
fn bounds(told: Told) -> Option<(f64, f64)> {
    match told {
        Told::Value(value)
        | Told::About(value)
        | Told::Held(value)
        | Told::AtLeast(value)
        | Told::Gauge(value) => Some((value, value)),
        Told::Between(low, high) => Some((low.min(high), low.max(high))),
        Told::Nothing | Told::Change(_) => None,
    }
}
