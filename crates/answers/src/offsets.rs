//! Who lifts whose ground, by how much, and through which shared piece.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::{Found, MOST_PAIRS};
pub use shape::{GroundOffset, GroundOffsets, OffsetsState};

use model::Vehicle;

use crate::room::{AtHand, Part};

question! {
    &'v Vehicle => Found<'v> => GroundOffsets {
        const LONG: bool = true;

        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            Part::only("offsets", Self::default())
        }
    }
}
