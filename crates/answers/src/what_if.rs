//! Before and after a change, for every load and state.

mod asked;
mod beside;
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
    type About<'v> = &'v Vehicle;
    type Found<'v> = Found<'v>;
    type Shape = WhatIf;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(vehicle, self).map(Some)
    }

    fn shape(&self, found: &Found<'_>) -> WhatIf {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self.all)
    }

    fn beside(&self, found: &Found<'_>, told: &mut Told) {
        beside::of(told, found);
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Vec::new()
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}
