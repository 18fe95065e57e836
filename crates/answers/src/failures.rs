//! What fails when something fails, how soon, and what would help; or what to inspect after a failure.

mod asked;
mod beside;
mod found;
mod shape;
mod told;
pub mod words;

pub use asked::Asked;
pub use found::{After, Found, Surveyed};
pub use shape::*;

use model::Vehicle;

use crate::room::{AtHand, Part};
use crate::told::Told;

/// Failures that a report tells of in words.
const REPORTED: usize = 500;

question! {
    &'v Vehicle => Found<'v> => Failures {
        const LONG: bool = true;

        fn beside(&self, found: &Found<'_>, told: &mut Told) {
            beside::of(told, found);
        }

        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            Part::only("failures", Self { most: REPORTED, ..Self::default() })
        }
    }
}

#[cfg(test)]
mod tests;
