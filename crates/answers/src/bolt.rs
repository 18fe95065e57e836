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

question! {
    Option<&'v Vehicle> => Found => BoltAnswer {
        // In a report what is done at the joints that its repairs open stands beside those.
    }
}

#[cfg(test)]
mod tests;
