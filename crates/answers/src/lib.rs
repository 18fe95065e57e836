//! A room for each question: what is asked, what is found, its JSON and what is said of it, whoever asks.
//!
//! `questions` lists the questions, `room` says what each has, `docs/json.md` is the contract of their
//! answers. Nothing here knows a terminal or a network.

#[macro_use]
mod shape;
#[macro_use]
pub mod told;
#[macro_use]
pub mod room;
mod named;
pub mod arguments;
pub mod cautions;
pub mod refusal;
pub mod questions;
mod stray;
mod unsettled;
mod weighed;
mod sights;
pub mod problem;
pub mod layouts;
pub mod start;
pub mod check;
pub mod solve;
pub mod budget;
pub mod routes;
pub mod offsets;
pub mod what_if;
pub mod limits;
pub mod protect;
pub mod edit;
pub mod earlier;
pub mod holds;
pub mod taken;
mod suspect;
pub mod sides;
pub mod separating;
pub mod diagnose;
pub mod next;
pub mod question;
pub mod repairs;
pub mod failures;
pub mod heat;
pub mod bolt;
pub mod size;
pub mod lookup;
mod measured_at;
pub mod meaning;
pub mod proof;
pub mod family;
pub mod picture;
mod place;
pub mod column;

pub use named::Named;
pub use refusal::Refusal;

/// The number of the contract, in every answer.
pub const FORMAT: u32 = 1;
