//! What is wrong with a file, what is in it, and what was filled in.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::room::{AtHand, File, Part};

question! {
    File<'v> => Found<'v> => Check {
        fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
            Part::only("check", Self::default())
        }
    }
}
