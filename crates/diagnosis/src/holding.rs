//! Which state to hold for a reading: what is set up already, and no running engine without need.

use model::{Engine, Measured, StateId, Vehicle};

use crate::forward::Forward;
use crate::judged;
use crate::observation::{Observation, alike};
use crate::practice::Practice;
use crate::proposal::{Proposal, Why, as_much};
use crate::suspect::Complaint;

/// States without a running engine that are looked at, and states with one.
const MOST_STATES: (usize, usize) = (3, 2);

/// What is known of the states before a reading is chosen.
#[derive(Debug, Clone)]
pub(crate) struct Holding {
    /// The state in which the complaint shows.
    pub shows: Option<StateId>,
    /// The state of the last reading, or of the complaint before any.
    set_up: Option<StateId>,
    /// States in which the engine runs, in order.
    runs: Vec<StateId>,
    /// True when the complaint can be had in no state without a running engine.
    only_then: bool,
}

impl Holding {
    pub(crate) fn of(
        vehicle: &Vehicle,
        complaint: Option<Complaint>,
        observations: &[Observation],
    ) -> Self {
        let shows = complaint.map(|own| own.state);
        let runs: Vec<StateId> = (0..vehicle.states.len())
            .map(StateId::at)
            .filter(|state| vehicle.engine_in(*state) == Engine::Runs)
            .collect();
        let only_then = complaint.is_some_and(|own| {
            runs.contains(&own.state)
                && vehicle.load(own.load).on.iter().all(|state| runs.contains(state))
        });
        let set_up = observations.last().map(|own| own.state).or(shows);
        Self { shows, set_up, runs, only_then }
    }

    /// The same for a complaint about no load, such as a battery that is not charged.
    pub(crate) fn showing(self, state: StateId) -> Self {
        let only_then = self.only_then || self.runs.contains(&state);
        Self { shows: Some(state), set_up: self.set_up.or(Some(state)), only_then, ..self }
    }

    fn runs(&self, state: StateId) -> bool {
        self.runs.binary_search(&state).is_ok()
    }

    /// True when a reading in this state needs a reason.
    pub(crate) fn asks_why(&self, state: StateId) -> bool {
        !self.only_then && self.runs(state)
    }

    /// The readings worth taking, best first: by their place, then by what they tell for their work.
    /// `again` is the one in doubt, which is taken again whatever the engine does.
    pub(crate) fn ordered(
        &self,
        mut proposals: Vec<(usize, Proposal)>,
        again: Option<(StateId, Measured)>,
    ) -> Vec<Proposal> {
        let in_doubt = |own: &Proposal| {
            again.is_some_and(|(state, measured)| {
                own.state == state && alike(own.measured, measured).is_some()
            })
        };
        let without = proposals.iter().filter(|(_, own)| !self.runs(own.state));
        let without = without.map(|(_, own)| own.gain).fold(0.0, f64::max);
        proposals.retain(|(_, own)| {
            !self.asks_why(own.state) || in_doubt(own) || without < as_much() * own.gain
        });
        for (_, own) in &mut proposals {
            own.why = self.runs(own.state).then(|| {
                if in_doubt(own) {
                    Why::Again
                } else if self.only_then {
                    Why::OnlyThen
                } else {
                    Why::TellsMore(without / own.gain)
                }
            });
        }
        let times = judged::readings().running_tells_times.0;
        let rate = |own: &Proposal| {
            let worth = if self.asks_why(own.state) { own.gain / times } else { own.gain };
            worth / own.time.0
        };
        proposals.sort_by(|a, b| a.0.cmp(&b.0).then(units::larger_first(rate(&a.1), rate(&b.1))));
        self.stay(&mut proposals);
        proposals.into_iter().map(|(_, own)| own).collect()
    }

    /// Puts a reading in the state that is set up before one in another state that tells no more.
    fn stay(&self, proposals: &mut Vec<(usize, Proposal)>) {
        let Some(state) = self.set_up.filter(|state| !self.asks_why(*state)) else { return };
        let Some((usize::MAX, first)) = proposals.first() else { return };
        let enough = as_much() * first.gain;
        let here = |own: &(usize, Proposal)| own.1.state == state && own.1.gain >= enough;
        if let Some(at) = proposals.iter().position(here) {
            let own = proposals.remove(at);
            proposals.insert(0, own);
        }
    }
}

/// States in which something flows and that a person can hold: that in which a complaint shows
/// first, then those without a running engine, then those with one.
pub(crate) fn worth_holding(
    forward: &Forward<'_>,
    practice: &Practice,
    shows: Option<StateId>,
) -> Vec<StateId> {
    let vehicle = forward.vehicle();
    let can_be_had = |state: &StateId| !practice.without.contains(state);
    let mut others: Vec<(f64, StateId)> = (0..vehicle.states.len())
        .map(StateId::at)
        .filter(|state| can_be_had(state) && shows != Some(*state))
        .filter_map(|state| {
            let point = forward.points[state.index()].as_ref()?;
            let amps: f64 = point.loads.iter().map(|load| load.amps.0).sum();
            (amps > 1.0).then_some((amps, state))
        })
        .collect();
    others.sort_by(|a, b| units::larger_first(a.0, b.0));
    let (running, still): (Vec<StateId>, Vec<StateId>) = others
        .into_iter()
        .map(|(_, state)| state)
        .partition(|state| vehicle.engine_in(*state) == Engine::Runs);
    let still = still.into_iter().take(MOST_STATES.0);
    let running = running.into_iter().take(MOST_STATES.1);
    shows.into_iter().filter(can_be_had).chain(still).chain(running).collect()
}

#[cfg(test)]
mod tests;
