//! Volts, amperes, watts and degrees of everything, state by state.

mod asked;
mod cold;
mod found;
mod as_solved;
mod shape;
mod told;

pub use as_solved::*;
pub use asked::Asked;
pub use cold::{ColdCrank, PublishedVolts};
pub use found::Found;
pub use shape::*;

use model::Vehicle;

use crate::room::{AtHand, Part};

question! {
    &'v Vehicle => Found<'v> => Solved {
        const WARNS: bool = true;

        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            Part::only("solve", Self::default())
        }
    }
}
