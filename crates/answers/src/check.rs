//! What is wrong with a file, what is in it, and what was filled in.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::refusal::Refused;
use crate::room::{AtHand, File, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    type About<'v> = File<'v>;
    type Found<'v> = Found<'v>;
    type Shape = Check;

    fn find<'v>(&self, file: Self::About<'v>, _: Watch<'_>) -> Result<Option<Found<'v>>, Refused> {
        Ok(Some(Found::of(file)))
    }

    fn shape(&self, found: &Found<'_>) -> Check {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self.defaults)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Part::only("check", Self::default())
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.file.reading.errors() > 0
    }
}
