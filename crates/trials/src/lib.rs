//! How often diagnosis is right: random vehicles, hidden faults, a noisy meter, and the score.
//!
//! A trial draws a vehicle file, reads it as a person's file is read, and hides from the diagnosis
//! what the vehicle is really like: every joint, structure and load differs from the file. Then a
//! fault is hidden, a customer complains, a meter answers the readings that the program asks for,
//! and the answer is compared with the truth.

pub mod anything;
pub mod dice;
pub mod layout;
pub mod vehicle;
pub mod fault;
pub mod meter;
pub mod run;
pub mod score;
pub mod scenario;
pub mod table;

#[cfg(test)]
mod laws;
