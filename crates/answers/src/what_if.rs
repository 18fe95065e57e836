//! Before and after a change, for every load and state.

mod asked;
mod beside;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use model::Vehicle;

use crate::told::Told;

question! {
    &'v Vehicle => Found<'v> => WhatIf {
        fn beside(&self, found: &Found<'_>, told: &mut Told) {
            beside::of(told, found);
        }
    }
}
