//! What is worth doing.

use diagnosis::{Action, Repair};
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

use crate::problem::Problem;

/// The answer of `repairs`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Repairs {
    /// The number of the contract.
    pub format: u32,
    /// The best first.
    pub repairs: Vec<RankedRepair>,
    /// Problems of the readings.
    pub problems: Vec<Problem>,
}

/// Something worth doing.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RankedRepair {
    /// What to do.
    pub action: RepairAction,
    /// The load for which the gain matters most.
    pub load: String,
    /// The state in which it does.
    pub state: String,
    /// That gain.
    pub gain_volts: f64,
    /// Probability that it helps.
    pub helps: f64,
    /// The work.
    pub seconds: f64,
    /// Every gain.
    pub gains: Vec<RepairGain>,
    /// Loads that stay below their minimum after it.
    pub still_short: Vec<StillShort>,
}

/// What to do.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum RepairAction {
    /// Clean and tighten this joint.
    Clean(String),
    /// Replace this conductor with its ends.
    Replace(String),
    /// Add a conductor.
    Add(AddedConductor),
}

/// A conductor to be added.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct AddedConductor {
    /// One end.
    pub from: String,
    /// The other end.
    pub to: String,
    /// Its length.
    pub metres: f64,
    /// Its resistance.
    pub ohms: f64,
}

/// A gain.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RepairGain {
    /// The load.
    pub load: String,
    /// The state.
    pub state: String,
    /// Expected gain.
    pub volts: f64,
    /// Expected voltage after it.
    pub after_volts: f64,
}

/// A load that stays below its minimum.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StillShort {
    /// The load.
    pub load: String,
    /// The state.
    pub state: String,
    /// By how much.
    pub volts: f64,
}

/// One repair.
#[must_use]
pub fn of(vehicle: &Vehicle, own: &Repair) -> RankedRepair {
    let action = match own.action {
        Action::Clean(id) => RepairAction::Clean(vehicle.joint(id).id.clone()),
        Action::Replace(id) => RepairAction::Replace(vehicle.conductor(id).id.clone()),
        Action::Add { from, to, length, ohms } => RepairAction::Add(AddedConductor {
            from: vehicle.point(from).id.clone(),
            to: vehicle.point(to).id.clone(),
            metres: length.0,
            ohms: ohms.0,
        }),
    };
    let gains = own.gains.iter();
    let short = own.still_short.iter();
    RankedRepair {
        action,
        load: vehicle.load(own.best.load).id.clone(),
        state: vehicle.state(own.best.state).id.clone(),
        gain_volts: own.best.volts.0,
        helps: own.helps,
        seconds: own.time.0,
        gains: gains
            .map(|gain| RepairGain {
                load: vehicle.load(gain.load).id.clone(),
                state: vehicle.state(gain.state).id.clone(),
                volts: gain.volts.0,
                after_volts: gain.after.0,
            })
            .collect(),
        still_short: short
            .map(|(load, state, volts)| StillShort {
                load: vehicle.load(*load).id.clone(),
                state: vehicle.state(*state).id.clone(),
                volts: volts.0,
            })
            .collect(),
    }
}
