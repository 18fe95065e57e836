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

use model::Vehicle;

question! {
    Option<&'v Vehicle> => Found => BoltAnswer {
        // A report asks for the joints that its repairs open, which it knows only then.
    }
}

#[cfg(test)]
mod tests;
