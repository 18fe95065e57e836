//! Whether each conductor is protected, and what size a new one has to have.
//!
//! [`protect`](protect::protect) shorts every live point to the vehicle's metal, finds which fuses cut
//! the fault off and when, and holds that against what each conductor bears. How it is judged and what
//! is assumed: `docs/protection.md`.

mod graph;
pub mod curves;
pub mod shorts;
pub mod feeds;
mod state_view;
pub mod returns;
mod supplied;
pub mod customs;
pub mod protect;
pub mod at_point;
pub mod sizing;

pub use at_point::{AtPoint, Through, at_point};
pub use curves::{Curves, Origin};
pub use customs::Custom;
pub use endurance::{Harm, Limits, Rule, Thermal};
pub use feeds::{Clearing, Fed, Gap, Guard, Source, Supply, Verdict};
pub use protect::{Broken, Feed, Protection, Scope, protect};
pub use returns::{Carried, Worst};
pub use shorts::{Fault, Short, Shorts, Touch};

#[cfg(test)]
mod tests;
#[cfg(test)]
mod published;
