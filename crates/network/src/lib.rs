//! Vehicle to equations and back: where the volts go, and which way the current comes home.
//!
//! [`Network`] lays a vehicle out once and solves its operating states; from an
//! [`OperatingPoint`] it derives the volt budget of a load, the routes by which its current
//! returns, the offsets that loads impose on each other's grounds, and sensitivities.

mod law;
mod circuit;
mod flow;
mod converter;
mod wiring;
mod conditions;
mod settling;
mod describe;
pub mod heating;
pub mod duty;
pub mod operating_point;
pub mod network;
pub mod budget;
mod widest;
pub mod routes;
pub mod offsets;
pub mod update;
pub mod draws;
pub mod opening;
pub mod trial;
pub mod failed;
pub mod outages;

pub use budget::{Budget, Side, Term};
pub use draws::Draws;
pub use failed::Failed;
pub use network::Network;
pub use offsets::{Offset, Offsets};
pub use opening::time_current;
pub use operating_point::{
    Balance, BatteryPoint, Convergence, LoadPoint, LoadStatus, OperatingPoint, PiecePoint,
    SourceMode, SourcePoint,
};
pub use outages::{BranchId, Change, Outages, Shift};
pub use routes::{Route, RouteEnd, RouteStart, Routes};
pub use trial::{Deviations, Gradient, Trial};
pub use update::{Update, UpdateParts};

#[cfg(test)]
mod published;
#[cfg(test)]
pub(crate) mod laws;
#[cfg(test)]
mod tied;
