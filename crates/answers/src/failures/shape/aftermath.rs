//! The JSON of a failure that has happened.

use ::failures::{Aftermath, Carried, Inspect, LostWay, Where};
use model::{LoadId, Vehicle};
use serde::Serialize;
use units::UnitSystem;
use utoipa::ToSchema;

use super::{FailedPart, FailureFinding, PartEndurance, findings};
use crate::failures::{After, words};
use crate::shape::each;
use crate::told::written;

shape! {
    /// What a failure that has happened did, and what to look at.
    pub struct FailureAftermath from pub(super) (found: &After<'_>) {
        let vehicle = found.vehicle;
        let unsettled = found.states.iter().filter(|own| !own.settled);
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// What has happened.
        pub fault: FailedPart = FailedPart::of(vehicle, found.fault),
        /// States that did not settle: nothing is known of them.
        pub unsettled: Vec<String> =
            unsettled.map(|own| vehicle.state(own.state).id.clone()).collect(),
        /// What the file cuts off from home; null where a way is left.
        pub no_way_home: Option<NoWayHome> =
            found.lost.as_ref().map(|own| NoWayHome::of(vehicle, own)),
        /// What it did in each state.
        pub states: Vec<AfterState> = each(vehicle, &found.states, AfterState::of),
        /// What to look at, the most harmful first.
        pub inspect: Vec<ToInspect> =
            found.inspect.iter().map(|own| to_inspect(vehicle, own)).collect(),
    }

    /// What has no way home any more.
    #[derive(Eq)]
    pub struct NoWayHome from (vehicle: &Vehicle, lost: &LostWay) {
        let name = |own: &Where| match *own {
            Where::Structure(at) => vehicle.structures.get(at).map_or("", |own| own.id.as_str()),
            Where::Point(id) => &vehicle.point(id).id,
        };
        /// Structures or points.
        pub from: Vec<String> = lost.from.iter().map(|own| name(own).to_owned()).collect(),
        /// Where to look on the vehicle for the ways that its file does not show, in words.
        pub look: Vec<&'static str> = lost.look.clone(),
        /// Where that is known from.
        pub source: &'static str = "common practice",
    }

    /// What a failure did in one state.
    pub struct AfterState from (vehicle: &Vehicle, own: &Aftermath) {
        let names = |loads: Vec<LoadId>| {
            loads.into_iter().map(|id| vehicle.load(id).id.clone()).collect::<Vec<_>>()
        };
        let carried = own.carried.iter().map(|carried| CarriedMore::of(vehicle, carried));
        /// The state.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// False when it has no operating point; then there are no numbers.
        pub settled: bool = own.settled,
        /// Loads that next to nothing reaches.
        pub dead: Vec<String> = names(own.dead()),
        /// Loads that get less than they need.
        pub below_minimum: Vec<String> = names(own.short()),
        /// What carries more than before.
        pub carried: Vec<CarriedMore> = carried.collect(),
        /// What goes wrong.
        pub findings: Vec<FailureFinding> = findings(vehicle, &own.findings),
    }

    /// A conductor or an incidental path that carries more than before.
    pub struct CarriedMore from (vehicle: &Vehicle, carried: &Carried) {
        /// Its name.
        pub name: String = vehicle.piece_name(carried.piece).to_owned(),
        /// Its current before.
        pub before_amps: f64 = carried.before.0,
        /// Its current after.
        pub amps: f64 = carried.amps.0,
        /// Its share of all that the sources give.
        pub share: f64 = carried.share.0,
        /// What that does to a conductor; null for a path.
        pub endurance: Option<PartEndurance> = carried.endurance.map(|own| PartEndurance::of(&own)),
    }
}

/// Something to look at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct ToInspect {
    /// `conductor`, `path` or `joint`.
    pub kind: &'static str,
    /// Its name.
    pub name: String,
    /// The state in which it suffered most.
    pub state: String,
    /// What happened to it and what to look for, in words.
    pub what: String,
}

fn to_inspect(vehicle: &Vehicle, own: &Inspect) -> ToInspect {
    let (kind, name, state) = match own {
        Inspect::Conductor { conductor, state, .. } => {
            ("conductor", &vehicle.conductor(*conductor).id, state)
        }
        Inspect::Path { path, state, .. } => ("path", &vehicle.incidental(*path).id, state),
        Inspect::Joint { joint, state, .. } => ("joint", &vehicle.joint(*joint).id, state),
    };
    ToInspect {
        kind,
        name: name.clone(),
        state: vehicle.state(*state).id.clone(),
        // Metric, as everything that a program is told.
        what: written(&words::inspection(vehicle, own), UnitSystem::default()),
    }
}
