//! The operating states of a vehicle, solved.

use model::{LoadId, StateId};
use units::Volts;

use crate::circuit::Ending;
use crate::conditions::Conditions;
use crate::network::Network;
use crate::operating_point::OperatingPoint;
use crate::settling::Heat;
use crate::wiring::Device;

impl Network<'_> {
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
}
