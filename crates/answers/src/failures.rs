//! What fails when something fails, how soon, and what would help; or what to inspect after a failure.

mod asked;
mod found;
mod shape;
mod told;
pub mod words;

pub use asked::Asked;
pub use found::{After, Found, Surveyed};
pub use shape::*;

use model::Vehicle;

use crate::refusal::Refused;
use crate::room::{AtHand, Part, Question, Watch};
use crate::told::Told;

/// Failures that a report tells of in words.
const REPORTED: usize = 500;

impl Question for Asked {
    const LONG: bool = true;
    type About<'v> = &'v Vehicle;
    type Found<'v> = Found<'v>;
    type Shape = Failures;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        watch: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(vehicle, self, watch).map(Some)
    }

    fn shape(&self, found: &Found<'_>) -> Failures {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Part::only("failures", Self { most: REPORTED, ..Self::default() })
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}

#[cfg(test)]
mod tests;
