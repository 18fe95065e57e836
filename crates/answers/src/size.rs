//! The smallest conductor that keeps a drop, or in a vehicle everything at once.

mod asked;
mod families;
mod found;
mod shape;
mod alone;
mod in_vehicle;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::refusal::Refused;
use crate::room::{AtHand, Part, Question, Watch, Written};
use crate::told::Told;

/// Insulation that the temperature is held against where none is named.
const USUAL_INSULATION: &str = "PVC 105";

impl Question for Asked {
    const LONG: bool = true;
    type About<'v> = Option<Written<'v>>;
    type Found<'v> = Found<'v>;
    type Shape = Sizes;

    fn find<'v>(
        &self,
        written: Self::About<'v>,
        watch: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(written, self, watch)
    }

    fn shape(&self, found: &Found<'_>) -> Sizes {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        match found {
            Found::Alone(found) => alone::told::of(found),
            Found::InVehicle(found) => in_vehicle::told::of(found),
        }
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Vec::new()
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        match found {
            Found::Alone(found) => found.wants_attention(),
            Found::InVehicle(found) => found.wants_attention(),
        }
    }
}

#[cfg(test)]
mod tests;
