//! The JSON of before and after a change.

use catalogue::Caution;
use model::{ConductorId, Vehicle};
use network::{LoadPoint, OperatingPoint};

use super::Found;
use crate::Named;
use crate::cautions::{CautionTold, Cautions, together, told};
use crate::solve::SolvedState;
use crate::unsettled;

shape! {
    /// The answer of `what-if`.
    pub struct WhatIf from pub(super) (found: &Found<'_>) {
        let states = found.states.iter().map(|(was, is)| WhatIfState::of(found, was, is));
        let cautions = told(&cautions(&found.changed, &found.added()));
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// One for each state.
        pub states: Vec<WhatIfState> = states.collect(),
        /// Cautions that concern fitting what is added.
        pub cautions: Vec<CautionTold> = cautions,
    }
}

/// Cautions that concern fitting these conductors, which a vehicle got.
pub(super) fn cautions(changed: &Vehicle, added: &[ConductorId]) -> Vec<&'static Caution> {
    let all = Cautions::of(changed);
    together(added.iter().map(|id| {
        let own = changed.conductor(*id);
        all.of_new(changed.joint(own.from).point, changed.joint(own.to).point)
    }))
}

shape! {
    /// One operating state.
    pub struct WhatIfState from (found: &Found<'_>, was: &OperatingPoint, is: &OperatingPoint) {
        let (vehicle, changed) = (found.vehicle, &found.changed);
        let loads = vehicle.loads.iter().zip(was.loads.iter().zip(&is.loads));
        /// Its name.
        pub state: String = vehicle.state(was.state).id.clone(),
        /// What each load gains.
        #[schema(value_type = std::collections::BTreeMap<String, LoadChange>)]
        pub loads: Named<LoadChange> = loads
            .map(|(load, (before, after))| {
                (load.id.clone(), LoadChange::of(before, after))
            })
            .collect(),
        /// The changed state.
        pub after: SolvedState = SolvedState::of(changed, is),
        /// False when the state has no operating point as filed; `after` says the same of the changed one.
        pub found: bool = unsettled::is_found(was),
    }

    /// What a load gains.
    pub struct LoadChange from (before: &LoadPoint, after: &LoadPoint) {
        /// Its voltage before.
        pub before_volts: f64 = before.volts.0,
        /// Its voltage after.
        pub after_volts: f64 = after.volts.0,
        /// The difference; negative for a loss.
        pub gain_volts: f64 = after.volts.0 - before.volts.0,
        /// Its current before.
        pub before_amps: f64 = before.amps.0,
        /// Its current after.
        pub after_amps: f64 = after.amps.0,
    }
}
