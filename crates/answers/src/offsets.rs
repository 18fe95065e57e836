//! Who lifts whose ground, by how much, and through which shared piece.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::{Found, MOST_PAIRS};
pub use shape::{GroundOffset, GroundOffsets, OffsetsState};

use model::Vehicle;

use crate::refusal::Refused;
use crate::room::{AtHand, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    const LONG: bool = true;
    type About<'v> = &'v Vehicle;
    type Found<'v> = Found<'v>;
    type Shape = GroundOffsets;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(vehicle, self).map(Some)
    }

    fn shape(&self, found: &Found<'_>) -> GroundOffsets {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Part::only("offsets", Self::default())
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}
