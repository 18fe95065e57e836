//! The JSON of a load's budget.

use model::{BatteryId, PointId, Vehicle};
use network::budget::Home;
use network::{Budget, OperatingPoint, Side, Subject, Term};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use super::found::InState;
use crate::routes::RouteList;
use crate::unsettled::{self, Miss};

shape! {
    /// The answer of `budget`.
    pub struct Budgets from pub(super) (found: &Found<'_>) {
        let states = found.states.iter().map(|own| BudgetState::of(found.vehicle, own));
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The load.
        pub load: String = found.load.clone(),
        /// One for each state.
        pub states: Vec<BudgetState> = states.collect(),
    }

    /// One operating state.
    pub struct BudgetState from (vehicle: &Vehicle, own: &InState) {
        /// Its name.
        pub state: String = vehicle.state(own.point.state).id.clone(),
        /// The load's whole circuit in volts.
        pub budget: VoltBudget = VoltBudget::of(vehicle, &own.budget, &own.point),
        /// Its ways home.
        pub routes: RouteList = RouteList::of(vehicle, &own.routes, &own.point),
        /// False when the state has no operating point; the numbers are then those of the last attempt.
        pub found: bool = unsettled::is_found(&own.point),
        /// The device that fits worst, when none was found.
        pub misses: Option<Miss> = unsettled::miss(&own.point),
    }

    /// A load's whole circuit in volts: source = feed + load + return.
    pub struct VoltBudget from (vehicle: &Vehicle, budget: &Budget, point: &OperatingPoint) {
        let side = |side: Side| -> Vec<BudgetTerm> {
            budget.side(side).map(|term| BudgetTerm::of(vehicle, term)).collect()
        };
        let (source_feed, source_home) = source_terminals(vehicle, &budget.home).unzip();
        let (load_feed, load_home) = subject_terminals(vehicle, &budget.subject).unzip();
        let volts = |at: Option<PointId>| point.points[at?.index()].map(|volts| volts.0);
        let batteries = match &budget.home {
            Home::Battery(id) => vec![*id],
            Home::Series(chain) => chain.clone(),
            Home::Source(_) => Vec::new(),
        };
        let batteries = batteries.into_iter().map(|id| BudgetBattery {
            battery: vehicle.battery(id).id.clone(),
            volts: point.battery(id).volts.0,
        });
        /// The battery or source at which the circuit begins and ends; batteries in series joined by ` + `.
        pub source: String = source(vehicle, &budget.home),
        /// Between its posts; of batteries in series between the outer ones.
        pub source_volts: f64 = budget.source_volts.0,
        /// The batteries that make up the source, from the lowest up; empty for another source.
        pub batteries: Vec<BudgetBattery> = batteries.collect(),
        /// Lost between batteries in series: by so much their volts together are more than the source's.
        pub between_volts: f64 = budget.between.0,
        /// What each piece between them costs, the largest first.
        pub between: Vec<BudgetTerm> = side(Side::Between),
        /// What has this circuit: `load`, `charging` (batteries that are being charged) or `converter` (its
        /// input, or that of half an equaliser).
        pub load_kind: &'static str = match budget.subject {
            Subject::Load(_) => "load",
            Subject::Charging(_) => "charging",
            Subject::Input(_) => "converter",
        },
        /// The name of that; batteries in series joined by ` + `.
        pub load_name: String = subject(vehicle, &budget.subject),
        /// Between the load's terminals.
        pub load_volts: f64 = budget.load_volts.0,
        /// What the load draws.
        pub load_amps: f64 = budget.load_amps.0,
        /// Lost on the way there.
        pub feed_volts: f64 = budget.feed.0,
        /// Lost on the way home.
        pub return_volts: f64 = budget.back.0,
        /// Volts of the four places between which the circuit lies.
        pub potentials: Potentials = Potentials {
            source_feed: volts(source_feed),
            load_feed: volts(load_feed),
            load_home: volts(load_home),
            source_home: volts(source_home),
        },
        /// What each piece costs on the way there, the largest first.
        pub feed: Vec<BudgetTerm> = side(Side::Feed),
        /// What each piece costs on the way home, the largest first.
        #[serde(rename = "return")]
        pub back: Vec<BudgetTerm> = side(Side::Return),
    }
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

/// A battery of the source.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct BudgetBattery {
    /// Its name.
    pub battery: String,
    /// Between its own posts.
    pub volts: f64,
}

shape! {
    /// What one piece costs.
    pub struct BudgetTerm from (vehicle: &Vehicle, term: &Term) {
        /// Its name.
        pub piece: String = vehicle.piece_name(term.piece).to_owned(),
        /// Its part of the loss.
        pub volts: f64 = term.volts.0,
        /// Everybody's current in it.
        pub amps: f64 = term.amps.0,
        /// Its resistance.
        pub ohms: f64 = term.resistance.0,
        /// The marginal share: of each further ampere between load and source so much would pass it. How
        /// the current that flows divides is told by `routes`.
        pub share: f64 = term.share.0,
        /// Change of the load's voltage for each ohm that it gains.
        pub volts_per_ohm: f64 = term.volts_per_ohm,
    }
}

/// The terminals of a source from which the current leaves it and to which it comes home.
pub(super) fn source_terminals(vehicle: &Vehicle, home: &Home) -> Option<(PointId, PointId)> {
    match home {
        Home::Battery(id) => Some(vehicle.battery_terminals(*id)),
        Home::Series(chain) => outer_posts(vehicle, chain),
        Home::Source(id) => Some(vehicle.regulated_terminals(*id)),
    }
}

/// The terminals of what has a circuit at which the feed ends and the way home begins.
pub(super) fn subject_terminals(
    vehicle: &Vehicle,
    subject: &Subject,
) -> Option<(PointId, PointId)> {
    match subject {
        Subject::Load(id) => Some(vehicle.load_terminals(*id)),
        Subject::Charging(chain) => outer_posts(vehicle, chain),
        Subject::Input(id) => {
            let input = vehicle.regulated_source(*id).input.as_ref()?;
            Some(vehicle.live_and_earthed(input.positive, input.negative))
        }
    }
}

/// The outer posts of batteries in series, the lowest first; nothing of none.
fn outer_posts(vehicle: &Vehicle, chain: &[BatteryId]) -> Option<(PointId, PointId)> {
    let (low, high) = (vehicle.battery(*chain.first()?), vehicle.battery(*chain.last()?));
    Some(vehicle.live_and_earthed(high.positive, low.negative))
}

/// What has a circuit, in words: `starter`, or `lower + upper` for batteries in series.
#[must_use]
pub fn subject(vehicle: &Vehicle, subject: &Subject) -> String {
    match subject {
        Subject::Load(id) => vehicle.load(*id).id.clone(),
        Subject::Charging(chain) => source(vehicle, &Home::Series(chain.clone())),
        Subject::Input(id) => vehicle.regulated_source(*id).id.clone(),
    }
}

/// The source of a budget in words: `main`, or `lower + upper` for batteries in series.
#[must_use]
pub fn source(vehicle: &Vehicle, home: &Home) -> String {
    match home {
        Home::Battery(id) => vehicle.battery(*id).id.clone(),
        Home::Series(chain) => {
            let names: Vec<&str> =
                chain.iter().map(|id| vehicle.battery(*id).id.as_str()).collect();
            names.join(" + ")
        }
        Home::Source(id) => vehicle.regulated_source(*id).id.clone(),
    }
}
