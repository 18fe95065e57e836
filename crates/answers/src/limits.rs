//! The drop to expect, then what published and taught rules say beside it.

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

const CONTRADICT: &str = "These rule sets contradict one another for one and the same test, and \
    none of them is a law for vehicles. What to expect of sound copper at the current that really \
    flowed comes first: a drop well above it is worth a look though it is within a limit, and one \
    near it is sound though it is above.";

const CAUTIONS: &str = "Cranking current heats cables and joints in seconds: crank no longer than \
    the reading needs. Rings off, nothing loosened while current flows, no spark near a battery \
    (hydrogen). Not for anything above 60 V. See `groundloom catalogue cautions`.";

impl Question for Asked {
    type About<'v> = ();
    type Found<'v> = Found;
    type Shape = Limits;

    fn find<'v>(
        &self,
        (): Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Self::Found<'v>>, Refused> {
        Found::of(self).map(Some)
    }

    fn shape(&self, found: &Found) -> Limits {
        shape::of(found)
    }

    fn told(&self, found: &Found) -> Told {
        told::of(found)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Vec::new()
    }
}

#[cfg(test)]
mod tests;
