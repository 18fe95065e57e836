//! Symmetric conductance matrices: ordering and pattern once per topology, numbers as often as wanted.
//!
//! A network of `n` nodes and branches with conductances `g` has the matrix `G = Σ g (e_a − e_b)(e_a − e_b)ᵀ`
//! plus a conductance from chosen nodes to an outside reference, without which it would be singular.
//! Numbers here are plain `f64` in siemens, amperes and volts: this crate is the inside of the solver.
//!
//! [`Pattern`] holds what depends on topology alone, [`Factor`] the numbers of one factorisation,
//! [`Lanes`] replays the same elimination for eight sets of numbers at once.

mod elimination;
pub mod pattern;
pub mod factor;
pub mod lanes;

pub use factor::{Factor, NotPositive};
pub use lanes::{LANES, Lanes, LanesWork};
pub use pattern::{Pattern, Values};
