//! The answer for one operating state: volts, amperes, watts and degrees of everything.

use model::{
    BatteryId, Behind, JointId, LoadId, Piece, PointId, Probe, RegulatedId, StateId, Vehicle,
};
use units::{Amperes, Kelvin, Ohms, Volts, Watts};

use crate::conditions::Conditions;
use crate::law::Law;

/// What a piece carries and loses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PiecePoint {
    /// Current from its `from` side to its `to` side; for a joint, from the beginning of its
    /// conductor towards the end, or from a device's case into the metal.
    pub amps: Amperes,
    /// Resistance at its temperature.
    pub resistance: Ohms,
    /// Voltage lost along the current's direction given above.
    pub volts: Volts,
    /// Heat made.
    pub watts: Watts,
    /// Temperature of the metal, for a conductor with size and length.
    pub temperature: Option<Kelvin>,
}

/// How a load fares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LoadStatus {
    /// Not switched on in this state.
    Off,
    /// On, and at or above its minimum, or above the usual one of its kind where it states none.
    Fed,
    /// On, and has next to no volts.
    Dead,
    /// On, states no minimum, and is below the usual one of its kind.
    BelowUsual,
    /// On, and below the minimum that it states.
    BelowMinimum,
    /// It switched itself off because the voltage fell below its dropout.
    DroppedOut,
    /// The network cannot feed it what it asks; the most it could get is given.
    Starved {
        /// The largest power that could be drawn at its terminals with the other loads as they are.
        most: Watts,
    },
}

/// A load in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadPoint {
    /// Current it draws.
    pub amps: Amperes,
    /// Voltage across it.
    pub volts: Volts,
    /// Voltage above its minimum, if it has one.
    pub margin: Option<Volts>,
    /// How it fares.
    pub status: LoadStatus,
    /// True of a motor whose rotor stands: the voltage cannot overcome what it has to turn.
    pub stalled: bool,
}

/// A battery in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatteryPoint {
    /// Current delivered; negative while it is charged.
    pub amps: Amperes,
    /// Voltage between its posts.
    pub volts: Volts,
    /// Power delivered at its posts; negative while it is charged.
    pub watts: Watts,
}

/// What a regulated source does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SourceMode {
    /// It does not run in this state.
    Stopped,
    /// It runs but delivers nothing, because the network is held higher than it would.
    Idle,
    /// It holds its voltage.
    Regulating,
    /// It delivers all it can and the voltage is below what it would hold.
    Limited,
    /// A converter that delivers less than it would, because its feed gives no more.
    Starved,
    /// A converter that delivers nothing, because its feed is below what it works on.
    DroppedOut,
}

/// A regulated source in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourcePoint {
    /// Current delivered.
    pub amps: Amperes,
    /// Voltage between its terminals.
    pub volts: Volts,
    /// Power delivered.
    pub watts: Watts,
    /// What it does.
    pub mode: SourceMode,
}

/// Where the power goes, and how exactly the equations are met.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Balance {
    /// Power delivered by batteries, alternators, chargers and panels at their terminals; what converters
    /// and equalisers hand on is none of their own.
    pub sources: Watts,
    /// Power taken by loads.
    pub loads: Watts,
    /// Power stored in batteries that are being charged.
    pub charging: Watts,
    /// Heat in conductors, joints, structures, in-line parts.
    pub losses: Watts,
    /// Heat in converters and equalisers: what they take less what they give.
    pub conversion: Watts,
    /// Sources less everything else, and what any converter gives beyond its input and efficiency:
    /// zero but for rounding.
    pub error: Watts,
    /// Largest sum of currents into any point: zero but for rounding.
    pub kirchhoff: Amperes,
}

/// How the search for the operating point ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Convergence {
    /// Every law is met.
    Reached,
    /// No operating point was found: the named thing misses its law by so many amperes, or what it
    /// depends on was still moving by so many when the rounds of settling ran out.
    NotReached {
        /// The device that fits worst or still moved, by the name used in the file.
        at: String,
        /// By how much.
        amps: Amperes,
    },
}

/// The operating point of a vehicle in one state.
#[derive(Debug, Clone)]
pub struct OperatingPoint {
    /// The state.
    pub state: StateId,
    /// Volts of each point against the first battery's negative post; nothing for a point that
    /// nothing joins to that post in this state.
    pub points: Vec<Option<Volts>>,
    /// Every piece, in the order of [`Vehicle::pieces`].
    pub pieces: Vec<PiecePoint>,
    /// Every load, in the vehicle's order.
    pub loads: Vec<LoadPoint>,
    /// Every battery, in the vehicle's order.
    pub batteries: Vec<BatteryPoint>,
    /// Every regulated source, in the vehicle's order.
    pub regulated: Vec<SourcePoint>,
    /// Power and current balance.
    pub balance: Balance,
    /// Whether the point was found.
    pub convergence: Convergence,
    /// Newton steps taken in all.
    pub steps: usize,
    pub(crate) conditions: Conditions,
    /// Conductance of each branch and law of each device, as they were solved with.
    pub(crate) siemens: Vec<f64>,
    pub(crate) laws: Vec<Law>,
    pub(crate) volts: Vec<f64>,
    pub(crate) across: Vec<f64>,
}

impl OperatingPoint {
    /// Volts of a point, if anything joins it to the zero of voltages.
    #[must_use]
    pub fn point(&self, id: PointId) -> Option<Volts> {
        self.points[id.index()]
    }

    /// Volts where a probe touches, if anything joins it to the zero of voltages: those of its point, less
    /// what the joints between them lose.
    #[must_use]
    pub fn probe(&self, vehicle: &Vehicle, probe: Probe) -> Option<Volts> {
        let Behind { point, joints, passed } = vehicle.behind(probe);
        let lost = |joint: &JointId| self.piece(vehicle, Piece::Joint(*joint)).volts;
        joints.iter().flatten().map(lost).try_fold(self.point(point)?, |at, lost| {
            Some(if passed { at - lost } else { at + lost })
        })
    }

    /// What a piece carries and loses.
    #[must_use]
    pub fn piece(&self, vehicle: &Vehicle, piece: Piece) -> &PiecePoint {
        &self.pieces[vehicle.piece_slot(piece)]
    }

    /// How a load fares.
    #[must_use]
    pub fn load(&self, id: LoadId) -> &LoadPoint {
        &self.loads[id.index()]
    }

    /// What a battery delivers.
    #[must_use]
    pub fn battery(&self, id: BatteryId) -> &BatteryPoint {
        &self.batteries[id.index()]
    }

    /// What a regulated source delivers.
    #[must_use]
    pub fn source(&self, id: RegulatedId) -> &SourcePoint {
        &self.regulated[id.index()]
    }
}
