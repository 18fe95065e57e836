//! Which joint is bad, how sure that is, and what the readings are worth.

mod asked;
mod beside;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::room::{AtHand, Measured, Part};
use crate::told::Told;

question! {
    Measured<'v> => Found<'v> => Diagnosed {
        const LONG: bool = true;

        fn beside(&self, found: &Found<'_>, told: &mut Told) {
            beside::of(told, found);
        }

        fn reported(at: AtHand<'_>) -> Vec<Part<Self>> {
            // Without readings there is nothing to say of them.
            let measured = at.taken.is_some_and(|taken| taken.last() > 0);
            if measured { Part::only("diagnose", Self::default()) } else { Vec::new() }
        }
    }
}
