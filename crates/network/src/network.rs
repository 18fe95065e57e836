//! A vehicle laid out once, and its operating states solved.

use model::{LoadId, PointId, StateId, Vehicle};
use units::Volts;

use crate::circuit::{Ending, Workspace};
use crate::conditions::Conditions;
use crate::law::Law;
use crate::operating_point::OperatingPoint;
use crate::settling::Heat;
use crate::wiring::{Device, Wiring};

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
    /// until [`Deviations`](crate::trial::Deviations) give them a resistance.
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

    /// Solves one state.
    ///
    /// Always gives an answer; [`OperatingPoint::convergence`] and the loads' statuses say how far
    /// it can be trusted and what could not be fed. Conductors are warmed by their currents for
    /// the state's duration, and their resistance at the end of it is the one used.
    #[must_use]
    pub fn operating_point(&mut self, state: StateId) -> OperatingPoint {
        let mut conditions = Conditions::first(self.vehicle(), state);
        let across = self.first_guess(&conditions);
        let settled = self.settle(&mut conditions, across, Heat::Warms);
        self.describe(conditions, settled)
    }

    /// Solves every state of the vehicle, in its order.
    #[must_use]
    pub fn operating_points(&mut self) -> Vec<OperatingPoint> {
        (0..self.vehicle().states.len()).map(|at| self.operating_point(StateId::at(at))).collect()
    }

    /// Solves a state again from a known point, holding the temperatures and conditions of that
    /// point: a few microseconds after a small change.
    ///
    /// Gives the volts across each load in the vehicle's order, or nothing when no operating point
    /// is found.
    #[must_use]
    pub fn solve_again(&mut self, from: &OperatingPoint) -> Option<Vec<Volts>> {
        let numbers = from.conditions.numbers(&self.wiring);
        self.wiring.circuit.prepare(&numbers, &mut self.work);
        let solution = self.wiring.circuit.solve(&numbers.laws, &from.across, &mut self.work);
        (solution.ending == Ending::Found).then(|| {
            let across = self.wiring.across(&solution.volts);
            (0..self.vehicle().loads.len())
                .map(|at| {
                    Volts(
                        self.wiring
                            .device(Device::Load(LoadId::at(at)))
                            .map_or(0.0, |device| across[device]),
                    )
                })
                .collect()
        })
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
