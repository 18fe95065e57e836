//! How warm conductors and joints get in a state, and after how long.

mod asked;
mod beside;
mod found;
mod plot;
mod shape;
mod told;

pub use asked::{Asked, DutyAsked};
pub use found::Found;
pub use plot::plot;
pub use shape::*;

use model::Vehicle;

use crate::room::{About as _, AtHand, Part};
use crate::told::Told;

question! {
    &'v Vehicle => Found<'v> => Heat {
        const LONG: bool = true;

        fn beside(&self, found: &Found<'_>, told: &mut Told) {
            beside::of(told, found);
        }

        fn reported(at: AtHand<'_>) -> Vec<Part<Self>> {
            let states = <&Vehicle>::of(at).into_iter().flat_map(|own| &own.states);
            let states = states.map(|own| own.id.clone());
            Part::each("heat", states, |state| Self { state: state.to_owned(), ..Self::default() })
        }
    }
}

#[cfg(test)]
mod tests;
