//! The reading that tells most per minute, and what each outcome would mean.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::{Asked, Plan};
pub use found::Found;
pub use shape::*;

use crate::refusal::Refused;
use crate::room::{AtHand, Measured, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    const LONG: bool = true;
    type About<'v> = Measured<'v>;
    type Found<'v> = Found<'v>;
    type Shape = NextOrPlan;

    fn find<'v>(
        &self,
        about: Self::About<'v>,
        watch: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(about, self, watch)
    }

    fn shape(&self, found: &Found<'_>) -> NextOrPlan {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        /// Readings of the plan.
        const PLANNED: usize = 12;
        let plan = Self { plan: Plan::Of(PLANNED), ..Self::default() };
        let mut parts = Part::only("next", Self::default());
        parts.extend(Part::only("plan", plan));
        parts
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}
