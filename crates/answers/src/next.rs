//! The reading that tells most per minute, and what each outcome would mean.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::{Asked, Plan};
pub use found::Found;
pub use shape::*;

use crate::room::{AtHand, Measured, Part};

question! {
    Measured<'v> => Found<'v> => NextOrPlan {
        const LONG: bool = true;

        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            /// Readings of the plan.
            const PLANNED: usize = 12;
            let plan = Self { plan: Plan::Of(PLANNED), ..Self::default() };
            let mut parts = Part::only("next", Self::default());
            parts.extend(Part::only("plan", plan));
            parts
        }
    }
}
