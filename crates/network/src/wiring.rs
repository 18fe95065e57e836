//! A vehicle as a circuit: which node is which point, which resistor is which pieces, which device is
//! what. Nothing here knows a state: that is the business of [`crate::conditions`].

use std::collections::BTreeMap;

use model::{
    BatteryId, ConductorId, IncidentalId, InlineId, JointId, LoadId, RegulatedId, StretchId,
};
use model::{InlineKind, Piece, PointId, Vehicle};

use crate::circuit::Circuit;

/// A resistor of the circuit: one piece, or a conductor with the joints and crimps at its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Branch {
    pub from: usize,
    pub to: usize,
    pieces: [Option<Piece>; 5],
    /// Number of the path that the file does not show, for one that is only thought of.
    pub extra: Option<usize>,
}

impl Branch {
    fn one(from: PointId, to: PointId, piece: Piece) -> Self {
        Self {
            from: from.index(),
            to: to.index(),
            pieces: [Some(piece), None, None, None, None],
            extra: None,
        }
    }

    /// Its pieces in order from `from` to `to`.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = Piece> + '_ {
        self.pieces.iter().flatten().copied()
    }
}

/// What a device of the circuit stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Device {
    /// A battery.
    Battery(BatteryId),
    /// An alternator, a charger, or the output of a converter.
    Regulated(RegulatedId),
    /// The input of a converter.
    Input(RegulatedId),
    /// A load.
    Load(LoadId),
    /// A diode.
    Diode(InlineId),
}

/// A vehicle laid out as a circuit.
#[derive(Debug)]
pub(crate) struct Wiring<'v> {
    pub vehicle: &'v Vehicle,
    pub circuit: Circuit,
    pub branches: Vec<Branch>,
    pub devices: Vec<Device>,
    branch_of: BTreeMap<Piece, usize>,
}

impl<'v> Wiring<'v> {
    /// Lays a vehicle out, with places for paths that its file does not show.
    pub(crate) fn new(vehicle: &'v Vehicle, extra: &[(PointId, PointId)]) -> Self {
        let mut branches = branches(vehicle);
        branches.extend(extra.iter().enumerate().map(|(at, (from, to))| Branch {
            from: from.index(),
            to: to.index(),
            pieces: [None; 5],
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
        let held = branches.iter().enumerate();
        let branch_of =
            held.flat_map(|(at, branch)| branch.pieces().map(move |piece| (piece, at))).collect();
        Self { vehicle, circuit, branches, devices, branch_of }
    }

    /// Volts across each device, from those of the nodes.
    pub(crate) fn across(&self, volts: &[f64]) -> Vec<f64> {
        self.circuit.devices.iter().map(|&(plus, minus)| volts[plus] - volts[minus]).collect()
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
        self.branch_of.get(&piece).copied()
    }
}

fn branches(vehicle: &Vehicle) -> Vec<Branch> {
    let mut branches = Vec::new();
    for (at, conductor) in vehicle.conductors.iter().enumerate() {
        let [[from, from_crimp], [to_crimp, to]] =
            conductor.ends().map(|own| own.map(|joint| joint.map(Piece::Joint)));
        let strands = Some(Piece::Conductor(ConductorId::at(at)));
        branches.push(Branch {
            from: vehicle.joint(conductor.from).point.index(),
            to: vehicle.joint(conductor.to).point.index(),
            pieces: [from, from_crimp, strands, to_crimp, to],
            extra: None,
        });
    }
    for (at, joint) in vehicle.joints.iter().enumerate() {
        let id = JointId::at(at);
        if let Some(terminal) = vehicle.own_point(id) {
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
