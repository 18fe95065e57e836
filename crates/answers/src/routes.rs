//! Which way the current comes home, every ampere accounted for.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;
pub(crate) use told::ways;

use model::Vehicle;

use crate::refusal::Refused;
use crate::room::{AtHand, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    type About<'v> = &'v Vehicle;
    type Found<'v> = Found<'v>;
    type Shape = ReturnRoutes;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(vehicle, self).map(Some)
    }

    fn shape(&self, found: &Found<'_>) -> ReturnRoutes {
        shape::answer(found, self.load.clone())
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self.small)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Part::only("routes", Self::default())
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}
