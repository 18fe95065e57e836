//! What a state means for every piece and every device: decided here, once, and read by all the rest.
//!
//! [`Conditions::first`] says how a state begins. What settles around the solution (heat, remote sensing,
//! converters, loads that drop out) and what is thought to be different (deviations, failures) changes
//! the conditions; [`Conditions::numbers`] makes of them the numbers that a circuit is solved with.

use model::{
    BatteryId, ConductorId, Conducts, InlineKind, LoadId, Piece, RegulatedId, StateId, Vehicle,
};
use physics::conductor::temperature_factor;
use physics::element::Diode;
use physics::source::{Battery, ConverterInput, Regulated};
use units::{Kelvin, Ohms, Volts, Watts};

use crate::circuit::Numbers;
use crate::deviations::Deviations;
use crate::law::Law;
use crate::wiring::{Branch, Device, Wiring};

/// The last limit of power and what the feed gave with it, from which the next is found.
pub(crate) type LimitStep = Option<(f64, f64)>;

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
            held_volts: vehicle.regulated.iter().map(|source| source.set_point.0).collect(),
            input_watts: vec![0.0; vehicle.regulated.len()],
            output_watts: vec![f64::INFINITY; vehicle.regulated.len()],
            releases: vec![0; vehicle.regulated.len()],
            limit_steps: vec![None; vehicle.regulated.len()],
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
        let discharging = battery.resistance * factor;
        Law::Battery(Battery {
            at_rest: battery.open_circuit[self.state.index()] + more,
            discharging,
            charging: battery.charge_resistance[self.state.index()].max(discharging),
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
        Law::Load(load.law.scaled(exponent.exp()))
    }
}

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
