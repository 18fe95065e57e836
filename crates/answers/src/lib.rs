//! What the program answers to other programs: one shape for each question, whoever asks.
//!
//! `docs/json.md` is the contract. Each module holds the shape of one answer and the function that
//! fills it from what was computed. Nothing
//! here knows a terminal or a network.

mod named;
pub mod arguments;
pub mod told;
pub mod cautions;
pub mod refusal;
pub mod room;
pub mod questions;
mod weighed;
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
