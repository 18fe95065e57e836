//! Physical quantities: one number each, the unit in the type; read and printed as people write them.
//!
//! Inside the program every quantity is held in its SI unit. Millimetres, gauges, pounds and
//! degrees Fahrenheit exist only in [`parse`](mod@parse) and [`print`](mod@print).

pub mod quantity;
pub mod dimension;
pub mod size;
pub mod parse;
pub mod print;
pub mod rank;

pub use dimension::Dimension;
pub use parse::{ParseError, parse};
pub use print::UnitSystem;
pub use quantity::*;
pub use rank::larger_first;
pub use size::WireSize;
