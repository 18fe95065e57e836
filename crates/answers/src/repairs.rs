//! What is worth doing, ranked by volts gained for a minute of work.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::room::{AtHand, Measured, Part};

question! {
    Measured<'v> => Found<'v> => Repairs {
        const LONG: bool = true;

        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            Part::only("repairs", Self::default())
        }
    }
}

#[cfg(test)]
mod tests;
