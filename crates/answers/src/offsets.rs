//! Who lifts whose ground, by how much, and through which shared piece.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::{Found, MOST_PAIRS};
pub use shape::{GroundOffset, GroundOffsets, OffsetsState};

use crate::room::{Question, Refused, Subject, Watch};
use crate::told::Told;

impl Question for Asked {
    const NAME: &'static str = "offsets";
    const LONG: bool = true;
    type Found<'v> = Found<'v>;
    type Shape = GroundOffsets;

    fn find<'v>(&self, subject: Subject<'v>, _: Watch<'_>) -> Result<Option<Found<'v>>, Refused> {
        Found::of(subject.vehicle, self).map(Some)
    }

    fn shape(&self, found: &Found<'_>) -> GroundOffsets {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self)
    }
}
