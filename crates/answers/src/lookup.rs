//! The published and trade facts of the catalogue, each with its source and how sure it is.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::refusal::Refused;
use crate::room::{AtHand, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    type About<'v> = ();
    type Found<'v> = Found;
    type Shape = Lookup;

    fn find<'v>(
        &self,
        (): Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Self::Found<'v>>, Refused> {
        Found::of(self).map(Some)
    }

    fn shape(&self, found: &Found) -> Lookup {
        shape::of(found)
    }

    fn told(&self, found: &Found) -> Told {
        told::of(found, self)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Vec::new()
    }

    fn wants_attention(&self, found: &Found) -> bool {
        found.wants_attention()
    }
}

#[cfg(test)]
mod tests;
