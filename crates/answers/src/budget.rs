//! Where the volts of one load go: feed side, load, return side, and the ways home.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use model::Vehicle;

use crate::refusal::Refused;
use crate::room::{About as _, AtHand, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    const WARNS: bool = true;
    type About<'v> = &'v Vehicle;
    type Found<'v> = Found<'v>;
    type Shape = Budgets;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Found<'v>>, Refused> {
        Found::of(vehicle, self).map(Some)
    }

    fn shape(&self, found: &Found<'_>) -> Budgets {
        shape::answer(found, &self.load)
    }

    fn told(&self, found: &Found<'_>) -> Told {
        told::of(found, self.all)
    }

    fn reported(at: AtHand<'_>) -> Vec<Part<Self>> {
        let loads = <&Vehicle>::of(at).into_iter().flat_map(|own| &own.loads);
        let on = loads.filter(|own| !own.on.is_empty()).map(|own| own.id.clone());
        Part::each("budget", on, |load| Self { load: load.to_owned(), ..Self::default() })
    }

    fn wants_attention(&self, found: &Found<'_>) -> bool {
        found.wants_attention()
    }
}
