//! Where the volts of one load go: feed side, load, return side, and the ways home.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use model::Vehicle;

use crate::room::{About as _, AtHand, Part};

question! {
    &'v Vehicle => Found<'v> => Budgets {
        const WARNS: bool = true;

        fn reported(at: AtHand<'_>) -> Vec<Part<Self>> {
            let loads = <&Vehicle>::of(at).into_iter().flat_map(|own| &own.loads);
            let on = loads.filter(|own| !own.on.is_empty()).map(|own| own.id.clone());
            Part::each("budget", on, |load| Self { load: load.to_owned(), ..Self::default() })
        }
    }
}

#[cfg(test)]
mod tests;
