//! Which fuse protects which conductor, over the whole range of fault currents.

mod asked;
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

const RETURNS: &str = "Nothing stands in a return to open it; the fuses before a fault protect it. \
    Returns are tried with dead shorts alone.";

const HOW_AT_A_POINT: &str = "All loads are off; sources are what each state has running, an alternator up to \
    its limit; conductors are as warm as the air, so that a hot one lets less flow. A fuse's time is \
    the latest of its curve.";

const BEFORE: &str = "Before you work on a high-current cable: every battery isolated, grounded \
    side off first and on last, rings off, no spark near a battery (hydrogen). A fuse is replaced \
    by one of the same rating and kind, never by a larger one. Not for anything above 60 V.";

const CODES: &str = "The maker's instructions come first. Boats, recreational and emergency vehicles \
    have codes of their own, which may ask for more: this is no proof of meeting any of them.";

/// What to know about the protection of a whole vehicle.
const NOTES: [&str; 3] = [RETURNS, BEFORE, CODES];
/// What to know about a fault at a point.
const NOTES_AT_A_POINT: [&str; 3] = [HOW_AT_A_POINT, BEFORE, CODES];

impl Question for Asked {
    type About<'v> = &'v Vehicle;
    type Found<'v> = Found<'v>;
    type Shape = Protect;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(vehicle, self).map(Some)
    }

    fn shape(&self, found: &Found<'_>) -> Protect {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self.all)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Vec::new()
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}

#[cfg(test)]
mod tests;
