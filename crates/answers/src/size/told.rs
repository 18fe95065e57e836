//! What is said of the size of a conductor.

use super::{Asked, Found, alone, in_vehicle};
use crate::told::Told;

pub(super) fn of(found: &Found<'_>, _: &Asked) -> Told {
    match found {
        Found::Alone(found) => alone::told::of(found),
        Found::InVehicle(found) => in_vehicle::told::of(found),
    }
}
