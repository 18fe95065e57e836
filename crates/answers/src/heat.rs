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

use crate::refusal::Refused;
use crate::room::{About as _, AtHand, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    const LONG: bool = true;
    type About<'v> = &'v Vehicle;
    type Found<'v> = Found<'v>;
    type Shape = Heat;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(vehicle, self).map(Some)
    }

    fn shape(&self, found: &Found<'_>) -> Heat {
        shape::of(found)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self.all)
    }

    fn beside(&self, found: &Found<'_>, told: &mut Told) {
        beside::of(told, found);
    }

    fn reported(at: AtHand<'_>) -> Vec<Part<Self>> {
        let states = <&Vehicle>::of(at).into_iter().flat_map(|own| &own.states);
        let states = states.map(|own| own.id.clone());
        Part::each("heat", states, |state| Self { state: state.to_owned(), ..Self::default() })
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}

#[cfg(test)]
mod tests;
