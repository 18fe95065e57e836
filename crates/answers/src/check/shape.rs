//! The JSON of a checked file.

use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::problem::{self, Problem};

/// The answer of `check`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Check {
    /// The number of the contract.
    pub format: u32,
    /// Everything that is wrong or looks wrong, in the order of the file.
    pub problems: Vec<Problem>,
    /// Number of errors.
    pub errors: usize,
    /// Number of warnings.
    pub warnings: usize,
    /// What is in it; null when there is an error.
    pub inventory: Option<Inventory>,
    /// Values that the file leaves out; null when there is an error.
    pub filled: Option<Vec<Filled>>,
}

/// Numbers of each kind of thing.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Inventory {
    /// What the vehicle is called.
    pub name: String,
    /// Nominal voltage.
    pub nominal_volts: f64,
    /// Points.
    pub points: usize,
    /// Bodies of metal.
    pub structures: usize,
    /// Conductors.
    pub conductors: usize,
    /// Joints.
    pub joints: usize,
    /// Incidental paths.
    pub incidental: usize,
    /// Fuses, switches, diodes.
    pub inline: usize,
    /// Batteries.
    pub batteries: usize,
    /// Other sources.
    pub sources: usize,
    /// Loads.
    pub loads: usize,
    /// Names of the operating states.
    pub states: Vec<String>,
}

/// A value that the file leaves out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
#[schema(as = FilledValue)]
pub struct Filled {
    /// The place in the file.
    pub key: String,
    /// What was taken.
    pub value: String,
    /// Why.
    pub why: String,
}

pub(super) fn of(found: &Found<'_>) -> Check {
    let reading = found.file.reading;
    let vehicle = reading.vehicle.as_ref();
    Check {
        format: crate::FORMAT,
        problems: problem::of(&reading.problems, found.file.text),
        errors: reading.errors(),
        warnings: reading.warnings(),
        inventory: vehicle.map(inventory),
        filled: vehicle.map(|vehicle| {
            let filled = vehicle.filled.iter();
            filled
                .map(|own| Filled {
                    key: own.key.clone(),
                    value: own.value.clone(),
                    why: own.why.clone(),
                })
                .collect()
        }),
    }
}

fn inventory(vehicle: &Vehicle) -> Inventory {
    Inventory {
        name: vehicle.name.clone(),
        nominal_volts: vehicle.nominal.0,
        points: vehicle.points.len(),
        structures: vehicle.structures.len(),
        conductors: vehicle.conductors.len(),
        joints: vehicle.joints.len(),
        incidental: vehicle.incidentals.len(),
        inline: vehicle.inlines.len(),
        batteries: vehicle.batteries.len(),
        sources: vehicle.regulated.len(),
        loads: vehicle.loads.len(),
        states: vehicle.states.iter().map(|state| state.id.clone()).collect(),
    }
}
