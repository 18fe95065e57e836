//! How a vehicle is thought to differ from its file.

use model::Vehicle;
use units::{Ohms, Volts};

/// How a vehicle is thought to differ from its file. Empty lists differ in nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Deviations {
    /// Natural logarithm of each piece's resistance over that of the file, in the order of the pieces.
    pub pieces: Vec<f64>,
    /// Natural logarithm of each load's current over that of the file.
    pub draws: Vec<f64>,
    /// What each battery's open-circuit voltage has more than the file says.
    pub emf: Vec<Volts>,
    /// Natural logarithm of each battery's resistance over that of the file.
    pub batteries: Vec<f64>,
    /// What each regulated source holds more than the file says.
    pub held: Vec<Volts>,
    /// Resistance of each path that the file does not show; nothing where there is none.
    pub extra: Vec<Option<Ohms>>,
}

impl Deviations {
    /// No deviation, with a place for each.
    #[must_use]
    pub fn none(vehicle: &Vehicle, extra: usize) -> Self {
        Self {
            pieces: vec![0.0; vehicle.pieces().count()],
            draws: vec![0.0; vehicle.loads.len()],
            emf: vec![Volts::ZERO; vehicle.batteries.len()],
            batteries: vec![0.0; vehicle.batteries.len()],
            held: vec![Volts::ZERO; vehicle.regulated.len()],
            extra: vec![None; extra],
        }
    }
}
