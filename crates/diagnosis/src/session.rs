//! A vehicle laid out for being diagnosed again and again, and the weighing of explanations.

use model::{StateId, Vehicle};

use crate::belief::normal_below;
use crate::clue::{self, Clue};
use crate::diagnose::{Complaint, Diagnosis, Explanation, SuspectKind};
use crate::fit::{Belief, Fit, fit};
use crate::forward::{Forward, Guess, states_of};
use crate::hypothesis::{Hypothesis, as_filed, single_faults, sound};
use crate::observation::Observation;
use crate::paths::extra_paths;
use crate::practice::Practice;
use crate::watch::Watch;
use crate::weights::normalise;
use crate::{cuts, pairs, tried, wrong};

/// Fits of one diagnosis, about: pieces of one conductor, which are fitted together, count as one.
const MOST_FITS: usize = 1
    + tried::MOST_BENT
    + tried::MOST_FITTED
    + tried::MOST_PATHS_FITTED
    + tried::MOST_STARTED_AGAIN * tried::STARTED_AGAIN.len()
    + pairs::MOST_PAIRS
    + cuts::MOST_FITTED
    + wrong::MOST_FITTED;

/// A vehicle ready to be asked again and again as readings come in.
#[derive(Debug)]
pub struct Session<'v> {
    pub(crate) forward: Forward<'v>,
    pub(crate) sound: Belief,
    pub(crate) faults: Vec<Hypothesis>,
    /// What is wrong with it by its own file.
    pub(crate) as_filed: Vec<SuspectKind>,
    pub(crate) practice: Practice,
    clues: Vec<Heard>,
    watch: Watch<'v>,
}

/// Spreads by which a sound piece may be worse than expected before it is asked whether it is sound.
const MOVED: f64 = 0.7;
/// Tails of bells are no knowledge: this much of a fit may always be sound.
const LEAST_SOUND: f64 = 1e-3;

/// What is to be explained.
#[derive(Debug)]
pub(crate) struct Asked<'a> {
    pub observations: &'a [Observation],
    pub complaint: Option<Complaint>,
    /// The states that are to be solved for it.
    pub states: Vec<StateId>,
}

/// A clue, with the place of its jump lead among the paths.
#[derive(Debug, Clone, Copy)]
struct Heard {
    clue: Clue,
    path: usize,
}

/// Diagnoses once; see [`Session`] for asking again.
#[must_use]
pub fn diagnose(
    vehicle: &Vehicle,
    observations: &[Observation],
    complaint: Option<Complaint>,
) -> Diagnosis {
    Session::new(vehicle).diagnose(observations, complaint)
}

impl<'v> Session<'v> {
    /// Lays a vehicle out.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle) -> Self {
        Self::with_clues(vehicle, &[])
    }

    /// Lays a vehicle out of which something was noticed without a meter.
    #[must_use]
    pub fn with_clues(vehicle: &'v Vehicle, clues: &[Clue]) -> Self {
        let suspected = extra_paths(vehicle);
        let mut added = Vec::new();
        let mut heard = Vec::new();
        for clue in clues {
            let path = suspected.len() + added.len();
            if let Clue::JumpLead { from, to, .. } = clue {
                added.push((*from, *to));
            }
            heard.push(Heard { clue: *clue, path });
        }
        let forward = Forward::new(vehicle, suspected, added);
        let sound = sound(&forward);
        let faults = single_faults(&forward);
        let as_filed = as_filed(&forward);
        let (practice, watch) = (Practice::default(), Watch::default());
        Self { forward, sound, faults, as_filed, practice, clues: heard, watch }
    }

    /// The same, telling `watch` before each fit about which share of the most that can be needed is
    /// done; false from it ends the work early, and what is answered then is worth nothing.
    #[must_use]
    pub fn watched(self, watch: impl FnMut(f64) -> bool + Send + 'v) -> Self {
        Self { watch: Watch::new(watch), ..self }
    }

    /// True when whoever watches wanted it stopped.
    #[must_use]
    pub fn stopped(&self) -> bool {
        self.watch.stopped()
    }

    /// The vehicle.
    #[must_use]
    pub fn vehicle(&self) -> &'v Vehicle {
        self.forward.vehicle()
    }

    /// The single fault of a kind, if this vehicle can have it.
    #[cfg(test)]
    pub(crate) fn faults_named(&self, kind: SuspectKind) -> Option<Hypothesis> {
        self.faults.iter().find(|own| own.kind == kind).cloned()
    }

    /// What the readings say, with a complaint or without one.
    #[must_use]
    pub fn diagnose(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
    ) -> Diagnosis {
        let mut explanations = self.explained(observations, complaint);
        normalise(&mut explanations);
        self.conclude(observations, explanations)
    }

    /// Logarithm of how well the best and all other explanations together account for the readings.
    pub(crate) fn evidence(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
    ) -> f64 {
        let explanations = self.explained(observations, complaint);
        let best = explanations.iter().map(|own| own.weight).fold(f64::MIN, f64::max);
        best + explanations.iter().map(|own| (own.weight - best).exp()).sum::<f64>().ln()
    }

    /// Every explanation worth weighing, its weight a logarithm.
    fn explained(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
    ) -> Vec<Explanation> {
        self.watch.begin(MOST_FITS);
        let states = self.states(observations, complaint);
        let asked = &Asked { observations, complaint, states };
        let tried = self.try_faults(asked);
        let mut explanations = self.explanations(asked, &tried);
        if !observations.is_empty() {
            let wrong = self.with_one_wrong(asked, &explanations, &tried);
            explanations.extend(wrong);
        }
        explanations
    }

    /// Logarithm of the share of a fit in which what is called sound in it is no worse than sound,
    /// against the same share before any reading.
    ///
    /// A fit that explains a loss by a sound joint beyond what counts as bad is no explanation: the
    /// belief about a sound joint ends there, though its bell does not.
    pub(crate) fn still_sound(&self, fit: &Fit, belief: &Belief, faults: &[SuspectKind]) -> f64 {
        let mut log = 0.0;
        for fault in self.faults.iter().filter(|own| !faults.contains(&own.kind)) {
            let Some(end) = fault.bad_from else { continue };
            let (mean, spread) = (belief.mean[fault.at], belief.spread[fault.at]);
            let now = fit.unknowns[fault.at];
            // One that has not moved far is as sound as before.
            if now < mean + MOVED * spread || mean >= end {
                continue;
            }
            let left = fit.spread_of(fault.at, spread);
            let after = normal_below((end - now) / left).max(LEAST_SOUND);
            log += (after / normal_below((end - mean) / spread)).ln();
        }
        log
    }

    /// The middle of an unknown when the fault that is about it is put right.
    pub(crate) fn mended(&self, kind: SuspectKind, at: usize) -> f64 {
        let clean = self.faults.iter().find(|own| own.mends && own.kind == kind);
        clean.map_or(self.sound.mean[at], |own| own.mean)
    }

    /// The faults of an explanation that are none of the file's own.
    pub(crate) fn beyond_the_file(&self, own: &Explanation) -> Vec<SuspectKind> {
        own.faults.iter().copied().filter(|kind| !self.as_filed.contains(kind)).collect()
    }

    /// The states in which something was measured or noticed.
    fn states(&self, observations: &[Observation], complaint: Option<Complaint>) -> Vec<StateId> {
        let mut states = states_of(observations);
        states.extend(complaint.map(|complaint| complaint.state));
        states.extend(self.clues.iter().filter_map(|heard| match heard.clue {
            Clue::JumpLead { state, .. } => Some(state),
            Clue::Moved { .. } => None,
        }));
        states.sort_unstable();
        states.dedup();
        states
    }

    /// Logarithm of the chance of the complaint and of all clues when the vehicle is like this.
    pub(crate) fn heard(
        &mut self,
        complaint: Option<Complaint>,
        guess: &Guess,
        (unknowns, present): (&[f64], &[usize]),
        faults: &[SuspectKind],
    ) -> f64 {
        let mut log = self.complained(complaint, guess);
        for at in 0..self.clues.len() {
            let Heard { clue, path } = self.clues[at];
            log += match clue {
                Clue::Moved { joint, change } => {
                    clue::moved_log(self.vehicle(), joint, change, faults)
                }
                Clue::JumpLead { load, state, change, .. } => {
                    let mut with = unknowns.to_vec();
                    with[self.forward.layout.extra(path)] = clue::LEAD_OHMS.ln();
                    let present: Vec<usize> = present.iter().copied().chain([path]).collect();
                    let joined = self.forward.guess(&with, &present, &[state], Some(guess));
                    let before = self.forward.load_volts(guess, state, load);
                    let after = joined.and_then(|own| self.forward.load_volts(&own, state, load));
                    let gain = before.zip(after).map(|(before, after)| after - before);
                    gain.map_or(0.0, |gain| clue::lead_log(change, gain / self.blocks()))
                }
            };
        }
        log
    }

    /// Logarithm of the chance of the complaint in such a vehicle.
    pub(crate) fn complained(&self, complaint: Option<Complaint>, guess: &Guess) -> f64 {
        let Some(Complaint { load, state }) = complaint else { return 0.0 };
        let sound = self.forward.points.get(state.index()).and_then(Option::as_ref);
        let volts = self.forward.load_volts(guess, state, load);
        sound.zip(volts).map_or(0.0, |(point, volts)| {
            clue::complaint_log((point.load(load).volts - volts) / self.blocks())
        })
    }

    /// How many times 12 V the vehicle has.
    fn blocks(&self) -> f64 {
        self.vehicle().nominal.0 / 12.0
    }

    /// Fits one belief and weighs it.
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
        let weight = fit.evidence + log_odds + heard + self.still_sound(&fit, &belief, &faults);
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
        })
    }
}
