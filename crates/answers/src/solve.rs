//! Volts, amperes, watts and degrees of everything, state by state.

mod asked;
pub(crate) mod beside;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use model::Vehicle;

use crate::refusal::Refused;
use crate::room::{AtHand, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    const WARNS: bool = true;
    type About<'v> = &'v Vehicle;
    type Found<'v> = Found<'v>;
    type Shape = Solved;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Ok(Some(Found::of(vehicle, self.state.as_deref())?))
    }

    fn shape(&self, found: &Found<'_>) -> Solved {
        shape::of(found.vehicle, &found.points)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self.all)
    }

    fn beside(&self, found: &Found<'_>, told: &mut Told) {
        beside::of(told, found);
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Part::only("solve", Self::default())
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}
