//! The JSON of faults at a point.

use model::Vehicle;
use protection::{AtPoint, Touch};
use serde::Serialize;
use utoipa::ToSchema;

use super::super::NOTES_AT_A_POINT;
use super::super::found::At;
use super::{FaultCleared, cleared};

/// Prospective fault current at a point, and what opens.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ProtectAt {
    /// The number of the contract.
    pub format: u32,
    /// The point.
    pub point: String,
    /// Resistance of the fault's own path; null for a dead short.
    pub through_ohms: Option<f64>,
    /// Every fault, state by state.
    pub at: Vec<FaultAt>,
    /// What to know about them all.
    pub notes: Vec<&'static str>,
}

/// A fault in one state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FaultAt {
    /// The state.
    pub state: String,
    /// What the point touches: `best metal`, `worst metal`, the name of a piece of metal, or `inside` and a load.
    pub touches: String,
    /// The point at which it touches.
    pub home: String,
    /// Current through the fault.
    pub amps: f64,
    /// The fuses that carry at least a hundredth of it, the largest current first.
    pub fuses: Vec<FaultFuse>,
    /// When it is cleared.
    pub cleared: FaultCleared,
}

/// A fuse that carries part of a fault.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FaultFuse {
    /// The fuse.
    pub fuse: String,
    /// What it carries.
    pub amps: f64,
    /// False when nobody has stated its opening times.
    pub curve_known: bool,
    /// It has opened by then; null where that is not known, or where it need not open.
    pub opens_by_seconds: Option<f64>,
    /// It holds at least as long; null where that is not known.
    pub holds_seconds: Option<f64>,
}

pub(super) fn of(found: &At<'_>) -> ProtectAt {
    ProtectAt {
        format: crate::FORMAT,
        point: found.vehicle.point(found.point).id.clone(),
        through_ohms: found.through.map(|ohms| ohms.0),
        at: found.faults.iter().map(|own| fault(found.vehicle, own)).collect(),
        notes: NOTES_AT_A_POINT.to_vec(),
    }
}

fn fault(vehicle: &Vehicle, own: &AtPoint) -> FaultAt {
    let fuses = own.through.iter().map(|fuse| FaultFuse {
        fuse: vehicle.inline(fuse.fuse).id.clone(),
        amps: fuse.amps.0,
        curve_known: fuse.opening.is_some(),
        opens_by_seconds: fuse.opening.and_then(|own| own.latest).map(|time| time.0),
        holds_seconds: fuse.opening.and_then(|own| own.earliest).map(|time| time.0),
    });
    FaultAt {
        state: vehicle.state(own.state).id.clone(),
        touches: touches(vehicle, own.fault.touch),
        home: vehicle.point(own.fault.home).id.clone(),
        amps: own.total.0,
        fuses: fuses.collect(),
        cleared: cleared(own.clearing),
    }
}

fn touches(vehicle: &Vehicle, touch: Touch) -> String {
    match touch {
        Touch::Strongest => "best metal".to_owned(),
        Touch::Weakest => "worst metal".to_owned(),
        Touch::Metal(point) => vehicle.point(point).id.clone(),
        Touch::Inside(load) => format!("inside {}", vehicle.load(load).id),
    }
}
