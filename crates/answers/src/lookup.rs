//! The published and trade facts of the catalogue, each with its source and how sure it is.

mod asked;
mod found;
mod shape;
mod told;

pub use asked::Asked;
pub use found::Found;
pub use shape::*;

question! { () => Found => Lookup {} }

#[cfg(test)]
mod tests;
