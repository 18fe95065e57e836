//! Which joint is bad, how sure that is, and what the readings are worth.

mod asked;
mod beside;
mod found;
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
    type Shape = Diagnosed;

    fn find<'v>(
        &self,
        about: Self::About<'v>,
        watch: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Ok(Found::of(about, watch))
    }

    fn shape(&self, found: &Found<'_>) -> Diagnosed {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self.all)
    }

    fn beside(&self, found: &Found<'_>, told: &mut Told) {
        beside::of(told, found);
    }

    fn reported(at: AtHand<'_>) -> Vec<Part<Self>> {
        // Without readings there is nothing to say of them.
        let measured = at.taken.is_some_and(|taken| taken.last() > 0);
        if measured { Part::only("diagnose", Self::default()) } else { Vec::new() }
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}
