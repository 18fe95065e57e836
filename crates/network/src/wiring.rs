//! A vehicle as a circuit: which node is which point, which resistor is which pieces, which device is what.

use model::{
    BatteryId, ConductorId, IncidentalId, InlineId, JointId, LoadId, RegulatedId, StretchId,
};
use model::{Inline, InlineKind, LoadLaw, Piece, PointId, StateId, Vehicle};
use units::{Amperes, Kelvin, Ohms, Volts};

use crate::circuit::{Circuit, Numbers};
use crate::converter::LimitStep;
use crate::law::Law;
use crate::trial::Deviations;

/// A resistor of the circuit: one piece, or a conductor with the joints at its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Branch {
    pub from: usize,
    pub to: usize,
    pieces: [Option<Piece>; 3],
    /// Number of the path that the file does not show, for one that is only thought of.
    pub extra: Option<usize>,
}

impl Branch {
    fn one(from: PointId, to: PointId, piece: Piece) -> Self {
        Self { from: from.index(), to: to.index(), pieces: [Some(piece), None, None], extra: None }
    }

    /// Its pieces in order from `from` to `to`.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = Piece> + '_ {
        self.pieces.iter().flatten().copied()
    }
}

/// What a device of the circuit stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Device {
    Battery(BatteryId),
    Regulated(RegulatedId),
    Input(RegulatedId),
    Load(LoadId),
    Diode(InlineId),
}

/// A vehicle laid out as a circuit.
#[derive(Debug)]
pub(crate) struct Wiring<'v> {
    pub vehicle: &'v Vehicle,
    pub circuit: Circuit,
    pub branches: Vec<Branch>,
    pub devices: Vec<Device>,
}

/// What changes from one solve of a state to the next.
#[derive(Debug, Clone)]
pub(crate) struct Conditions {
    /// Resistance of each conductor at its temperature.
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

impl<'v> Wiring<'v> {
    /// Lays a vehicle out, with places for paths that its file does not show.
    pub(crate) fn new(vehicle: &'v Vehicle, extra: &[(PointId, PointId)]) -> Self {
        let mut branches = branches(vehicle);
        branches.extend(extra.iter().enumerate().map(|(at, (from, to))| Branch {
            from: from.index(),
            to: to.index(),
            pieces: [None; 3],
            extra: Some(at),
        }));
        let devices = devices(vehicle);
        let reference = vehicle.batteries.first().map(|battery| battery.negative);
        let reference =
            reference.or_else(|| vehicle.regulated.first().map(|source| source.negative));
        let ends = |device: &Device| {
            let (plus, minus) = terminals(vehicle, *device);
            (plus.index(), minus.index())
        };
        let circuit = Circuit::new(
            vehicle.points.len(),
            branches.iter().map(|branch| (branch.from, branch.to)).collect(),
            devices.iter().map(ends).collect(),
            reference.map_or(0, PointId::index),
        );
        Self { vehicle, circuit, branches, devices }
    }

    /// Resistance of a piece under the conditions, conducting.
    pub(crate) fn ohms(&self, piece: Piece, conditions: &Conditions) -> Ohms {
        let as_written = match piece {
            Piece::Conductor(id) => Ohms(conditions.conductor_ohms[id.index()]),
            other => self.vehicle.piece_resistance(other),
        };
        match conditions.deviations.pieces.get(self.vehicle.piece_slot(piece)) {
            Some(exponent) if *exponent != 0.0 => as_written * exponent.exp(),
            _ => as_written,
        }
    }

    /// Siemens of a branch in a state; zero when a switch in it is open.
    fn siemens(&self, branch: &Branch, state: StateId, conditions: &Conditions) -> f64 {
        if let Some(extra) = branch.extra {
            let ohms = conditions.deviations.extra.get(extra).copied().flatten();
            return ohms.map_or(0.0, |ohms| 1.0 / ohms.0);
        }
        let open = branch.pieces().any(|piece| match piece {
            Piece::Inline(id) => match &self.vehicle.inline(id).kind {
                InlineKind::Switch { closed } => !closed.contains(&state),
                InlineKind::Fuse { .. } | InlineKind::Diode { .. } => false,
            },
            _ => false,
        });
        if open {
            0.0
        } else {
            1.0 / branch.pieces().map(|piece| self.ohms(piece, conditions).0).sum::<f64>()
        }
    }

    pub(crate) fn numbers(&self, state: StateId, conditions: &Conditions) -> Numbers {
        Numbers {
            siemens: self
                .branches
                .iter()
                .map(|branch| self.siemens(branch, state, conditions))
                .collect(),
            laws: self.devices.iter().map(|device| self.law(*device, state, conditions)).collect(),
        }
    }

    pub(crate) fn law(&self, device: Device, state: StateId, conditions: &Conditions) -> Law {
        let vehicle = self.vehicle;
        match device {
            Device::Battery(id) if conditions.lost_batteries.contains(&id) => Law::Off,
            Device::Regulated(id) if conditions.lost_regulated.contains(&id) => Law::Off,
            Device::Battery(id) => {
                let battery = vehicle.battery(id);
                let deviations = &conditions.deviations;
                let factor =
                    deviations.batteries.get(id.index()).map_or(1.0, |exponent| exponent.exp());
                Law::Battery {
                    emf: battery.open_circuit[state.index()].0
                        + deviations.emf.get(id.index()).map_or(0.0, |volts| volts.0),
                    discharge: battery.resistance.0 * factor,
                    charge: battery.charge_resistance[state.index()]
                        .0
                        .max(battery.resistance.0 * factor),
                }
            }
            Device::Regulated(id) => {
                let source = vehicle.regulated_source(id);
                if source.runs_in(state) {
                    Law::Regulated {
                        set: conditions.held_volts[id.index()],
                        droop: source.droop.0,
                        limit: source.limit[state.index()].0,
                        watts: conditions.output_watts[id.index()],
                    }
                } else {
                    Law::Off
                }
            }
            Device::Input(id) => {
                let watts = conditions.input_watts[id.index()];
                match &vehicle.regulated_source(id).input {
                    Some(input) if watts > 0.0 => {
                        let floor = input.minimum.0;
                        Law::Input { watts, floor, ohms: input_ohms(vehicle, id, state) }
                    }
                    _ => Law::Off,
                }
            }
            Device::Load(id) => {
                let load = vehicle.load(id);
                if load.is_on_in(state) && !conditions.dropped[id.index()] {
                    let exponent =
                        conditions.deviations.draws.get(id.index()).copied().unwrap_or(0.0);
                    load_law(load.law).scaled(exponent.exp())
                } else {
                    Law::Off
                }
            }
            Device::Diode(id) => {
                let Inline { kind, resistance, .. } = vehicle.inline(id);
                match kind {
                    InlineKind::Diode { drop } => Law::Diode { drop: drop.0, ohms: resistance.0 },
                    InlineKind::Fuse { .. } | InlineKind::Switch { .. } => Law::Off,
                }
            }
        }
    }

    /// The conditions from which a solve begins: everything at the state's air temperature.
    pub(crate) fn first_conditions(&self, state: StateId) -> Conditions {
        let vehicle = self.vehicle;
        Conditions {
            conductor_ohms: (0..vehicle.conductors.len())
                .map(|at| {
                    conductor_ohms(
                        vehicle,
                        ConductorId::at(at),
                        air(vehicle, ConductorId::at(at), state),
                    )
                    .0
                })
                .collect(),
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

    /// The device that stands for something; devices lie in the order of [`devices`].
    pub(crate) fn device(&self, wanted: Device) -> Option<usize> {
        let sources = self.vehicle.batteries.len();
        let inputs = sources + self.vehicle.regulated.len();
        let at = match wanted {
            Device::Battery(id) => id.index(),
            Device::Regulated(id) => sources + id.index(),
            Device::Load(id) => {
                inputs
                    + self.vehicle.regulated.iter().filter(|s| s.input.is_some()).count()
                    + id.index()
            }
            Device::Input(_) | Device::Diode(_) => {
                self.devices.iter().position(|device| *device == wanted)?
            }
        };
        (self.devices.get(at) == Some(&wanted)).then_some(at)
    }

    /// The branch that holds a piece.
    pub(crate) fn branch_of(&self, piece: Piece) -> Option<usize> {
        self.branches.iter().position(|branch| branch.pieces().any(|own| own == piece))
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
fn input_ohms(vehicle: &Vehicle, id: RegulatedId, state: StateId) -> f64 {
    let floor = vehicle.regulated_source(id).input.as_ref().map_or(1.0, |input| input.minimum.0);
    0.02 * floor * floor / most_input_watts(vehicle, id, state)
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
    conductor.resistance_at_20
        * (1.0 + conductor.temperature_coefficient.0 * (metal.celsius() - 20.0)).max(0.1)
}

fn branches(vehicle: &Vehicle) -> Vec<Branch> {
    let mut branches = Vec::new();
    for (at, conductor) in vehicle.conductors.iter().enumerate() {
        branches.push(Branch {
            from: vehicle.joint(conductor.from).point.index(),
            to: vehicle.joint(conductor.to).point.index(),
            pieces: [
                Some(Piece::Joint(conductor.from)),
                Some(Piece::Conductor(ConductorId::at(at))),
                Some(Piece::Joint(conductor.to)),
            ],
            extra: None,
        });
    }
    for (at, joint) in vehicle.joints.iter().enumerate() {
        let id = JointId::at(at);
        if let Some(terminal) = vehicle.case_terminal(id) {
            branches.push(Branch::one(terminal, joint.point, Piece::Joint(id)));
        }
    }
    for (at, stretch) in vehicle.stretches.iter().enumerate() {
        branches.push(Branch::one(stretch.from, stretch.to, Piece::Stretch(StretchId::at(at))));
    }
    for (at, path) in vehicle.incidentals.iter().enumerate() {
        branches.push(Branch::one(path.from, path.to, Piece::Incidental(IncidentalId::at(at))));
    }
    for (at, part) in vehicle.inlines.iter().enumerate() {
        if !matches!(part.kind, InlineKind::Diode { .. }) {
            branches.push(Branch::one(part.from, part.to, Piece::Inline(InlineId::at(at))));
        }
    }
    branches
}

fn devices(vehicle: &Vehicle) -> Vec<Device> {
    let batteries = (0..vehicle.batteries.len()).map(|at| Device::Battery(BatteryId::at(at)));
    let regulated = (0..vehicle.regulated.len()).map(|at| Device::Regulated(RegulatedId::at(at)));
    let inputs = vehicle
        .regulated
        .iter()
        .enumerate()
        .filter(|(_, source)| source.input.is_some())
        .map(|(at, _)| Device::Input(RegulatedId::at(at)));
    let loads = (0..vehicle.loads.len()).map(|at| Device::Load(LoadId::at(at)));
    let diodes = vehicle
        .inlines
        .iter()
        .enumerate()
        .filter(|(_, part)| matches!(part.kind, InlineKind::Diode { .. }))
        .map(|(at, _)| Device::Diode(InlineId::at(at)));
    batteries.chain(regulated).chain(inputs).chain(loads).chain(diodes).collect()
}

fn terminals(vehicle: &Vehicle, device: Device) -> (PointId, PointId) {
    match device {
        Device::Battery(id) => (vehicle.battery(id).positive, vehicle.battery(id).negative),
        Device::Regulated(id) => {
            (vehicle.regulated_source(id).positive, vehicle.regulated_source(id).negative)
        }
        Device::Input(id) => {
            let source = vehicle.regulated_source(id);
            source.input.as_ref().map_or((source.positive, source.negative), |input| {
                (input.positive, input.negative)
            })
        }
        Device::Load(id) => (vehicle.load(id).positive, vehicle.load(id).negative),
        Device::Diode(id) => (vehicle.inline(id).from, vehicle.inline(id).to),
    }
}

pub(crate) fn load_law(law: LoadLaw) -> Law {
    match law {
        LoadLaw::Power {
            amps: Amperes(amps),
            rated: Volts(rated),
            exponent,
            knee: Volts(knee),
        } => Law::Power { amps, rated, exponent, knee },
        LoadLaw::Starter {
            amps: Amperes(amps),
            rated: Volts(rated),
            follows,
            stall: Ohms(stall),
        } => Law::Starter { amps, rated, follows: follows.0, stall },
        LoadLaw::Preheat {
            cold: Amperes(cold),
            settled: Amperes(settled),
            rated: Volts(rated),
        } => Law::Preheat { cold, settled, rated },
    }
}
