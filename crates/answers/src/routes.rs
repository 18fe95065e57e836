//! Which way the current comes home.

use model::Vehicle;
use network::Routes;
use network::routes::RouteEnd;
use serde::Serialize;
use utoipa::ToSchema;

/// The answer of `routes`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ReturnRoutes {
    /// The number of the contract.
    pub format: u32,
    /// The load; null for all.
    pub load: Option<String>,
    /// One for each state.
    pub states: Vec<RoutesState>,
}

/// One operating state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RoutesState {
    /// Its name.
    pub state: String,
    /// Its routes.
    pub routes: RouteList,
}

/// Routes that account for every ampere.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RouteList {
    /// All of them together.
    pub total_amps: f64,
    /// The widest first.
    pub routes: Vec<ReturnRoute>,
}

/// One way home.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ReturnRoute {
    /// The load whose current it is.
    pub load: String,
    /// Current on this way.
    pub amps: f64,
    /// Its part of the load's current.
    pub share: f64,
    /// The battery or source at which it ends.
    pub end: String,
    /// Pieces in the order of the way home.
    pub pieces: Vec<String>,
}

/// The routes of one state.
#[must_use]
pub fn of(vehicle: &Vehicle, routes: &Routes) -> RouteList {
    let listed = routes.routes.iter().map(|route| ReturnRoute {
        load: vehicle.load(route.load).id.clone(),
        amps: route.amps.0,
        share: route.share.0,
        end: match route.end {
            RouteEnd::Battery(id) => vehicle.battery(id).id.clone(),
            RouteEnd::Source(id) => vehicle.regulated_source(id).id.clone(),
        },
        pieces: route.pieces.iter().map(|piece| vehicle.piece_name(*piece).to_owned()).collect(),
    });
    RouteList { total_amps: routes.total.0, routes: listed.collect() }
}
