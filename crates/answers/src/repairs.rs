//! What is worth doing, ranked by volts gained for a minute of work.

mod asked;
mod beside;
mod found;
mod job;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::room::{AtHand, Measured, Part};
use crate::told::Told;

question! {
    Measured<'v> => Found<'v> => Repairs {
        const LONG: bool = true;

        fn beside(&self, found: &Found<'_>, told: &mut Told) {
            beside::of(told, found);
        }

        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            Part::only("repairs", Self::default())
        }
    }
}

#[cfg(test)]
mod tests;
