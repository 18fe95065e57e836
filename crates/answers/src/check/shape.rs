//! The JSON of a checked file.

use model::Vehicle;

use super::Found;
use crate::problem::{self, Problem};

shape! {
    /// The answer of `check`.
    pub struct Check from pub(super) (found: &Found<'_>) {
        let reading = found.file.reading;
        let vehicle = reading.vehicle.as_ref();
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// Everything that is wrong or looks wrong, in the order of the file.
        pub problems: Vec<Problem> = problem::of(&reading.problems, found.file.text),
        /// Number of errors.
        pub errors: usize = reading.errors(),
        /// Number of warnings.
        pub warnings: usize = reading.warnings(),
        /// What is in it; null when there is an error.
        pub inventory: Option<Inventory> = vehicle.map(Inventory::of),
        /// Values that the file leaves out; null when there is an error.
        pub filled: Option<Vec<Filled>> = vehicle.map(|vehicle| {
            let filled = vehicle.filled.iter();
            filled
                .map(Filled::of)
                .collect()
        }),
    }

    /// Numbers of each kind of thing.
    pub struct Inventory from (vehicle: &Vehicle) {
        /// What the vehicle is called.
        pub name: String = vehicle.name.clone(),
        /// Nominal voltage.
        pub nominal_volts: f64 = vehicle.nominal.0,
        /// Points.
        pub points: usize = vehicle.points.len(),
        /// Bodies of metal.
        pub structures: usize = vehicle.structures.len(),
        /// Conductors.
        pub conductors: usize = vehicle.conductors.len(),
        /// Joints.
        pub joints: usize = vehicle.joints.len(),
        /// Incidental paths.
        pub incidental: usize = vehicle.incidentals.len(),
        /// Fuses, switches, diodes.
        pub inline: usize = vehicle.inlines.len(),
        /// Batteries.
        pub batteries: usize = vehicle.batteries.len(),
        /// Other sources.
        pub sources: usize = vehicle.regulated.len(),
        /// Loads.
        pub loads: usize = vehicle.loads.len(),
        /// Names of the operating states.
        pub states: Vec<String> = vehicle.states.iter().map(|state| state.id.clone()).collect(),
    }

    /// A value that the file leaves out.
    #[derive(Eq)]
    #[schema(as = FilledValue)]
    pub struct Filled from (own: &model::Filled) {
        /// The place in the file.
        pub key: String = own.key.clone(),
        /// What was taken.
        pub value: String = own.value.clone(),
        /// Why.
        pub why: String = own.why.clone(),
    }
}
