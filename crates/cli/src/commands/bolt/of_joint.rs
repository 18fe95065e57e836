//! A joint of a vehicle file.

use std::path::Path;

use answers::bolt::place::Place;
use model::Piece;

use crate::answer::{Asked, Failure};
use crate::option::nearest;
use crate::vehicle_file;

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
    Ok(Place::of(vehicle, id))
}
