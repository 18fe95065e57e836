//! The JSON of the smallest sizes.

use serde::Serialize;
use utoipa::ToSchema;

use super::{Found, alone, in_vehicle};

pub use alone::shape::{FamilyAlone, SizeAlone, SizeJoints, SizesAlone};
pub use in_vehicle::shape::{FamilyInVehicle, SizeInVehicle, SizeReason, SizesInVehicle};

/// The answer of `size`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum Sizes {
    /// Of a conductor by itself.
    Alone(SizesAlone),
    /// Of a conductor that was tried in a vehicle.
    InVehicle(SizesInVehicle),
}

impl Sizes {
    pub(super) fn of(found: &Found<'_>) -> Self {
        match found {
            Found::Alone(found) => Sizes::Alone(SizesAlone::of(found)),
            Found::InVehicle(found) => Sizes::InVehicle(SizesInVehicle::of(found)),
        }
    }
}
