//! What a torque does to a bolt, and what is known of the joint about it.

use catalogue::ConnectionTorque;
use model::{Piece, Vehicle};
use physics::bolt::tightening_torque;
use units::{NewtonMetres, Newtons};

use super::Asked;
use super::place::Place;
use super::sheet::{JointWarning, Sheet, warnings};
use super::tightening::{Bolt, Tightening, connections, tightening};
use crate::arguments::Arguments;
use crate::refusal::Refused;
use crate::room::Watch;
use crate::{Refusal, refusal};

mod as_filed;
mod read;

/// What was found.
#[derive(Debug)]
pub enum Found {
    /// A bolt and what its torque does.
    Figures {
        /// The bolt.
        bolt: Bolt,
        /// What its torque does.
        tightening: Tightening,
        /// The joint about it; nothing when only the bolt was asked about.
        sheet: Option<Sheet>,
    },
    /// A joint, with as much as its file says of its bolt.
    AsFiled {
        /// The joint.
        place: Box<Place>,
        /// What is known of it.
        sheet: Sheet,
        /// The bolt, what its torque does, and where that comes from; nothing where the file does not say enough.
        bolt: Option<(Bolt, Tightening, TorqueFrom)>,
    },
}

/// Where a torque comes from that nobody asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TorqueFrom {
    /// The file gives it.
    File,
    /// It is the usual one of the bolt.
    Usual,
}

impl TorqueFrom {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::File => "file",
            Self::Usual => "usual",
        }
    }
}

/// What the bolt is tightened to.
#[derive(Debug, Clone, Copy)]
enum Given {
    Torque(NewtonMetres),
    Clamp(Newtons),
}

impl Found {
    pub(super) fn of(
        vehicle: Option<&Vehicle>,
        asked: &Asked,
        _: Watch<'_>,
    ) -> Result<Self, Refused> {
        let place = match (&asked.joint, vehicle) {
            (Some(name), Some(vehicle)) if asked.names_a_joint_alone() => {
                let joint = refusal::joint(vehicle, name)?;
                return Ok(as_filed::of(Place::of(vehicle, joint)));
            }
            (Some(name), Some(vehicle)) => Some(place(vehicle, name)?),
            (None, None) => None,
            (Some(_), None) => {
                let expected = "the vehicle to which the joint belongs";
                return Err(Refusal::new("no vehicle is named", expected).into());
            }
            (None, Some(_)) => {
                let expected = "`--joint NAME`, such as `main-negative.to`";
                return Err(Refusal::new("no joint of the vehicle is named", expected).into());
            }
        };
        figures(place.as_ref(), asked)
    }

    /// The bolt and what its torque does.
    pub(super) fn bolted(&self) -> Option<(&Bolt, &Tightening)> {
        match self {
            Self::Figures { bolt, tightening, .. } => Some((bolt, tightening)),
            Self::AsFiled { bolt, .. } => bolt.as_ref().map(|(bolt, found, _)| (bolt, found)),
        }
    }

    /// The joint about it.
    pub(super) fn sheet(&self) -> Option<&Sheet> {
        match self {
            Self::Figures { sheet, .. } => sheet.as_ref(),
            Self::AsFiled { sheet, .. } => Some(sheet),
        }
    }

    /// Torques that others give for such connections.
    pub(super) fn connections(&self) -> Vec<&'static ConnectionTorque> {
        match self {
            Self::Figures { bolt, .. } => connections(bolt).collect(),
            Self::AsFiled { place, .. } => as_filed::connections(place).collect(),
        }
    }

    /// What is against what is recommended.
    pub(super) fn wants_attention(&self) -> bool {
        !self.warnings().is_empty()
    }

    pub(super) fn warnings(&self) -> Vec<JointWarning> {
        warnings(self.sheet(), self.bolted().map(|(_, found)| found))
    }
}

/// A joint of a vehicle.
fn place(vehicle: &Vehicle, name: &str) -> Result<Place, Refusal> {
    let Some(Piece::Joint(id)) = vehicle.piece_named(name) else {
        let joints = vehicle.joints.iter().map(|joint| joint.id.as_str());
        let expected = match file::suggest::nearest(name, joints) {
            Some(near) => format!("`{near}`, or another joint of this vehicle"),
            None => refusal::A_JOINT.to_owned(),
        };
        return Err(Refusal::of("joint", name, ": there is no such joint", expected));
    };
    Ok(Place::of(vehicle, id))
}

/// Clamp force, proof load and torque, of options and of the joint's file where they are silent.
fn figures(place: Option<&Place>, asked: &Asked) -> Result<Found, Refused> {
    let mut arguments = Arguments::default();
    let joint = read::joint(asked, place, &mut arguments);
    let bolt = read::bolt(asked, place, &joint, &mut arguments);
    let given = read::given(asked, place, bolt.as_ref(), &mut arguments);
    let (bolt, given) = arguments.0.unless(bolt.zip(given))?;
    let seating = match given {
        Given::Torque(torque) => torque - bolt.running,
        Given::Clamp(clamp) => tightening_torque(clamp, bolt.finish.typical, bolt.thread.diameter),
    };
    let mut tightening = tightening(&bolt, seating)
        .map_err(|error| Refusal::new(error.to_string(), "a torque that a bolt can have"))?;
    let bolted = Some((&bolt, &tightening));
    let sheet = asked.wants_a_sheet().then(|| Sheet::of(&joint, place, bolted));
    if let Some(highest) = sheet.as_ref().and_then(|own| own.forming).map(|own| own.screw.highest) {
        // Such a screw breaks long before a bolt of its thread meets its proof load.
        tightening.usual_torque = tightening.usual_torque.min(highest);
        tightening.torque_at_proof = tightening.torque_at_proof.min(highest);
    }
    Ok(Found::Figures { bolt, tightening, sheet })
}
