//! Where the volts of one load go.

use model::{PointId, Vehicle};
use network::budget::Home;
use network::{Budget, OperatingPoint, Routes, Side};
use serde::Serialize;
use utoipa::ToSchema;

use crate::routes::{self, RouteList};

/// The answer of `budget`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Budgets {
    /// The number of the contract.
    pub format: u32,
    /// The load.
    pub load: String,
    /// One for each state.
    pub states: Vec<BudgetState>,
}

/// One operating state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct BudgetState {
    /// Its name.
    pub state: String,
    /// The load's whole circuit in volts.
    pub budget: VoltBudget,
    /// Its ways home.
    pub routes: RouteList,
}

/// A load's whole circuit in volts: source = feed + load + return.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct VoltBudget {
    /// The battery or source at which the circuit begins and ends.
    pub source: String,
    /// Between its posts.
    pub source_volts: f64,
    /// Between the load's terminals.
    pub load_volts: f64,
    /// What the load draws.
    pub load_amps: f64,
    /// Lost on the way there.
    pub feed_volts: f64,
    /// Lost on the way home.
    pub return_volts: f64,
    /// Volts of the four places between which the circuit lies.
    pub potentials: Potentials,
    /// What each piece costs on the way there, the largest first.
    pub feed: Vec<BudgetTerm>,
    /// What each piece costs on the way home, the largest first.
    #[serde(rename = "return")]
    pub back: Vec<BudgetTerm>,
}

/// Volts against the first battery's negative post; null when nothing joins them.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Potentials {
    /// Of the source's terminal that feeds.
    pub source_feed: Option<f64>,
    /// Of the load's terminal that is fed.
    pub load_feed: Option<f64>,
    /// Of the load's terminal from which the way home begins.
    pub load_home: Option<f64>,
    /// Of the source's terminal at which it ends.
    pub source_home: Option<f64>,
}

/// What one piece costs.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct BudgetTerm {
    /// Its name.
    pub piece: String,
    /// Its part of the loss.
    pub volts: f64,
    /// Everybody's current in it.
    pub amps: f64,
    /// Its resistance.
    pub ohms: f64,
    /// The part of one more ampere that would pass it.
    pub share: f64,
    /// Change of the load's voltage for each ohm that it gains.
    pub volts_per_ohm: f64,
}

/// One state's budget and routes.
#[must_use]
pub fn state(
    vehicle: &Vehicle,
    point: &OperatingPoint,
    budget: &Budget,
    ways: &Routes,
) -> BudgetState {
    BudgetState {
        state: vehicle.state(point.state).id.clone(),
        budget: of(vehicle, budget, point),
        routes: routes::of(vehicle, ways, point),
    }
}

/// A load's budget.
#[must_use]
pub fn of(vehicle: &Vehicle, budget: &Budget, point: &OperatingPoint) -> VoltBudget {
    let side = |side: Side| -> Vec<BudgetTerm> {
        let terms = budget.side(side);
        terms
            .map(|term| BudgetTerm {
                piece: vehicle.piece_name(term.piece).to_owned(),
                volts: term.volts.0,
                amps: term.amps.0,
                ohms: term.resistance.0,
                share: term.share.0,
                volts_per_ohm: term.volts_per_ohm,
            })
            .collect()
    };
    let (source, (source_feed, source_home)) = match budget.home {
        Home::Battery(id) => (&vehicle.battery(id).id, vehicle.battery_terminals(id)),
        Home::Source(id) => (&vehicle.regulated_source(id).id, vehicle.regulated_terminals(id)),
    };
    let (load_feed, load_home) = vehicle.load_terminals(budget.load);
    let volts = |at: PointId| point.points[at.index()].map(|volts| volts.0);
    VoltBudget {
        source: source.clone(),
        source_volts: budget.source_volts.0,
        load_volts: budget.load_volts.0,
        load_amps: budget.load_amps.0,
        feed_volts: budget.feed.0,
        return_volts: budget.back.0,
        potentials: Potentials {
            source_feed: volts(source_feed),
            load_feed: volts(load_feed),
            load_home: volts(load_home),
            source_home: volts(source_home),
        },
        feed: side(Side::Feed),
        back: side(Side::Return),
    }
}
