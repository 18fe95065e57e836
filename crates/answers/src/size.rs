//! The smallest conductor that keeps a drop, or in a vehicle everything at once.

mod asked;
mod families;
mod found;
mod shape;
mod alone;
mod in_vehicle;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use crate::room::Written;

/// Insulation that the temperature is held against where none is named.
const USUAL_INSULATION: &str = "PVC 105";

question! {
    Option<Written<'v>> => Found<'v> => Sizes {
        const LONG: bool = true;
    }
}

#[cfg(test)]
mod tests;
