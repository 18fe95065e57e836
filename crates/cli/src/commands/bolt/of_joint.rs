//! What a vehicle file says of a joint, and what the joint has to carry.

use std::path::Path;

use model::{Joint, JointOf, Piece, Vehicle};
use network::{Convergence, Network};
use units::{Amperes, NewtonMetres, Ohms};

use crate::answer::{Asked, Failure};
use crate::option::nearest;
use crate::vehicle_file;

/// A joint with everything that its sheet needs.
pub(super) struct Place {
    pub name: String,
    pub vehicle: String,
    pub point: String,
    pub kind: String,
    pub thread: Option<String>,
    pub class: Option<String>,
    pub torque: Option<NewtonMetres>,
    pub finish: Option<String>,
    pub washer: Option<String>,
    pub protection: Option<String>,
    pub serviced: Option<String>,
    pub stack: u32,
    pub environment: String,
    /// Resistance that the file states, or its kind's typical one.
    pub resistance: Ohms,
    pub stated: bool,
    /// The most that it carries, and in which state.
    pub carries: Option<(Amperes, String)>,
}

/// Reads a joint of a vehicle file.
pub(super) fn read(file: &Path, name: &str, asked: &Asked) -> Result<Place, Failure> {
    let opened = vehicle_file::open(file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let Some(Piece::Joint(id)) = vehicle.piece_named(name) else {
        let joints = vehicle.joints.iter().map(|joint| joint.id.as_str());
        let expected = match nearest(name, joints) {
            Some(near) => format!("`{near}`, or another joint of this vehicle"),
            None => "a joint: `NAME.from` or `NAME.to` of a conductor, `NAME.case` of a device"
                .to_owned(),
        };
        return Err(Failure::new(format!("`--joint {name}`: there is no such joint"), expected));
    };
    let joint = vehicle.joint(id);
    Ok(Place {
        name: joint.id.clone(),
        vehicle: vehicle.name.clone(),
        point: vehicle.point(joint.point).id.clone(),
        kind: joint.kind.clone(),
        thread: joint.thread.clone(),
        class: joint.class.clone(),
        torque: joint.torque,
        finish: joint.finish.clone(),
        washer: joint.washer.clone(),
        protection: joint.protection.clone(),
        serviced: joint.serviced.clone(),
        stack: joint.stack.max(standing_with(vehicle, joint)),
        environment: vehicle.environment.clone(),
        resistance: joint.resistance,
        stated: joint.stated,
        carries: carries(vehicle, Piece::Joint(id)),
    })
}

/// Terminals on the same stud, as far as the file shows them: lugs that meet the same point.
fn standing_with(vehicle: &Vehicle, joint: &Joint) -> u32 {
    // Many pieces meet a post, a stud or a bus, but only a free point is one stud.
    if !matches!(vehicle.point(joint.point).owner, model::PointOwner::Free) || joint.stack > 1 {
        return 1;
    }
    let lugs = vehicle.joints.iter().filter(|own| {
        own.point == joint.point
            && own.thread.is_some()
            && own.thread == joint.thread
            && matches!(own.of, JointOf::From(_) | JointOf::To(_))
    });
    u32::try_from(lugs.count()).unwrap_or(1).max(1)
}

/// The most that a piece carries in any state that is found.
fn carries(vehicle: &Vehicle, piece: Piece) -> Option<(Amperes, String)> {
    let mut network = Network::new(vehicle);
    let found = network.operating_points().into_iter().filter_map(|point| {
        (point.convergence == Convergence::Reached).then(|| {
            let amps = point.piece(vehicle, piece).amps.abs();
            (amps, vehicle.state(point.state).id.clone())
        })
    });
    found.reduce(|most, own| if own.0 > most.0 { own } else { most })
}
