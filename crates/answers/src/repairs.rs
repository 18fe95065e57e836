//! What is worth doing, ranked by volts gained for a minute of work.

mod asked;
mod beside;
mod found;
mod job;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::refusal::Refused;
use crate::room::{AtHand, Measured, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    const LONG: bool = true;
    type About<'v> = Measured<'v>;
    type Found<'v> = Found<'v>;
    type Shape = Repairs;

    fn find<'v>(
        &self,
        about: Self::About<'v>,
        watch: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Ok(Found::of(about, self.most, watch))
    }

    fn shape(&self, found: &Found<'_>) -> Repairs {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found)
    }

    fn beside(&self, found: &Found<'_>, told: &mut Told) {
        beside::of(told, found);
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Part::only("repairs", Self::default())
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}

#[cfg(test)]
mod tests;
