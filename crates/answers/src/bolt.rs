//! A bolted joint: torque and clamp force, faces, washers, stack, protection, practice.

mod about;
mod asked;
mod faces;
mod found;
mod place;
mod shape;
mod sheet;
mod tightening;
mod told;

pub use about::{FacesTold, FormingTold, JointAbout, JointPlace, PracticeTold};
pub use asked::Asked;
pub use found::Found;
pub use shape::*;
pub(crate) use told::job::JointJob;

use model::Vehicle;

use crate::refusal::Refused;
use crate::room::{AtHand, Part, Question, Watch};
use crate::told::Told;

impl Question for Asked {
    type About<'v> = Option<&'v Vehicle>;
    type Found<'v> = Found;
    type Shape = BoltAnswer;

    fn find<'v>(
        &self,
        vehicle: Self::About<'v>,
        _: Watch<'_>,
    ) -> Result<Option<Self::Found<'v>>, Refused> {
        Found::of(vehicle, self).map(Some)
    }

    fn shape(&self, found: &Found) -> BoltAnswer {
        shape::of(found)
    }

    fn told(&self, found: &Found) -> Told {
        told::of(found)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        // What is done at the joints that its repairs open stands beside those.
        Vec::new()
    }

    fn wants_attention(&self, found: &Found) -> bool {
        !found.warnings().is_empty()
    }
}

#[cfg(test)]
mod tests;
