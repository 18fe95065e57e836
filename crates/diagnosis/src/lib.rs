//! From meter readings to the bad joint: what to believe, whom to suspect, what to measure next.
//!
//! Everything unknown about a vehicle (the logarithm of every resistance, every load's draw, every
//! battery) has a belief before any reading ([`prior`]). A *hypothesis* replaces the belief about
//! one of them by that of a fault. A fit finds the most probable vehicle under a hypothesis and how
//! well it explains the readings; [`diagnose`](diagnose::diagnose) weighs the hypotheses.

pub mod observation;
pub mod prior;
mod dense;
mod forward;
mod fit;
mod hypothesis;
pub mod diagnose;
mod weights;
mod conclude;
mod belief;
pub mod next_reading;
pub mod repairs;

pub use diagnose::{Complaint, Diagnosis, JointBelief, Session, Suspect, SuspectKind, diagnose};
pub use next_reading::{Proposal, next, survey};
pub use observation::{Observation, observations};
pub use repairs::{Action, Gain, Repair};

#[cfg(test)]
mod tests;
