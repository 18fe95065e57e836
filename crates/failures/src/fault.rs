//! What can fail, and what the network sees of it.

use model::{BatteryId, ConductorId, InlineId, InlineKind, Joint, Piece, RegulatedId, Vehicle};
use network::Failed;
use units::Ratio;

/// How far a joint or conductor is worn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wear {
    /// Ten times its resistance.
    Ten,
    /// A hundred times its resistance.
    Hundred,
}

impl Wear {
    /// How many times the resistance.
    #[must_use]
    pub fn times(self) -> Ratio {
        Ratio(match self {
            Self::Ten => 10.0,
            Self::Hundred => 100.0,
        })
    }
}

/// One thing that fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A conductor, or a joint at either of its ends, or the joint under a case, opens. A conductor
    /// and its joints are one way: where it opens makes no difference to anything else.
    Open(Piece),
    /// A joint or conductor is worn.
    Worn(Piece, Wear),
    /// A fuse has blown.
    Blown(InlineId),
    /// A battery is gone: a broken link inside, or its clamp off.
    BatteryLost(BatteryId),
    /// An alternator, charger or converter delivers nothing.
    SourceLost(RegulatedId),
}

impl Fault {
    /// What the network sees of it.
    #[must_use]
    pub fn failed(self) -> Failed {
        let mut failed = Failed::default();
        self.add_to(&mut failed);
        failed
    }

    /// Adds it to what has failed already.
    pub(crate) fn add_to(self, failed: &mut Failed) {
        match self {
            Self::Open(piece) => failed.opened.push(piece),
            Self::Worn(piece, wear) => failed.worn.push((piece, wear.times())),
            Self::Blown(id) => failed.opened.push(Piece::Inline(id)),
            Self::BatteryLost(id) => failed.batteries.push(id),
            Self::SourceLost(id) => failed.regulated.push(id),
        }
    }

    /// The name in the file of what fails.
    #[must_use]
    pub fn name(self, vehicle: &Vehicle) -> &str {
        match self {
            Self::Open(piece) | Self::Worn(piece, _) => vehicle.piece_name(piece),
            Self::Blown(id) => &vehicle.inline(id).id,
            Self::BatteryLost(id) => &vehicle.battery(id).id,
            Self::SourceLost(id) => &vehicle.regulated_source(id).id,
        }
    }

    /// The piece that fails, if it is one.
    #[must_use]
    pub fn piece(self) -> Option<Piece> {
        match self {
            Self::Open(piece) | Self::Worn(piece, _) => Some(piece),
            Self::Blown(id) => Some(Piece::Inline(id)),
            Self::BatteryLost(_) | Self::SourceLost(_) => None,
        }
    }
}

/// The conductor of whose end a joint is; nothing for that of a case.
pub(crate) fn conductor_of(joint: &Joint) -> Option<ConductorId> {
    joint.of.conductor()
}

/// Every way that can open as one: conductors with their joints, joints under cases, fuses.
#[must_use]
pub fn openings(vehicle: &Vehicle) -> Vec<Fault> {
    vehicle
        .pieces()
        .filter_map(|piece| match piece {
            Piece::Conductor(_) => Some(Fault::Open(piece)),
            Piece::Joint(id) => {
                conductor_of(vehicle.joint(id)).is_none().then_some(Fault::Open(piece))
            }
            Piece::Inline(id) if matches!(vehicle.inline(id).kind, InlineKind::Fuse { .. }) => {
                Some(Fault::Blown(id))
            }
            Piece::Stretch(_) | Piece::Incidental(_) | Piece::Inline(_) => None,
        })
        .collect()
}

/// Every single fault, openings first.
#[must_use]
pub fn singles(vehicle: &Vehicle) -> Vec<Fault> {
    let worn = vehicle
        .pieces()
        .filter(|piece| matches!(piece, Piece::Conductor(_) | Piece::Joint(_)))
        .flat_map(|piece| [Wear::Ten, Wear::Hundred].map(|wear| Fault::Worn(piece, wear)));
    let batteries = (0..vehicle.batteries.len()).map(|at| Fault::BatteryLost(BatteryId::at(at)));
    // Of an equaliser one half is enough: both are lost together.
    let sources = (0..vehicle.regulated.len())
        .map(RegulatedId::at)
        .filter(|id| vehicle.regulated_source(*id).follows.is_none_or(|bank| bank.twin > *id))
        .map(Fault::SourceLost);
    openings(vehicle).into_iter().chain(worn).chain(batteries).chain(sources).collect()
}

/// The fault with the name of what opens, blows or is lost; for a conductor's joint its conductor.
#[must_use]
pub fn named(vehicle: &Vehicle, name: &str) -> Option<Fault> {
    if let Some(piece) = vehicle.piece_named(name) {
        return match piece {
            Piece::Joint(id) => {
                Some(Fault::Open(conductor_of(vehicle.joint(id)).map_or(piece, Piece::Conductor)))
            }
            Piece::Inline(id) => match vehicle.inline(id).kind {
                InlineKind::Fuse { .. } => Some(Fault::Blown(id)),
                InlineKind::Switch { .. } | InlineKind::Shunt => Some(Fault::Open(piece)),
                InlineKind::Diode { .. } => None,
            },
            Piece::Conductor(_) | Piece::Stretch(_) | Piece::Incidental(_) => {
                Some(Fault::Open(piece))
            }
        };
    }
    let battery = vehicle.batteries.iter().position(|own| own.id == name);
    let source = vehicle.regulated.iter().position(|own| own.id == name);
    battery
        .map(|at| Fault::BatteryLost(BatteryId::at(at)))
        .or_else(|| source.map(|at| Fault::SourceLost(RegulatedId::at(at))))
}
