//! A conductor in a vehicle: each size is tried in the network as it is.

pub(super) mod found;
pub(super) mod told;
pub(super) mod shape;
mod wanted;
mod fitted;
mod why;

pub(super) use found::Found;

#[cfg(test)]
mod tests;
