//! What holds of every garage.

mod history;
mod entries;
mod migrations;
mod safety;
mod killed;

use crate::{Garage, Saved, Stamp, Vehicle, VehicleId, VersionKind};

const NOW: Stamp<'static> = Stamp { when: "2026-11-26T03:10:00Z", by: "desk" };

fn with_vehicle(text: &str) -> (Garage, VehicleId) {
    let mut garage = Garage::in_memory().unwrap();
    let made = garage.create("cart", None, text, "read", NOW).unwrap();
    (garage, made.id)
}

/// A change that must be stored.
fn edit(garage: &mut Garage, id: VehicleId, text: &str) -> Vehicle {
    let revision = garage.current(id).unwrap().revision;
    stored(garage.save(id, revision, VersionKind::Edit, None, text, text, NOW).unwrap())
}

fn stored(saved: Saved) -> Vehicle {
    match saved {
        Saved::Stored(vehicle) => *vehicle,
        Saved::Conflict(conflict) => panic!("{conflict:?}"),
    }
}
