//! Volts, amperes, watts and degrees of everything, state by state.

mod asked;
mod cold;
pub(crate) mod beside;
mod found;
mod in_line;
mod as_solved;
mod shape;
mod told;

pub use as_solved::*;
pub use asked::Asked;
pub use cold::{ColdCrank, PublishedVolts};
pub use found::Found;
pub use in_line::{OverloadedFuse, SplitRelay};
pub use shape::*;

pub use crate::stray::StrayPath;
pub use crate::unsettled::Miss;

use model::Vehicle;

use crate::room::{AtHand, Part};
use crate::told::Told;

question! {
    &'v Vehicle => Found<'v> => Solved {
        const WARNS: bool = true;

        fn beside(&self, found: &Found<'_>, told: &mut Told) {
            beside::of(told, found);
        }

        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            Part::only("solve", Self::default())
        }
    }
}
