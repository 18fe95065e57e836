//! Vehicle to equations and back: where the volts go, and which way the current comes home.
//!
//! [`Network`] lays a vehicle out once and solves its operating states; from an
//! [`OperatingPoint`] it derives the volt budget of a load, the routes by which its current
//! returns, the offsets that loads impose on each other's grounds, and sensitivities.
//!
//! # Modules, each using only those before it
//!
//! 1. Equations: `law` (of one device), `circuit` (Newton's method), `wiring` (which node is which point).
//! 2. What a state means: `deviations`, `conditions`, `heating`; what is told of it: `operating_point`; what a
//!    ground has to bear: `duty`.
//! 3. A state solved: `network` (the vehicle laid out), `converter`, `equaliser`, `settling`, `describe`, `solve`.
//! 4. What is asked of it: `as_solved`, `flow`, `widest`, `routes`, `budget`, `offsets`, `update`, `draws`, `opening`, `trial`,
//!    `failed`, `outages`.

mod law;
mod circuit;
mod wiring;
pub mod deviations;
mod conditions;
pub mod heating;
pub mod operating_point;
pub mod duty;
pub mod network;
mod converter;
mod equaliser;
mod settling;
mod describe;
mod solve;
pub mod as_solved;
mod flow;
mod widest;
pub mod routes;
pub mod budget;
pub mod offsets;
pub mod update;
pub mod draws;
pub mod opening;
pub mod trial;
pub mod failed;
pub mod outages;

pub use as_solved::{AsSolved, BranchAsSolved, DeviceAsSolved, NodeAsSolved};
pub use budget::{Budget, Side, Subject, Term};
pub use deviations::Deviations;
pub use draws::Draws;
pub use failed::Failed;
pub use law::Law;
pub use network::Network;
pub use offsets::{Offset, Offsets};
pub use opening::time_current;
pub use operating_point::{
    Balance, BatteryPoint, Convergence, LoadPoint, LoadStatus, OperatingPoint, PiecePoint,
    SourceMode, SourcePoint,
};
pub use outages::{BranchId, Change, Outages, Shift};
pub use routes::{Route, RouteEnd, RouteStart, Routes};
pub use trial::{Gradient, Trial};
pub use update::{Update, UpdateParts};
pub use wiring::Device;

#[cfg(test)]
mod published;
#[cfg(test)]
pub(crate) mod laws;
#[cfg(test)]
mod rated;
#[cfg(test)]
mod tied;
