//! What may be at fault, and what somebody complains of.

use model::{
    BatteryId, ConductorId, InlineId, JointId, LoadId, Piece, PointId, RegulatedId, StateId,
    Vehicle,
};
use units::Ohms;

/// What somebody complains of: a load that does not do its job in a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Complaint {
    /// The load.
    pub load: LoadId,
    /// The state.
    pub state: StateId,
}

/// What may be at fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SuspectKind {
    /// A joint with too much resistance.
    Joint(JointId),
    /// A conductor rotten inside.
    Conductor(ConductorId),
    /// A conductor that the file shows and that is not there, or is open.
    Open(ConductorId),
    /// A fuse or switch with too much resistance.
    Inline(InlineId),
    /// A load that draws too much.
    LoadDrags(LoadId),
    /// A load that draws next to nothing.
    LoadOpen(LoadId),
    /// A battery with too little voltage.
    BatteryLow(BatteryId),
    /// A battery with too much resistance.
    BatteryWorn(BatteryId),
    /// An alternator, charger or converter that holds too low a voltage, or delivers nothing.
    SourceLow(RegulatedId),
    /// A path between two bodies of metal that the file does not show.
    ExtraPath {
        /// A point of the one.
        from: PointId,
        /// A point of the other.
        to: PointId,
    },
}

impl SuspectKind {
    /// The piece that is at fault, if it is one of the file's.
    pub(crate) fn piece(self) -> Option<Piece> {
        match self {
            Self::Joint(id) => Some(Piece::Joint(id)),
            Self::Conductor(id) | Self::Open(id) => Some(Piece::Conductor(id)),
            Self::Inline(id) => Some(Piece::Inline(id)),
            _ => None,
        }
    }

    /// The conductor in which it lies, its two joints included.
    pub(crate) fn conductor(self, vehicle: &Vehicle) -> Option<ConductorId> {
        match self.piece()? {
            Piece::Joint(id) => conductor_of(vehicle, id),
            Piece::Conductor(id) => Some(id),
            _ => None,
        }
    }
}

/// The conductor of whose end a joint is; nothing for that of a case.
pub(crate) fn conductor_of(vehicle: &Vehicle, joint: JointId) -> Option<ConductorId> {
    vehicle.joint(joint).of.conductor()
}

/// A suspect and how probable it is that it is at fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// Who.
    pub kind: SuspectKind,
    /// Probability, zero to one.
    pub probability: f64,
    /// Its most probable resistance, for what has one.
    pub ohms: Option<Ohms>,
}
