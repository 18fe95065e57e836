//! The JSON of a network as it was solved: enough for anybody to solve it again. `docs/network.md` has
//! the formula of every law.

use model::{LoadId, PointId, StateId, Vehicle};
use network::{AsSolved, BranchAsSolved, Device, DeviceAsSolved, Law};
use physics::load::LoadLaw;
use serde::Serialize;
use units::Siemens;
use utoipa::ToSchema;

/// Amperes that are none.
const NOTHING: f64 = 1e-6;

/// A network with its numbers and its solution.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NetworkAsSolved {
    /// The node that is zero.
    pub reference: String,
    /// The nodes: the points of the vehicle.
    pub nodes: Vec<NetworkNode>,
    /// The resistors.
    pub branches: Vec<NetworkBranch>,
    /// Everything else.
    pub devices: Vec<NetworkDevice>,
}

/// A node.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NetworkNode {
    /// Its name.
    pub name: String,
    /// Nodes with the same number hang together; 0 is that of the reference.
    pub part: usize,
    /// Against the reference; in another part against the first node of that.
    pub volts: f64,
}

/// A resistor.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NetworkBranch {
    /// The node where it begins.
    pub from: String,
    /// The node where it ends.
    pub to: String,
    /// Its pieces, one behind another.
    pub pieces: Vec<NetworkPiece>,
    /// False where something in it is open; it then carries nothing.
    pub conducting: bool,
    /// All of its pieces together.
    pub ohms: f64,
    /// From its beginning to its end.
    pub amps: f64,
}

/// A piece of a branch.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NetworkPiece {
    /// Its name.
    pub name: String,
    /// Its resistance, at its temperature.
    pub ohms: f64,
    /// Temperature of a conductor.
    pub kelvin: Option<f64>,
}

/// A device with its law.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NetworkDevice {
    /// Its name; input and output of a converter have the same.
    pub name: String,
    /// What it is: `battery`, `source`, `input`, `load` or `diode`.
    pub kind: &'static str,
    /// Its plus node.
    pub plus: String,
    /// Its minus node.
    pub minus: String,
    /// Its law.
    pub law: NetworkLaw,
    /// A conductance beside its law.
    pub leak_siemens: f64,
    /// Where a source senses, when not at its terminals.
    pub sense: Option<NetworkSense>,
    /// The bank half of whose volts a half of an equaliser holds.
    pub halves: Option<NetworkBank>,
    /// What ties the output of a converter, or of half an equaliser, to its input.
    pub tie: Option<NetworkTie>,
    /// Whether a load is on, and whether it has switched itself off.
    pub load: Option<NetworkLoad>,
    /// From plus to minus.
    pub volts: f64,
    /// Into plus, through it, out of minus: negative where it delivers.
    pub amps: f64,
}

/// The law of a device: its name, and its numbers.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(tag = "name", rename_all = "kebab-case")]
pub enum NetworkLaw {
    /// Not connected.
    Off,
    /// A voltage behind a resistance and polarisation, and behind another resistance while it is charged.
    Battery {
        /// Voltage without current.
        emf_volts: f64,
        /// Resistance while it delivers.
        discharging_ohms: f64,
        /// How much its plates polarise while it delivers.
        polarisation_volts: f64,
        /// Exchange current of its plates; zero where they do not polarise.
        exchange_amps: f64,
        /// Resistance while it is charged.
        charging_ohms: f64,
    },
    /// A voltage less a droop, up to a limit.
    Regulated {
        /// Voltage at its own terminals without current, as it had settled.
        held_volts: f64,
        /// Fall of that for each ampere.
        droop_ohms: f64,
        /// The most current.
        limit_amps: f64,
        /// The most power, as it had settled; null where there is no such limit.
        limit_watts: Option<f64>,
    },
    /// A power, but not below a voltage.
    Input {
        /// The power that it wants, as it had settled.
        wants_watts: f64,
        /// Below this voltage it takes nothing.
        floor_volts: f64,
        /// Volts above the floor for each ampere, until it takes what it wants.
        floor_ohms: f64,
    },
    /// A drop and a resistance.
    Diode {
        /// The drop.
        drop_volts: f64,
        /// The resistance beyond it.
        ohms: f64,
    },
    /// A power of the voltage.
    Power {
        /// Current at the rated voltage.
        rated_amps: f64,
        /// That voltage.
        rated_volts: f64,
        /// The power.
        exponent: f64,
        /// Below this voltage a straight line through zero.
        knee_volts: f64,
    },
    /// A motor against a torque.
    Starter {
        /// Current at the rated voltage.
        rated_amps: f64,
        /// That voltage.
        rated_volts: f64,
        /// The part of the current that follows the voltage.
        follows: f64,
        /// Resistance with the rotor at rest.
        stall_ohms: f64,
    },
    /// A plug that has settled.
    Preheat {
        /// Current at the rated voltage when cold.
        cold_amps: f64,
        /// The same once it glows.
        settled_amps: f64,
        /// That voltage.
        rated_volts: f64,
    },
    /// A heater whose resistance rises steeply.
    SelfRegulating {
        /// Current at the rated voltage when cold.
        cold_amps: f64,
        /// The same once it is hot.
        settled_amps: f64,
        /// That voltage.
        rated_volts: f64,
    },
}

/// Where a source senses.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NetworkSense {
    /// The higher node.
    pub high: String,
    /// The lower node.
    pub low: String,
    /// The voltage that it is to hold between them.
    pub set_point_volts: f64,
    /// True where it does: it delivers, below its limits. Otherwise `held_volts` of its law is what it had
    /// settled at.
    pub holds: bool,
}

/// A bank half of whose volts is held.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NetworkBank {
    /// Its highest node.
    pub top: String,
    /// Its lowest node.
    pub bottom: String,
    /// True where it does: it delivers, below its limits.
    pub holds: bool,
}

/// What ties two devices of one name.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NetworkTie {
    /// Output power over input power.
    pub efficiency: f64,
    /// Its input takes nothing below this voltage.
    pub floor_volts: f64,
    /// What decides: `output`, its input wants what it gives over the efficiency; `input`, it gives no more than
    /// what its input takes, times the efficiency.
    pub decides: &'static str,
}

/// How a load stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
pub struct NetworkLoad {
    /// It is on in this state.
    pub on: bool,
    /// It has switched itself off.
    pub dropped: bool,
}

pub(super) fn of(vehicle: &Vehicle, state: StateId, solved: &AsSolved) -> NetworkAsSolved {
    let name = |id: PointId| vehicle.point(id).id.clone();
    NetworkAsSolved {
        reference: name(solved.reference),
        nodes: solved
            .nodes
            .iter()
            .map(|own| NetworkNode { name: name(own.point), part: own.part, volts: own.volts.0 })
            .collect(),
        branches: solved.branches.iter().map(|own| branch(vehicle, own)).collect(),
        devices: solved.devices.iter().map(|own| device(vehicle, state, own)).collect(),
    }
}

fn branch(vehicle: &Vehicle, own: &BranchAsSolved) -> NetworkBranch {
    let pieces = own.pieces.iter().map(|(piece, ohms, warmth)| NetworkPiece {
        name: vehicle.piece_name(*piece).to_owned(),
        ohms: ohms.0,
        kelvin: warmth.map(|own| own.0),
    });
    NetworkBranch {
        from: vehicle.point(own.from).id.clone(),
        to: vehicle.point(own.to).id.clone(),
        pieces: pieces.collect(),
        conducting: own.siemens > Siemens::ZERO,
        ohms: own.pieces.iter().map(|(_, ohms, _)| ohms.0).sum(),
        amps: own.amps.0,
    }
}

fn device(vehicle: &Vehicle, state: StateId, own: &DeviceAsSolved) -> NetworkDevice {
    let point = |id: PointId| vehicle.point(id).id.clone();
    let (name, kind) = match own.device {
        Device::Battery(id) => (&vehicle.battery(id).id, "battery"),
        Device::Regulated(id) => (&vehicle.regulated_source(id).id, "source"),
        Device::Input(id) => (&vehicle.regulated_source(id).id, "input"),
        Device::Load(id) => (&vehicle.load(id).id, "load"),
        Device::Diode(id) => (&vehicle.inline(id).id, "diode"),
    };
    let source = match own.device {
        Device::Regulated(id) => Some(vehicle.regulated_source(id)),
        _ => None,
    };
    let sense = source.and_then(|source| {
        let (high, low) = source.sense?;
        Some(NetworkSense {
            high: point(high),
            low: point(low),
            set_point_volts: source.set_point.0,
            holds: regulating(own),
        })
    });
    let halves = source.and_then(|source| source.follows).map(|bank| NetworkBank {
        top: point(bank.top),
        bottom: point(bank.bottom),
        holds: regulating(own),
    });
    let limited = matches!(own.law, Law::Regulated(source) if source.power.0.is_finite());
    let tie = source.and_then(|source| source.input.as_ref()).map(|input| NetworkTie {
        efficiency: input.efficiency.0,
        floor_volts: input.minimum.0,
        decides: if limited { "input" } else { "output" },
    });
    NetworkDevice {
        name: name.clone(),
        kind,
        plus: point(own.plus),
        minus: point(own.minus),
        law: law(own.law),
        leak_siemens: own.law.leak(),
        sense,
        halves,
        tie,
        load: match own.device {
            Device::Load(id) => Some(load(vehicle, state, id, own.law)),
            _ => None,
        },
        volts: own.volts.0,
        amps: own.amps.0,
    }
}

/// True for a source that delivers and is at no limit.
fn regulating(own: &DeviceAsSolved) -> bool {
    let Law::Regulated(law) = own.law else { return false };
    let delivered = -own.amps.0;
    delivered > NOTHING && delivered < law.most_current(own.volts).0 - NOTHING
}

fn load(vehicle: &Vehicle, state: StateId, id: LoadId, law: Law) -> NetworkLoad {
    let on = vehicle.load(id).is_on_in(state);
    NetworkLoad { on, dropped: on && law == Law::Off }
}

fn law(own: Law) -> NetworkLaw {
    match own {
        Law::Off => NetworkLaw::Off,
        Law::Battery(own) => NetworkLaw::Battery {
            emf_volts: own.at_rest.0,
            discharging_ohms: own.discharging.0,
            polarisation_volts: own.polarisation.0,
            exchange_amps: own.exchange.0,
            charging_ohms: own.charging.0,
        },
        Law::Regulated(own) => NetworkLaw::Regulated {
            held_volts: own.held.0,
            droop_ohms: own.droop.0,
            limit_amps: own.limit.0,
            limit_watts: Some(own.power.0).filter(|watts| watts.is_finite()),
        },
        Law::Input(own) => NetworkLaw::Input {
            wants_watts: own.power.0,
            floor_volts: own.floor.0,
            floor_ohms: own.resistance.0,
        },
        Law::Diode(own) => NetworkLaw::Diode { drop_volts: own.drop.0, ohms: own.resistance.0 },
        Law::Load(own) => load_law(own),
    }
}

fn load_law(own: LoadLaw) -> NetworkLaw {
    match own {
        LoadLaw::Power { amps, rated, exponent, knee } => NetworkLaw::Power {
            rated_amps: amps.0,
            rated_volts: rated.0,
            exponent,
            knee_volts: knee.0,
        },
        LoadLaw::Starter { amps, rated, follows, stall } => NetworkLaw::Starter {
            rated_amps: amps.0,
            rated_volts: rated.0,
            follows: follows.0,
            stall_ohms: stall.0,
        },
        LoadLaw::Preheat { cold, settled, rated } => {
            NetworkLaw::Preheat { cold_amps: cold.0, settled_amps: settled.0, rated_volts: rated.0 }
        }
        LoadLaw::SelfRegulating { cold, settled, rated } => NetworkLaw::SelfRegulating {
            cold_amps: cold.0,
            settled_amps: settled.0,
            rated_volts: rated.0,
        },
    }
}
