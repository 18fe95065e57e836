//! Why the faults of the best explanation are believed.

use diagnosis::{Against, Finding, Telling};
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

use crate::suspect::{SuspectName, suspect_name};

shape! {
    /// Why one fault is believed.
    pub struct AccountedFault from pub(super) (vehicle: &Vehicle, own: &Finding) {
        let against = |list: &[Against]| -> Vec<SpeaksAgainst> {
            let list = list.iter();
            list.map(SpeaksAgainst::of)
                .collect()
        };
        let telling = own.telling.as_ref().map(|telling| TellingReading::of(vehicle, telling));
        let rivals = own
            .rivals
            .iter()
            .map(|(id, list)| RivalJoint { id: vehicle.joint(*id).id.clone(), against: against(list) });
        /// The fault.
        pub suspect: SuspectName = suspect_name(vehicle, own.suspect.kind),
        /// Its probability.
        pub probability: f64 = own.suspect.probability,
        /// Its resistance.
        pub ohms: Option<f64> = own.suspect.ohms.map(|ohms| ohms.0),
        /// The state in which the largest fitted current flows through it.
        pub state: Option<String> = own.flows.map(|(state, _)| vehicle.state(state).id.clone()),
        /// That current.
        pub amps: Option<f64> = own.flows.map(|(_, amps)| amps.0),
        /// The reading over the stretch in which it lies.
        pub telling: Option<TellingReading> = telling,
        /// The other joints of that stretch.
        pub rivals: Vec<RivalJoint> = rivals.collect(),
        /// Readings that would be others if this fault alone were put right.
        pub without: Vec<SpeaksAgainst> = against(&own.without),
    }

    /// A voltage over a stretch of metal, taken apart.
    pub struct TellingReading from (vehicle: &Vehicle, telling: &Telling) {
        /// The reading's number.
        pub number: u32 = telling.number,
        /// Its state.
        pub state: String = vehicle.state(telling.state).id.clone(),
        /// What it shows.
        pub shown_volts: f64 = telling.shown.0,
        /// What the stretch should lose at the currents that flow in it.
        pub expected_volts: f64 = telling.expected.0,
        /// The current through the fault.
        pub amps: f64 = telling.amps.0,
        /// The joints of the stretch.
        pub joints: Vec<String> =
            telling.joints.iter().map(|id| vehicle.joint(*id).id.clone()).collect(),
    }
}

/// Another joint of the same stretch.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RivalJoint {
    /// Its name.
    pub id: String,
    /// Readings that speak against it.
    pub against: Vec<SpeaksAgainst>,
}

shape! {
    /// A reading that speaks against something.
    pub struct SpeaksAgainst from (own: &Against) {
        /// Its number.
        pub number: u32 = own.number,
        /// What it shows, in volts or amperes.
        pub shown: f64 = own.shown,
        /// What it would show then.
        pub would: f64 = own.would,
    }
}
