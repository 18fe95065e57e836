//! What else fails when something fails: every joint and conductor opened and worn, every fuse
//! blown, each battery and alternator lost, in every operating state.
//!
//! [`Analysis`] lays the vehicle out and knows what each conductor bears; [`Analysis::survey`] goes
//! through all failures and ranks them by harm and likelihood (how: `docs/failures.md`);
//! [`Analysis::pairs`] through all pairs; [`Analysis::remedy`] looks for the cheapest change that
//! takes the harm away; [`Analysis::aftermath`] says what to inspect after one that has happened.

pub mod fault;
pub mod likelihood;
pub mod finding;
pub mod joint_heat;
pub mod fuses;
pub mod lost_way;
pub mod judge;
pub mod protection;
pub mod analysis;
mod screen;
pub mod survey;
pub mod pairs;
pub mod bound;
pub mod hidden;
pub mod aftermath;
pub mod remedy;
pub mod warmth;

pub use aftermath::{Aftermath, Carried, Inspect};
pub use analysis::{Analysis, Progress, Watch};
pub use bound::missed_share;
pub use endurance::{Bearing, Endurance, LimitOf, Rule};
pub use fault::{Fault, Wear};
pub use finding::{Contact, Finding};
pub use hidden::{HiddenFuse, HiddenPath};
pub use joint_heat::JointHeat;
pub use lost_way::{LostWay, Where};
pub use pairs::{PairCase, Pairs};
pub use protection::Protection;
pub use remedy::{Change, Remedy};
pub use survey::{Case, Ranked, Survey};
pub use warmth::{ConductorWarmth, Duty, JointWarmth, Resting, ShortFault, Warmth};

#[cfg(test)]
mod tests;
#[cfg(test)]
mod harm_tests;
