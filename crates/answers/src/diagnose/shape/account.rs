//! Why the faults of the best explanation are believed.

use diagnosis::{Against, Finding};
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

use crate::suspect::{SuspectName, suspect_name};

/// Why one fault is believed.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct AccountedFault {
    /// The fault.
    pub suspect: SuspectName,
    /// Its probability.
    pub probability: f64,
    /// Its resistance.
    pub ohms: Option<f64>,
    /// The state in which the largest fitted current flows through it.
    pub state: Option<String>,
    /// That current.
    pub amps: Option<f64>,
    /// The reading over the stretch in which it lies.
    pub telling: Option<TellingReading>,
    /// The other joints of that stretch.
    pub rivals: Vec<RivalJoint>,
    /// Readings that would be others if this fault alone were put right.
    pub without: Vec<SpeaksAgainst>,
}

/// A voltage over a stretch of metal, taken apart.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct TellingReading {
    /// The reading's number.
    pub number: u32,
    /// Its state.
    pub state: String,
    /// What it shows.
    pub shown_volts: f64,
    /// What the stretch should lose at the currents that flow in it.
    pub expected_volts: f64,
    /// The current through the fault.
    pub amps: f64,
    /// The joints of the stretch.
    pub joints: Vec<String>,
}

/// Another joint of the same stretch.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RivalJoint {
    /// Its name.
    pub id: String,
    /// Readings that speak against it.
    pub against: Vec<SpeaksAgainst>,
}

/// A reading that speaks against something.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SpeaksAgainst {
    /// Its number.
    pub number: u32,
    /// What it shows, in volts or amperes.
    pub shown: f64,
    /// What it would show then.
    pub would: f64,
}

pub(super) fn of(vehicle: &Vehicle, own: &Finding) -> AccountedFault {
    let against = |list: &[Against]| -> Vec<SpeaksAgainst> {
        let list = list.iter();
        list.map(|own| SpeaksAgainst { number: own.number, shown: own.shown, would: own.would })
            .collect()
    };
    let telling = own.telling.as_ref().map(|telling| TellingReading {
        number: telling.number,
        state: vehicle.state(telling.state).id.clone(),
        shown_volts: telling.shown.0,
        expected_volts: telling.expected.0,
        amps: telling.amps.0,
        joints: telling.joints.iter().map(|id| vehicle.joint(*id).id.clone()).collect(),
    });
    let rivals = own
        .rivals
        .iter()
        .map(|(id, list)| RivalJoint { id: vehicle.joint(*id).id.clone(), against: against(list) });
    AccountedFault {
        suspect: suspect_name(vehicle, own.suspect.kind),
        probability: own.suspect.probability,
        ohms: own.suspect.ohms.map(|ohms| ohms.0),
        state: own.flows.map(|(state, _)| vehicle.state(state).id.clone()),
        amps: own.flows.map(|(_, amps)| amps.0),
        telling,
        rivals: rivals.collect(),
        without: against(&own.without),
    }
}
