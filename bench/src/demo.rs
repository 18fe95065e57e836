//! The example vehicle, and one of its states as a linear network that any solver can be given.

use model::{
    BatteryId, ConductorId, IncidentalId, InlineId, JointId, LoadId, PointId, RegulatedId,
    StretchId,
};
use model::{InlineKind, LoadLaw, Piece, StateId, Vehicle};
use network::{LoadStatus, Network, OperatingPoint, SourceMode};

use crate::linear::Linear;

/// Every device conducts at least this much, in siemens.
const LEAK: f64 = 1e-9;

/// What stands in the place of an open switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Open {
    /// Nothing.
    Nothing,
    /// A megohm, as in draws.
    Megohm,
}

/// A state of a vehicle, each device replaced by the straight line that touches its law.
#[derive(Debug)]
pub(crate) struct Linearised {
    pub(crate) linear: Linear,
    /// The pieces of each branch that is not a device.
    pub(crate) pieces: Vec<Vec<Piece>>,
}

/// Written out anew from the vehicle, so that it also checks how the program lays vehicles out: the
/// voltages that it gives must be those of the operating point.
pub(crate) fn linearised(network: &Network<'_>, point: &OperatingPoint, open: Open) -> Linearised {
    let vehicle = network.vehicle();
    let (mut branches, pieces): (Vec<_>, Vec<_>) = resistors(vehicle).into_iter().unzip();
    let mut siemens: Vec<f64> = pieces
        .iter()
        .map(|pieces| {
            match (
                pieces.iter().all(|piece| {
                    network.vehicle().conducts(*piece, point.state) != model::Conducts::Not
                }),
                open,
            ) {
                (true, _) => {
                    1.0 / pieces
                        .iter()
                        .map(|piece| point.piece(vehicle, *piece).resistance.0)
                        .sum::<f64>()
                }
                (false, Open::Nothing) => 0.0,
                (false, Open::Megohm) => 1e-6,
            }
        })
        .collect();
    let volts = point.all_volts();
    let mut injection = vec![0.0; vehicle.points.len()];
    for Device { plus, minus, amps, slope } in devices(vehicle, point) {
        let rest = amps - slope * (volts[plus.index()].0 - volts[minus.index()].0);
        branches.push((plus.index(), minus.index()));
        siemens.push(slope);
        injection[plus.index()] -= rest;
        injection[minus.index()] += rest;
    }
    let reference = vehicle.batteries[0].negative.index();
    let n = vehicle.points.len();
    Linearised { linear: Linear::anchored(n, branches, siemens, injection, reference), pieces }
}

/// The state of a vehicle that has most loads switched on.
pub(crate) fn busiest(vehicle: &Vehicle) -> StateId {
    let on = |state: StateId| vehicle.loads.iter().filter(|load| load.is_on_in(state)).count();
    let states = (0..vehicle.states.len()).map(StateId::at);
    states.max_by_key(|state| on(*state)).expect("the example has states")
}

/// The joint that carries most.
pub(crate) fn busiest_joint(vehicle: &Vehicle, point: &OperatingPoint) -> JointId {
    let amps = |id: &JointId| point.piece(vehicle, Piece::Joint(*id)).amps.0.abs();
    let joints = (0..vehicle.joints.len()).map(JointId::at);
    joints.max_by(|a, b| amps(a).total_cmp(&amps(b))).expect("the example has joints")
}

fn resistors(vehicle: &Vehicle) -> Vec<((usize, usize), Vec<Piece>)> {
    let mut found = Vec::new();
    let mut add = |from: PointId, to: PointId, pieces: Vec<Piece>| {
        found.push(((from.index(), to.index()), pieces));
    };
    for (at, conductor) in vehicle.conductors.iter().enumerate() {
        let pieces = vec![
            Piece::Joint(conductor.from),
            Piece::Conductor(ConductorId::at(at)),
            Piece::Joint(conductor.to),
        ];
        add(vehicle.joint(conductor.from).point, vehicle.joint(conductor.to).point, pieces);
    }
    for (at, joint) in vehicle.joints.iter().enumerate() {
        let Some(terminal) = vehicle.own_point(JointId::at(at)) else { continue };
        add(terminal, joint.point, vec![Piece::Joint(JointId::at(at))]);
    }
    for (at, stretch) in vehicle.stretches.iter().enumerate() {
        add(stretch.from, stretch.to, vec![Piece::Stretch(StretchId::at(at))]);
    }
    for (at, path) in vehicle.incidentals.iter().enumerate() {
        add(path.from, path.to, vec![Piece::Incidental(IncidentalId::at(at))]);
    }
    for (at, part) in vehicle.inlines.iter().enumerate() {
        if !matches!(part.kind, InlineKind::Diode { .. }) {
            add(part.from, part.to, vec![Piece::Inline(InlineId::at(at))]);
        }
    }
    found
}

struct Device {
    plus: PointId,
    minus: PointId,
    /// From plus through the device to minus.
    amps: f64,
    slope: f64,
}

fn devices(vehicle: &Vehicle, point: &OperatingPoint) -> Vec<Device> {
    let mut devices = Vec::new();
    for (at, battery) in vehicle.batteries.iter().enumerate() {
        let now = point.battery(BatteryId::at(at));
        let cold = battery.cold(vehicle.state(point.state).batteries);
        let discharging = battery.resistance.0 * cold.resistance.0;
        let charging = now.volts >= battery.open_circuit[point.state.index()];
        let ohms = if charging {
            (battery.charge_resistance[point.state.index()].0 / cold.exchange.0).max(discharging)
        } else {
            // Volts that asinh(I / I0) rises for an ampere.
            let exchange = battery.plates.exchange(battery.resistance, cold).0;
            let rises = battery.plates.polarisation.0 / now.amps.0.hypot(exchange);
            discharging + if rises.is_finite() { rises } else { 0.0 }
        };
        let (plus, minus) = (battery.positive, battery.negative);
        devices.push(Device { plus, minus, amps: -now.amps.0, slope: 1.0 / ohms });
    }
    for (at, source) in vehicle.regulated.iter().enumerate() {
        assert!(source.sense.is_none() && source.input.is_none(), "the example has neither");
        let now = point.source(RegulatedId::at(at));
        let slope = match now.mode {
            SourceMode::Stopped => 0.0,
            SourceMode::Regulating => 1.0 / source.droop.0 + LEAK,
            SourceMode::Idle
            | SourceMode::Limited
            | SourceMode::Starved
            | SourceMode::DroppedOut => LEAK,
        };
        let (plus, minus) = (source.positive, source.negative);
        devices.push(Device { plus, minus, amps: -now.amps.0, slope });
    }
    for (at, load) in vehicle.loads.iter().enumerate() {
        let now = point.load(LoadId::at(at));
        let slope = match now.status {
            LoadStatus::Off | LoadStatus::DroppedOut => 0.0,
            _ => slope(load.law, now.volts.0) + LEAK,
        };
        let (plus, minus) = (load.positive, load.negative);
        devices.push(Device { plus, minus, amps: now.amps.0, slope });
    }
    for (at, part) in vehicle.inlines.iter().enumerate() {
        if let InlineKind::Diode { drop } = part.kind {
            let now = point.piece(vehicle, Piece::Inline(InlineId::at(at)));
            let conducts = if now.volts > drop { 1.0 / part.resistance.0 } else { 0.0 };
            let (plus, minus) = (part.from, part.to);
            devices.push(Device { plus, minus, amps: now.amps.0, slope: conducts + LEAK });
        }
    }
    devices
}

/// Siemens by which a load's current answers to its voltage.
fn slope(law: LoadLaw, v: f64) -> f64 {
    match law {
        LoadLaw::Power { amps, rated, exponent, knee } => {
            let at = |v: f64| amps.0 * (v / rated.0).powf(exponent) / v;
            if v >= knee.0 { exponent * at(v) } else { at(knee.0) }
        }
        LoadLaw::Starter { amps, rated, follows, stall } => {
            let line = amps.0 * (1.0 - follows.0 + follows.0 * v / rated.0);
            if v / stall.0 < line { 1.0 / stall.0 } else { amps.0 * follows.0 / rated.0 }
        }
        LoadLaw::Preheat { cold, settled, rated } => {
            let (cold, hot) = (rated.0 / cold.0, rated.0 / settled.0);
            let rise = (hot - cold) / (rated.0 * settled.0);
            let root = (cold * cold + 4.0 * rise * v * v).sqrt();
            let ohms = f64::midpoint(cold, root);
            (ohms - v * 2.0 * rise * v / root) / (ohms * ohms)
        }
        LoadLaw::SelfRegulating { .. } => law.at(units::Volts(v)).slope.0,
    }
}
