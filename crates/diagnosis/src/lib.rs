//! From meter readings to the bad joint: what to believe, whom to suspect, what to measure next.
//!
//! Everything unknown about a vehicle (the logarithm of every resistance, every load's draw, every
//! battery) has a belief before any reading ([`prior`]). A *hypothesis* replaces the belief about
//! one of them by that of a fault. A fit finds the most probable vehicle under a hypothesis and how
//! well it explains the readings; the explanations are weighed and concluded from, and the conclusion
//! is asked what to measure next, why, and what to repair. [`Session`] owns what that takes.
//!
//! # Modules, each using only those before it
//!
//! 1. What is judged beforehand: `judged`. What is told and noticed: `observation`, `suspect`, `clue`, `practice`, `taught`, `watch`.
//! 2. Numbers and graphs: `dense`, `mixture`, `metal`, `paths`.
//! 3. Before any reading: `prior`, `forward` (what a meter would show), `fit` (the most probable
//!    vehicle), `slip`, `hypothesis`, `a_priori`, `explanation`, `side` (on which side of a circuit each
//!    thing lies).
//! 4. Explanations: `sight`, `hearsay`, `estimator` (fits and weighs one), `session`
//!    (owns all that this takes, and is asked), `rough` (tries every fault),
//!    `single`, `beside`, `cuts`, `wrong`, `search` (all that are worth weighing).
//! 5. The conclusion: `agreement`, `diagnose`, `conclude`.
//! 6. What is asked of it: `belief`, `account`, `proposal`, `holding`, `next_reading`, `survey`,
//!    `acquittal`, `sides`, `symptom`, `sign`, `repairs`.

mod judged;
pub mod observation;
pub mod suspect;
pub mod clue;
pub mod practice;
mod taught;
mod watch;
mod dense;
mod mixture;
mod metal;
mod paths;
pub mod prior;
mod forward;
mod fit;
mod slip;
mod hypothesis;
mod a_priori;
mod explanation;
mod side;
mod sight;
mod hearsay;
mod estimator;
pub mod session;
mod rough;
mod single;
mod beside;
mod cuts;
mod wrong;
mod search;
pub mod agreement;
pub mod diagnose;
mod conclude;
mod belief;
pub mod account;
mod proposal;
mod holding;
mod next_reading;
mod survey;
pub mod acquittal;
pub mod sides;
pub mod symptom;
pub mod sign;
pub mod repairs;

pub use account::{Against, Finding, Telling};
pub use acquittal::Hold;
pub use agreement::{Agreement, Assumption, ChiSquare, Moved};
pub use belief::Beliefs;
pub use clue::{Change, Clue, clues};
pub use conclude::diagnose;
pub use diagnose::{Diagnosis, JointBelief, take_again_from};
pub use mixture::Interval;
pub use next_reading::next;
pub use observation::{Crowded, Observation, alike, crowded, observations};
pub use practice::Practice;
pub use proposal::{Proposal, Why};
pub use repairs::{Action, Consumer, Gain, Repair, work_time};
pub use session::Session;
pub use side::Side;
pub use sides::{SideBelief, Sides, Standing};
pub use sign::{Doubt, Heeded, Question};
pub use survey::survey;
pub use suspect::{Complaint, Suspect, SuspectKind};
pub use symptom::{Account, Heard, Symptom};
pub use taught::{Beside, beside, taught_limit};

#[cfg(test)]
mod fleet;

#[cfg(test)]
mod tests;

#[cfg(test)]
mod filed;

#[cfg(test)]
mod crimps;

#[cfg(test)]
mod outside;
