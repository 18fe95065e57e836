//! Fits one explanation after the other and weighs it by all that was read and noticed.

use model::{StateId, Vehicle};

use crate::a_priori::APriori;
use crate::clue::Clue;
use crate::explanation::Explanation;
use crate::fit::{Belief, fit};
use crate::forward::{Forward, Guess, states_of};
use crate::hearsay::Hearsay;
use crate::observation::Observation;
use crate::paths::extra_paths;
use crate::suspect::{Complaint, SuspectKind};
use crate::watch::Watch;

/// What is to be explained.
#[derive(Debug)]
pub(crate) struct Asked<'a> {
    pub observations: &'a [Observation],
    pub complaint: Option<Complaint>,
    /// The states that are to be solved for it.
    pub states: Vec<StateId>,
}

/// A vehicle laid out, what is believed of it before any reading, and what was noticed of it.
#[derive(Debug)]
pub(crate) struct Estimator<'v> {
    pub forward: Forward<'v>,
    pub prior: APriori,
    pub hearsay: Hearsay,
    pub watch: Watch<'v>,
}

impl<'v> Estimator<'v> {
    /// Lays a vehicle out of which something was noticed.
    pub(crate) fn new(vehicle: &'v Vehicle, clues: &[Clue]) -> Self {
        let (hearsay, forward) = Hearsay::lay_out(vehicle, extra_paths(vehicle), clues);
        let prior = APriori::of(&forward);
        Self { forward, prior, hearsay, watch: Watch::default() }
    }

    pub(crate) fn vehicle(&self) -> &'v Vehicle {
        self.forward.vehicle()
    }

    /// Readings and a complaint with the states in which something was measured or noticed.
    pub(crate) fn asked<'a>(
        &self,
        observations: &'a [Observation],
        complaint: Option<Complaint>,
    ) -> Asked<'a> {
        let mut states = states_of(observations);
        states.extend(complaint.map(|complaint| complaint.state));
        states.extend(self.hearsay.states());
        states.sort_unstable();
        states.dedup();
        Asked { observations, complaint, states }
    }

    /// Logarithm of the chance of the complaint and of all clues when the vehicle is like this.
    pub(crate) fn heard(
        &mut self,
        complaint: Option<Complaint>,
        guess: &Guess,
        vehicle: (&[f64], &[usize]),
        faults: &[SuspectKind],
    ) -> f64 {
        self.hearsay.log_chance(&mut self.forward, complaint, guess, vehicle, faults)
    }

    /// Fits one belief and weighs it; nothing where the network cannot be solved, or where whoever
    /// watches wants it stopped.
    pub(crate) fn explain(
        &mut self,
        asked: &Asked<'_>,
        belief: Belief,
        start: &[f64],
        faults: Vec<SuspectKind>,
        log_odds: f64,
    ) -> Option<Explanation> {
        if !self.watch.goes_on() {
            return None;
        }
        let fit = fit(&mut self.forward, asked.observations, &belief, start, &asked.states)?;
        let heard =
            self.heard(asked.complaint, &fit.guess, (&fit.unknowns, &belief.present), &faults);
        let still_sound = self.prior.still_sound(&fit, &belief, &faults);
        let weight = fit.evidence + log_odds + heard + still_sound;
        let unknowns = fit.unknowns.clone();
        let fit = Some(fit);
        Some(Explanation {
            faults,
            weight,
            odds: log_odds,
            belief,
            unknowns,
            fit,
            without: None,
            idle: false,
            bystander: None,
        })
    }
}
