//! A vehicle laid out for failures, with everything solved that does not depend on what fails.

use std::ops::ControlFlow;

use model::{StateId, Vehicle};
use network::{Convergence, Failed, Network, OperatingPoint};

use crate::fault::Fault;
use crate::finding::Finding;
use crate::judge::Judge;

/// How far an analysis is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Failures gone through, over all states.
    pub done: usize,
    /// Failures to go through.
    pub all: usize,
}

/// Told how far an analysis is; stops it with [`ControlFlow::Break`], and what was found so far is
/// the answer.
pub type Watch<'w> = &'w mut dyn FnMut(Progress) -> ControlFlow<()>;

/// Failures of a vehicle in some of its states.
#[derive(Debug)]
pub struct Analysis<'v> {
    pub(crate) vehicle: &'v Vehicle,
    pub(crate) network: Network<'v>,
    pub(crate) judges: Vec<Judge<'v>>,
    /// The states that were asked for.
    pub(crate) asked: Vec<StateId>,
    /// States that have no operating point even with nothing failed.
    pub unsettled: Vec<StateId>,
}

impl<'v> Analysis<'v> {
    /// Solves the states with nothing failed.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle, states: &[StateId]) -> Self {
        let mut network = Network::new(vehicle);
        let (mut judges, mut unsettled) = (Vec::new(), Vec::new());
        for &state in states {
            let base = network.operating_point(state);
            if base.convergence == Convergence::Reached {
                judges.push(Judge::new(vehicle, base));
            } else {
                unsettled.push(state);
            }
        }
        Self { vehicle, network, judges, asked: states.to_vec(), unsettled }
    }

    /// What is wrong in each state before anything fails.
    #[must_use]
    pub fn already(&self) -> Vec<(StateId, Vec<Finding>)> {
        self.judges.iter().map(|judge| (judge.state(), judge.already())).collect()
    }

    /// The vehicle.
    #[must_use]
    pub fn vehicle(&self) -> &'v Vehicle {
        self.vehicle
    }

    /// The state of each of the operating points before.
    #[must_use]
    pub fn states(&self) -> Vec<StateId> {
        self.judges.iter().map(Judge::state).collect()
    }

    /// The state solved again after faults, and what has gone wrong; nothing for a state that was
    /// not asked about.
    #[must_use]
    pub fn solved(
        &mut self,
        state: StateId,
        faults: &[Fault],
    ) -> Option<(OperatingPoint, Vec<Finding>)> {
        let judge = self.judges.iter().find(|judge| judge.state() == state)?;
        let mut failed = Failed::default();
        for fault in faults {
            fault.add_to(&mut failed);
        }
        let after = self.network.failed_point(&judge.base, &failed);
        let findings = judge.judge(&after, &failed);
        Some((after, findings))
    }

    pub(crate) fn judge(&self, state: StateId) -> Option<&Judge<'v>> {
        self.judges.iter().find(|judge| judge.state() == state)
    }
}
