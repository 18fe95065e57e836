//! The JSON of a failure that has happened.

use ::failures::{Aftermath, Inspect, LostWay, Where};
use model::{LoadId, Vehicle};
use serde::Serialize;
use units::UnitSystem;
use utoipa::ToSchema;

use super::{FailedPart, FailureFinding, PartEndurance, endurance, fault, findings};
use crate::failures::{After, words};
use crate::told::written;

/// What a failure that has happened did, and what to look at.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FailureAftermath {
    /// The number of the contract.
    pub format: u32,
    /// What has happened.
    pub fault: FailedPart,
    /// States that did not settle: nothing is known of them.
    pub unsettled: Vec<String>,
    /// What the file cuts off from home; null where a way is left.
    pub no_way_home: Option<NoWayHome>,
    /// What it did in each state.
    pub states: Vec<AfterState>,
    /// What to look at, the most harmful first.
    pub inspect: Vec<ToInspect>,
}

/// What has no way home any more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct NoWayHome {
    /// Structures or points.
    pub from: Vec<String>,
    /// Where to look on the vehicle for the ways that its file does not show, in words.
    pub look: Vec<&'static str>,
    /// Where that is known from.
    pub source: &'static str,
}

/// What a failure did in one state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct AfterState {
    /// The state.
    pub state: String,
    /// False when it has no operating point; then there are no numbers.
    pub settled: bool,
    /// Loads that next to nothing reaches.
    pub dead: Vec<String>,
    /// Loads that get less than they need.
    pub below_minimum: Vec<String>,
    /// What carries more than before.
    pub carried: Vec<CarriedMore>,
    /// What goes wrong.
    pub findings: Vec<FailureFinding>,
}

/// A conductor or an incidental path that carries more than before.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct CarriedMore {
    /// Its name.
    pub name: String,
    /// Its current before.
    pub before_amps: f64,
    /// Its current after.
    pub amps: f64,
    /// Its share of all that the sources give.
    pub share: f64,
    /// What that does to a conductor; null for a path.
    pub endurance: Option<PartEndurance>,
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

pub(super) fn of(found: &After<'_>) -> FailureAftermath {
    let vehicle = found.vehicle;
    let unsettled = found.states.iter().filter(|own| !own.settled);
    FailureAftermath {
        format: crate::FORMAT,
        fault: fault(vehicle, found.fault),
        unsettled: unsettled.map(|own| vehicle.state(own.state).id.clone()).collect(),
        no_way_home: found.lost.as_ref().map(|own| no_way_home(vehicle, own)),
        states: found.states.iter().map(|own| state(vehicle, own)).collect(),
        inspect: found.inspect.iter().map(|own| to_inspect(vehicle, own)).collect(),
    }
}

fn no_way_home(vehicle: &Vehicle, lost: &LostWay) -> NoWayHome {
    let name = |own: &Where| match *own {
        Where::Structure(at) => vehicle.structures.get(at).map_or("", |own| own.id.as_str()),
        Where::Point(id) => &vehicle.point(id).id,
    };
    NoWayHome {
        from: lost.from.iter().map(|own| name(own).to_owned()).collect(),
        look: lost.look.clone(),
        source: "common practice",
    }
}

fn state(vehicle: &Vehicle, own: &Aftermath) -> AfterState {
    let names = |loads: Vec<LoadId>| {
        loads.into_iter().map(|id| vehicle.load(id).id.clone()).collect::<Vec<_>>()
    };
    let carried = own.carried.iter().map(|carried| CarriedMore {
        name: vehicle.piece_name(carried.piece).to_owned(),
        before_amps: carried.before.0,
        amps: carried.amps.0,
        share: carried.share.0,
        endurance: carried.endurance.map(|own| endurance(&own)),
    });
    AfterState {
        state: vehicle.state(own.state).id.clone(),
        settled: own.settled,
        dead: names(own.dead()),
        below_minimum: names(own.short()),
        carried: carried.collect(),
        findings: findings(vehicle, &own.findings),
    }
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
