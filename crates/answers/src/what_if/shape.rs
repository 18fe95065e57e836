//! The JSON of before and after a change.

use catalogue::Caution;
use model::{ConductorId, Vehicle};
use network::OperatingPoint;
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::Named;
use crate::cautions::{CautionTold, Cautions, together, told};
use crate::solve::{self, SolvedState};
use crate::unsettled;

/// The answer of `what-if`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct WhatIf {
    /// The number of the contract.
    pub format: u32,
    /// One for each state.
    pub states: Vec<WhatIfState>,
    /// Cautions that concern fitting what is added.
    pub cautions: Vec<CautionTold>,
}

/// Cautions that concern fitting these conductors, which a vehicle got.
pub(super) fn cautions(changed: &Vehicle, added: &[ConductorId]) -> Vec<&'static Caution> {
    let all = Cautions::of(changed);
    together(added.iter().map(|id| {
        let own = changed.conductor(*id);
        all.of_new(changed.joint(own.from).point, changed.joint(own.to).point)
    }))
}

/// One operating state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct WhatIfState {
    /// Its name.
    pub state: String,
    /// What each load gains.
    #[schema(value_type = std::collections::BTreeMap<String, LoadChange>)]
    pub loads: Named<LoadChange>,
    /// The changed state.
    pub after: SolvedState,
    /// False when the state has no operating point as filed; `after` says the same of the changed one.
    pub found: bool,
}

/// What a load gains.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct LoadChange {
    /// Its voltage before.
    pub before_volts: f64,
    /// Its voltage after.
    pub after_volts: f64,
    /// The difference; negative for a loss.
    pub gain_volts: f64,
    /// Its current before.
    pub before_amps: f64,
    /// Its current after.
    pub after_amps: f64,
}

pub(super) fn of(found: &Found<'_>) -> WhatIf {
    let states = found.states.iter().map(|(was, is)| state(found, was, is));
    let cautions = told(&cautions(&found.changed, &found.added()));
    WhatIf { format: crate::FORMAT, states: states.collect(), cautions }
}

fn state(found: &Found<'_>, was: &OperatingPoint, is: &OperatingPoint) -> WhatIfState {
    let (vehicle, changed) = (found.vehicle, &found.changed);
    let loads = vehicle.loads.iter().zip(was.loads.iter().zip(&is.loads));
    WhatIfState {
        state: vehicle.state(was.state).id.clone(),
        loads: loads
            .map(|(load, (before, after))| {
                let change = LoadChange {
                    before_volts: before.volts.0,
                    after_volts: after.volts.0,
                    gain_volts: after.volts.0 - before.volts.0,
                    before_amps: before.amps.0,
                    after_amps: after.amps.0,
                };
                (load.id.clone(), change)
            })
            .collect(),
        after: solve::state(changed, is),
        found: unsettled::is_found(was),
    }
}
