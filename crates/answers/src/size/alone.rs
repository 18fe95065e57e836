//! A conductor by itself: the smallest sizes that keep a drop at a current.

pub(super) mod found;
pub(super) mod told;
pub(super) mod shape;
mod wanted;

pub(super) use found::Found;
