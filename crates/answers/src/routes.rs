//! Which way the current comes home, every ampere accounted for.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub(crate) use found::ending;
pub use shape::*;
pub(crate) use told::ways;

use model::Vehicle;

use crate::room::{AtHand, Part};

question! {
    &'v Vehicle => Found<'v> => ReturnRoutes {
        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            Part::only("routes", Self::default())
        }
    }
}
