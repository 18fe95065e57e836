//! The JSON of faults at a point.

use model::Vehicle;
use protection::{AtPoint, Through, Touch};

use super::super::NOTES_AT_A_POINT;
use super::super::found::At;
use super::{FaultCleared, cleared};
use crate::shape::each;
use crate::unsettled;

shape! {
    /// Prospective fault current at a point, and what opens.
    pub struct ProtectAt from pub(super) (found: &At<'_>) {
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The point.
        pub point: String = found.vehicle.point(found.point).id.clone(),
        /// Resistance of the fault's own path; null for a dead short.
        pub through_ohms: Option<f64> = found.through.map(|ohms| ohms.0),
        /// Every fault, state by state.
        pub at: Vec<FaultAt> = each(found.vehicle, &found.faults, FaultAt::of),
        /// How many have no solution and are left out.
        pub unsolved: usize = found.unsolved,
        /// States that have no operating point with all loads off; what is said of them rests on the last attempt.
        pub unsettled: Vec<String> = unsettled::ids(found.vehicle, &found.unsettled),
        /// What to know about them all.
        pub notes: Vec<&'static str> = NOTES_AT_A_POINT.to_vec(),
    }

    /// A fault in one state.
    pub struct FaultAt from (vehicle: &Vehicle, own: &AtPoint) {
        let fuses = own.through.iter().map(|fuse| FaultFuse::of(vehicle, fuse));
        /// The state.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// What the point touches: `best metal`, `worst metal`, the name of a piece of metal, or `inside` and a load.
        pub touches: String = touches(vehicle, own.fault.touch),
        /// The point at which it touches.
        pub home: String = vehicle.point(own.fault.home).id.clone(),
        /// Current through the fault.
        pub amps: f64 = own.total.0,
        /// The fuses that carry at least a hundredth of it, the largest current first.
        pub fuses: Vec<FaultFuse> = fuses.collect(),
        /// When it is cleared.
        pub cleared: FaultCleared = cleared(own.clearing),
    }

    /// A fuse that carries part of a fault.
    pub struct FaultFuse from (vehicle: &Vehicle, fuse: &Through) {
        /// The fuse.
        pub fuse: String = vehicle.inline(fuse.fuse).id.clone(),
        /// What it carries.
        pub amps: f64 = fuse.amps.0,
        /// False when nobody has stated its opening times.
        pub curve_known: bool = fuse.opening.is_some(),
        /// It has opened by then; null where that is not known, or where it need not open.
        pub opens_by_seconds: Option<f64> =
            fuse.opening.and_then(|own| own.latest).map(|time| time.0),
        /// It holds at least as long; null where that is not known.
        pub holds_seconds: Option<f64> =
            fuse.opening.and_then(|own| own.earliest).map(|time| time.0),
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
