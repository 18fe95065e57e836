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
mod against;
#[cfg(test)]
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

use crate::told::{Line, written};

question! { () => Found => Started {} }

/// Volts and amperes are written the same for everybody.
fn plain(line: &Line) -> String {
    written(line, UnitSystem::default())
}

#[cfg(test)]
mod tests;
