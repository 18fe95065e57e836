//! From a symptom and the readings at hand, without a vehicle file, to the side that is suspect and what to
//! measure next.
//!
//! Whoever can ask back goes step by step: [`Asked::given`] asks for the facts, a [`Story`] takes line after line,
//! tells what is asked of each, and is weighed as often as somebody wants to know.

mod asked;
mod back;
mod given;
mod setup;
mod symptom;
mod places;
mod rough;
mod story;
mod minus;
mod unweighed;
mod sights;
mod remark;
mod weighed;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use back::{Back, Choice};
pub use found::{Files, Found, Written};
pub use given::Given;
pub use remark::Remark;
pub use setup::{Isolator, Metal, Place, Setup};
pub use shape::*;
pub use story::{Answered, Story};
pub use told::in_between;

use units::UnitSystem;

use crate::refusal::Refused;
use crate::room::{AtHand, Part, Question, Watch};
use crate::told::{Line, Told, written};

impl Question for Asked {
    type About<'v> = ();
    type Found<'v> = Found;
    type Shape = Started;

    fn find<'v>(
        &self,
        (): Self::About<'v>,
        watch: Watch<'_>,
    ) -> Result<Option<Self::Found<'v>>, Refused> {
        let (setup, symptom) = self.given()?.as_usual().settled()?;
        let vehicle = setup.vehicle()?;
        let mut story = Story::new(&vehicle, &setup, symptom);
        for line in &self.readings {
            // Nobody is there to be asked back.
            let _ = story.take(line);
        }
        let (found, whole) = story.weigh_watched(watch);
        Ok(whole.then_some(found))
    }

    fn shape(&self, found: &Found) -> Started {
        shape::of(found)
    }

    fn told(&self, found: &Found) -> Told {
        told::of(found)
    }

    fn reported(_: AtHand<'_>) -> Vec<Part<Self>> {
        Vec::new()
    }

    fn wants_attention(&self, found: &Found) -> bool {
        found.wants_attention()
    }
}

/// Volts and amperes are written the same for everybody.
fn plain(line: &Line) -> String {
    written(line, UnitSystem::default())
}

#[cfg(test)]
mod tests;
