//! The drop to expect, then what published and taught rules say beside it.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

const CONTRADICT: &str = "These rule sets contradict one another for one and the same test, and \
    none of them is a law for vehicles. What to expect of sound copper at the current that really \
    flowed comes first: a drop well above it is worth a look though it is within a limit, and one \
    near it is sound though it is above.";

const CAUTIONS: &str = "Cranking current heats cables and joints in seconds: crank no longer than \
    the reading needs. Rings off, nothing loosened while current flows, no spark near a battery \
    (hydrogen). Not for anything above 60 V. See `groundloom catalogue cautions`.";

question! { () => Found => Limits {} }

#[cfg(test)]
mod tests;
