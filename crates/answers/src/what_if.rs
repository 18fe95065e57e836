//! Before and after a change, for every load and state.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use model::Vehicle;

question! { &'v Vehicle => Found<'v> => WhatIf {} }
