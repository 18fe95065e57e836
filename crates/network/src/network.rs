//! A vehicle laid out once, for whatever is solved of it.

use model::{PointId, Vehicle};

use crate::circuit::Workspace;
use crate::conditions::Conditions;
use crate::law::Law;
use crate::wiring::Wiring;

/// A vehicle laid out for solving: ordering and symbolic factor are computed here, once.
#[derive(Debug)]
pub struct Network<'v> {
    pub(crate) wiring: Wiring<'v>,
    pub(crate) work: Workspace,
}

impl<'v> Network<'v> {
    /// Lays out a vehicle.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle) -> Self {
        Self::with_extra_paths(vehicle, &[])
    }

    /// Lays a vehicle out with places for paths that its file does not show; they conduct nothing
    /// until [`Deviations`](crate::Deviations) give them a resistance.
    #[must_use]
    pub fn with_extra_paths(vehicle: &'v Vehicle, paths: &[(PointId, PointId)]) -> Self {
        let wiring = Wiring::new(vehicle, paths);
        let work = wiring.circuit.workspace();
        Self { wiring, work }
    }

    /// The vehicle.
    #[must_use]
    pub fn vehicle(&self) -> &'v Vehicle {
        self.wiring.vehicle
    }

    /// Voltages across devices from which Newton begins: what each would like to see.
    pub(crate) fn first_guess(&self, conditions: &Conditions) -> Vec<f64> {
        let nominal = self.vehicle().nominal.0;
        let laws = conditions.numbers(&self.wiring).laws;
        laws.into_iter().map(|law| law.first_look().unwrap_or(nominal)).collect()
    }

    /// Slope of each device's law at a solution.
    pub(crate) fn slopes(&self, laws: &[Law], volts: &[f64]) -> Vec<f64> {
        let devices = self.wiring.circuit.devices.iter();
        devices
            .zip(laws)
            .map(|(&(plus, minus), law)| law.tangent(volts[plus] - volts[minus]).slope)
            .collect()
    }
}
