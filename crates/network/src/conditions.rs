//! What a state means for every piece and every device: decided here, once, and read by all the rest.
//!
//! [`Conditions::first`] says how a state begins. What settles around the solution (heat, remote sensing,
//! converters, loads that drop out) and what is thought to be different (deviations, failures) changes
//! the conditions; [`Conditions::numbers`] makes of them the numbers that a circuit is solved with.

use catalogue::Defaults;
use model::{
    BatteryId, ConductorId, Conducts, InlineKind, LoadId, LoadKind, Piece, RegulatedId, StateId,
    Vehicle,
};
use physics::conductor::temperature_factor;
use physics::element::Diode;
use physics::source::{Battery, Cold, ConverterInput, Regulated};
use units::{Kelvin, Ohms, Ratio, Volts, Watts};

use crate::circuit::Numbers;
use crate::deviations::Deviations;
use crate::law::Law;
use crate::wiring::{Branch, Device, Wiring};

/// The last limit of power and what the feed gave with it, from which the next is found.
pub(crate) type LimitStep = Option<(f64, f64)>;

/// Volts held with which something was short, and with which it had too much, each with how much was lacking.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Bracket {
    pub short: Option<(f64, f64)>,
    pub over: Option<(f64, f64)>,
}

impl Bracket {
    /// Takes note of what was lacking with these volts held. An end that stays while the other moves counts half
    /// as much each time (the Illinois rule): one that was noted while something else stood elsewhere would hold
    /// the secant at the other end for good.
    pub(crate) fn note(&mut self, held: f64, lacks: f64) {
        let (same, other) = if lacks > 0.0 {
            (&mut self.short, &mut self.over)
        } else {
            (&mut self.over, &mut self.short)
        };
        if let (Some(_), Some(stays)) = (same.replace((held, lacks)), other) {
            stays.1 *= 0.5;
        }
        // What was known may be so no more, when something else has moved meanwhile.
        let narrow = |((low, _), (high, _)): ((f64, f64), (f64, f64))| high - low < 1e-8;
        if self.short.zip(self.over).is_some_and(narrow) {
            *self = Self::default();
        }
    }

    /// The wanted volts where they lie between, or else a place between by the secant.
    pub(crate) fn within(self, wanted: f64) -> f64 {
        match (self.short, self.over) {
            (Some((low, lacks)), Some((high, over))) if wanted <= low || wanted >= high => {
                low + (high - low) * (lacks / (lacks - over)).clamp(0.1, 0.9)
            }
            _ => wanted,
        }
    }
}

/// Everything that a state and what has settled in it say of pieces and devices.
#[derive(Debug, Clone)]
pub(crate) struct Conditions {
    pub state: StateId,
    /// Temperature of each conductor's metal.
    pub temperatures: Vec<Kelvin>,
    /// Resistance of each conductor, near enough at its temperature.
    pub conductor_ohms: Vec<f64>,
    /// Voltage that each regulated source holds at its own terminals.
    pub held_volts: Vec<f64>,
    /// Power that each converter takes in if its feed can give it.
    pub input_watts: Vec<f64>,
    /// The most that each converter can give, from what its feed gives; endless where that suffices.
    pub output_watts: Vec<f64>,
    /// How often each converter was found to need no such limit after it had one.
    pub releases: Vec<u8>,
    /// From what each converter's limit is found.
    pub limit_steps: Vec<LimitStep>,
    /// What the temperature leaves of each battery.
    pub cold: Vec<Cold>,
    /// What each half of an equaliser was to take in the last round, and what it then had to.
    pub input_steps: Vec<LimitStep>,
    /// Between what each half of an equaliser is known to hold too little and too much.
    pub brackets: Vec<Bracket>,
    /// What each conductor's resistance was taken as in the last round, and what its heat then asked for.
    pub warm_steps: Vec<LimitStep>,
    /// Loads that have switched themselves off.
    pub dropped: Vec<bool>,
    /// How the vehicle is thought to differ from its file.
    pub deviations: Deviations,
    /// Batteries that are gone.
    pub lost_batteries: Vec<BatteryId>,
    /// Alternators, chargers and converters that deliver nothing.
    pub lost_regulated: Vec<RegulatedId>,
}

impl Conditions {
    /// The conditions from which a solve begins: everything at the state's air temperature.
    pub(crate) fn first(vehicle: &Vehicle, state: StateId) -> Self {
        let conductors = || (0..vehicle.conductors.len()).map(ConductorId::at);
        let temperatures: Vec<Kelvin> = conductors().map(|id| air(vehicle, id, state)).collect();
        let at_first = conductors().zip(&temperatures);
        Self {
            state,
            conductor_ohms: at_first.map(|(id, air)| conductor_ohms(vehicle, id, *air).0).collect(),
            temperatures,
            held_volts: vehicle.regulated.iter().map(held_at_first).collect(),
            input_watts: vec![0.0; vehicle.regulated.len()],
            output_watts: vec![f64::INFINITY; vehicle.regulated.len()],
            releases: vec![0; vehicle.regulated.len()],
            limit_steps: vec![None; vehicle.regulated.len()],
            cold: vehicle
                .batteries
                .iter()
                .map(|battery| battery.cold(vehicle.state(state).batteries))
                .collect(),
            input_steps: vec![None; vehicle.regulated.len()],
            brackets: vec![Bracket::default(); vehicle.regulated.len()],
            warm_steps: vec![None; vehicle.conductors.len()],
            dropped: vec![false; vehicle.loads.len()],
            deviations: Deviations::default(),
            lost_batteries: Vec::new(),
            lost_regulated: Vec::new(),
        }
    }

    /// The same under other deviations, as what settled left it, ready to settle anew.
    pub(crate) fn under(&self, deviations: Deviations) -> Self {
        let mut other = self.clone();
        other.deviations = deviations;
        other.releases.fill(0);
        other.limit_steps.fill(None);
        other.input_steps.fill(None);
        other.brackets.fill(Bracket::default());
        other
    }

    /// The numbers that the circuit is solved with.
    pub(crate) fn numbers(&self, wiring: &Wiring<'_>) -> Numbers {
        let vehicle = wiring.vehicle;
        Numbers {
            siemens: wiring.branches.iter().map(|branch| self.siemens(vehicle, branch)).collect(),
            laws: wiring.devices.iter().map(|device| self.law(vehicle, *device)).collect(),
        }
    }

    /// Resistance of a piece, conducting.
    pub(crate) fn ohms(&self, vehicle: &Vehicle, piece: Piece) -> Ohms {
        let as_written = match piece {
            Piece::Conductor(id) => Ohms(self.conductor_ohms[id.index()]),
            other => vehicle.piece_resistance(other),
        };
        match self.deviations.pieces.get(vehicle.piece_slot(piece)) {
            Some(exponent) if *exponent != 0.0 => as_written * exponent.exp(),
            _ => as_written,
        }
    }

    /// Siemens of a branch; zero when a switch in it is open.
    fn siemens(&self, vehicle: &Vehicle, branch: &Branch) -> f64 {
        if let Some(extra) = branch.extra {
            let ohms = self.deviations.extra.get(extra).copied().flatten();
            return ohms.map_or(0.0, |ohms| 1.0 / ohms.0);
        }
        if branch.pieces().any(|piece| vehicle.conducts(piece, self.state) == Conducts::Not) {
            0.0
        } else {
            1.0 / branch.pieces().map(|piece| self.ohms(vehicle, piece).0).sum::<f64>()
        }
    }

    fn law(&self, vehicle: &Vehicle, device: Device) -> Law {
        match device {
            Device::Battery(id) => self.battery(vehicle, id),
            Device::Regulated(id) => self.regulated(vehicle, id),
            Device::Input(id) => self.input(vehicle, id),
            Device::Load(id) => self.load(vehicle, id),
            Device::Diode(id) => match vehicle.inline(id).kind {
                InlineKind::Diode { drop } => {
                    Law::Diode(Diode { drop, resistance: vehicle.inline(id).resistance })
                }
                InlineKind::Fuse { .. } | InlineKind::Switch { .. } | InlineKind::Shunt => Law::Off,
            },
        }
    }

    fn battery(&self, vehicle: &Vehicle, id: BatteryId) -> Law {
        if self.lost_batteries.contains(&id) {
            return Law::Off;
        }
        let battery = vehicle.battery(id);
        let factor = self.deviations.batteries.get(id.index()).map_or(1.0, |own| own.exp());
        let more = self.deviations.emf.get(id.index()).copied().unwrap_or(Volts::ZERO);
        let cold = self.cold[id.index()];
        // A worn battery has less of its plates left: it resists and polarises like a smaller one.
        let worn = battery.resistance * factor;
        let discharging = worn * cold.resistance.0;
        let charging = battery.charge_resistance[self.state.index()] / cold.exchange.0;
        Law::Battery(Battery {
            at_rest: battery.open_circuit[self.state.index()] + more,
            discharging,
            polarisation: battery.plates.polarisation,
            exchange: battery.plates.exchange(worn, cold),
            charging: charging.max(discharging),
        })
    }

    fn regulated(&self, vehicle: &Vehicle, id: RegulatedId) -> Law {
        let source = vehicle.regulated_source(id);
        if self.lost_regulated.contains(&id) || !source.runs_in(self.state) {
            return Law::Off;
        }
        Law::Regulated(Regulated {
            held: Volts(self.held_volts[id.index()]),
            droop: source.droop,
            limit: source.limit[self.state.index()],
            power: Watts(self.output_watts[id.index()]),
        })
    }

    fn input(&self, vehicle: &Vehicle, id: RegulatedId) -> Law {
        let power = Watts(self.input_watts[id.index()]);
        match &vehicle.regulated_source(id).input {
            Some(input) if power > Watts::ZERO => {
                let floor = input.minimum;
                let resistance = input_ohms(vehicle, id, self.state);
                Law::Input(ConverterInput { power, floor, resistance })
            }
            _ => Law::Off,
        }
    }

    fn load(&self, vehicle: &Vehicle, id: LoadId) -> Law {
        let load = vehicle.load(id);
        if !load.is_on_in(self.state) || self.dropped[id.index()] {
            return Law::Off;
        }
        let exponent = self.deviations.draws.get(id.index()).copied().unwrap_or(0.0);
        let law = load.law.scaled(exponent.exp());
        let state = vehicle.state(self.state);
        Law::Load(match load.kind {
            _ if state.first_moment => law.at_first(lamp_times(load.kind)),
            LoadKind::Starter => law.against(cold_oil(state.engine_space)),
            _ => law,
        })
    }
}

/// A current that differs from another by less is the same: what a device leaks, in amperes.
pub(crate) const LEAST_AMPERES: f64 = 1e-6;

/// Where a quantity that was taken as the first of each pair, and then asked to be the second, would be
/// what it was taken as: by the secant through both, not further than the rise of it can be trusted.
pub(crate) fn meets((before, asked): (f64, f64), (now, asks): (f64, f64)) -> f64 {
    let slope = (asks - asked) / (now - before);
    if !slope.is_finite() || slope > 0.95 {
        return asks;
    }
    let slope = slope.max(-20.0);
    (asks - slope * now) / (1.0 - slope)
}

/// First current of what is a filament over its settled one.
fn lamp_times(kind: LoadKind) -> Option<Ratio> {
    (kind == LoadKind::Lamp).then_some(Defaults::standard().lamp_first_times)
}

/// How many times as heavy a cold engine turns: twice in the cold of the tests, by the same factor for each
/// kelvin as oil thickens, and never lighter than warm.
fn cold_oil(engine: Kelvin) -> Ratio {
    let (warm, cold) = (Kelvin::from_celsius(20.0), Kelvin::from_celsius(-18.0));
    let share = (warm - engine) / (warm - cold);
    Ratio(Defaults::standard().cold_oil_times.0.powf(share.max(0.0)))
}
/// What a source holds when nothing has settled yet. An equaliser begins at nothing: both of its halves
/// working against each other would be a rest too, and one that only makes heat.
fn held_at_first(source: &model::Regulated) -> f64 {
    if source.follows.is_some() { HELD_BY_NONE } else { source.set_point.0 }
}

/// Volts that hold nothing up.
pub(crate) const HELD_BY_NONE: f64 = 1e-3;

/// The most that a converter takes in: its full output, with remote sensing a quarter above what it
/// holds, over its efficiency.
pub(crate) fn most_input_watts(vehicle: &Vehicle, id: RegulatedId, state: StateId) -> f64 {
    let source = vehicle.regulated_source(id);
    let efficiency = source.input.as_ref().map_or(1.0, |input| input.efficiency.0);
    1.25 * source.set_point.0 * source.limit[state.index()].0 / efficiency
}

/// How sharply a converter holds its feed up: from nothing to all it takes within a fiftieth of the
/// voltage that it holds.
fn input_ohms(vehicle: &Vehicle, id: RegulatedId, state: StateId) -> Ohms {
    let floor = vehicle.regulated_source(id).input.as_ref().map_or(1.0, |input| input.minimum.0);
    Ohms(0.02 * floor * floor / most_input_watts(vehicle, id, state))
}

/// Temperature of the air around a conductor in a state.
pub(crate) fn air(vehicle: &Vehicle, conductor: ConductorId, state: StateId) -> Kelvin {
    let state = vehicle.state(state);
    match vehicle.conductor(conductor).surroundings {
        model::Surroundings::EngineSpace => state.engine_space,
        model::Surroundings::Inside | model::Surroundings::Outside => state.air,
    }
}

/// Resistance of a conductor at a temperature of its metal.
pub(crate) fn conductor_ohms(vehicle: &Vehicle, conductor: ConductorId, metal: Kelvin) -> Ohms {
    let conductor = vehicle.conductor(conductor);
    let factor = temperature_factor(conductor.temperature_coefficient, metal);
    // The straight line of a metal far below freezing would end below zero.
    conductor.resistance_at_20 * factor.0.max(0.1)
}
