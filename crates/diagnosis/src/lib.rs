//! From meter readings to the bad joint: what to believe, whom to suspect, what to measure next.
//!
//! Everything unknown about a vehicle (the logarithm of every resistance, every load's draw, every
//! battery) has a belief before any reading ([`prior`]). A *hypothesis* replaces the belief about
//! one of them by that of a fault. A fit finds the most probable vehicle under a hypothesis and how
//! well it explains the readings; [`Session`] weighs the hypotheses.

pub mod observation;
pub mod prior;
mod dense;
mod forward;
mod fit;
mod hypothesis;
pub mod clue;
pub mod diagnose;
mod pairs;
mod cuts;
mod paths;
pub mod practice;
mod watch;
pub mod session;
pub mod survey;
mod slip;
mod tried;
mod wrong;
mod weights;
mod conclude;
mod belief;
pub mod account;
pub mod agreement;
mod taught;
pub mod next_reading;
pub mod holding;
pub mod sign;
pub mod repairs;
mod metal;
pub mod sides;
pub mod acquittal;
pub mod symptom;

pub use account::{Against, Finding, Telling};
pub use acquittal::Hold;
pub use agreement::{Agreement, Assumption, ChiSquare, Moved};
pub use belief::{Beliefs, Interval};
pub use clue::{Change, Clue, clues};
pub use diagnose::{Complaint, Diagnosis, JointBelief, Suspect, SuspectKind, TAKE_AGAIN};
pub use holding::Why;
pub use next_reading::{Proposal, next};
pub use observation::{Crowded, Observation, alike, crowded, observations};
pub use practice::Practice;
pub use repairs::{Action, Consumer, Gain, Repair, work_time};
pub use session::{Session, diagnose};
pub use sides::{Side, SideBelief, Sides, Standing};
pub use sign::{Doubt, Heeded, Question};
pub use survey::survey;
pub use symptom::{Account, Heard, Symptom};
pub use taught::{Beside, beside, taught_limit};

#[cfg(test)]
mod fleet;

#[cfg(test)]
mod tests;

#[cfg(test)]
mod filed;

#[cfg(test)]
mod outside;
