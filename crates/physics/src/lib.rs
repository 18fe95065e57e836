//! Laws as functions of quantities: conductors and their heat, joints, sources, loads, corrosion.
//!
//! Each file holds one family of laws, with the source of each law in its documentation and the
//! published numbers it is held against in its tests. Nothing here knows what a law is used for.

pub mod error;
pub mod quantity;
pub mod conductor;
pub mod heat;
pub mod adiabatic;
pub mod protection;
pub mod bolt;
pub mod contact;
pub mod element;
pub mod source;
pub mod load;
pub mod corrosion;

pub use error::PhysicsError;

#[cfg(test)]
mod close;
