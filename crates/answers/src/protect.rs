//! Which fuse protects which conductor, over the whole range of fault currents.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

use model::Vehicle;

const RETURNS: &str = "Nothing stands in a return to open it; the fuses before a fault protect it. \
    Returns are tried with dead shorts alone.";

const HOW_AT_A_POINT: &str = "All loads are off; sources are what each state has running, an alternator up to \
    its limit; conductors are as warm as the air, so that a hot one lets less flow. A fuse's time is \
    the latest of its curve.";

const BEFORE: &str = "Before you work on a high-current cable: every battery isolated, grounded \
    side off first and on last, rings off, no spark near a battery (hydrogen). A fuse is replaced \
    by one of the same rating and kind, never by a larger one. Not for anything above 60 V.";

const CODES: &str = "The maker's instructions come first. Boats, recreational and emergency vehicles \
    have codes of their own, which may ask for more: this is no proof of meeting any of them.";

/// What to know about the protection of a whole vehicle.
const NOTES: [&str; 3] = [RETURNS, BEFORE, CODES];
/// What to know about a fault at a point.
const NOTES_AT_A_POINT: [&str; 3] = [HOW_AT_A_POINT, BEFORE, CODES];

question! { &'v Vehicle => Found<'v> => Protect {} }

#[cfg(test)]
mod tests;
