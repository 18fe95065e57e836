//! Weighing hypotheses by how well they explain the readings.

use std::collections::BTreeSet;

use model::{BatteryId, ConductorId, InlineId, JointId, LoadId, PointId, StateId, Vehicle};
use units::{Ohms, Volts};

use crate::fit::{Belief, Fit, fit, questions, system};
use crate::forward::{Forward, states_of};
use crate::hypothesis::{Hypothesis, extra_paths, single_faults, sound, straps};
use crate::observation::Observation;
use crate::weights::{doubtful, explains_all, normalise};

/// What somebody complains of: a load that does not do its job in a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Complaint {
    /// The load.
    pub load: LoadId,
    /// The state.
    pub state: StateId,
}

/// What may be at fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SuspectKind {
    /// A joint with too much resistance.
    Joint(JointId),
    /// A conductor rotten inside.
    Conductor(ConductorId),
    /// A conductor that the file shows and that is not there, or is open.
    Open(ConductorId),
    /// A fuse or switch with too much resistance.
    Inline(InlineId),
    /// A load that draws too much.
    LoadDrags(LoadId),
    /// A load that draws next to nothing.
    LoadOpen(LoadId),
    /// A battery with too little voltage.
    BatteryLow(BatteryId),
    /// A battery with too much resistance.
    BatteryWorn(BatteryId),
    /// A path between two bodies of metal that the file does not show.
    ExtraPath {
        /// A point of the one.
        from: PointId,
        /// A point of the other.
        to: PointId,
    },
}

/// A suspect and how probable it is that it is at fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// Who.
    pub kind: SuspectKind,
    /// Probability, zero to one.
    pub probability: f64,
    /// Its most probable resistance, for what has one.
    pub ohms: Option<Ohms>,
}

/// What is believed of one joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointBelief {
    /// As likely more as less.
    pub median: Ohms,
    /// Less with a probability of 5 %.
    pub low: Ohms,
    /// More with a probability of 5 %.
    pub high: Ohms,
    /// Probability that it is bad.
    pub bad: f64,
}

/// What the readings say.
#[derive(Debug, Clone)]
pub struct Diagnosis {
    /// Suspects, the most probable first.
    pub suspects: Vec<Suspect>,
    /// Joints among the suspects that these readings cannot tell apart, the likeliest set first.
    pub sets: Vec<Vec<JointId>>,
    /// Every joint, in the vehicle's order.
    pub joints: Vec<JointBelief>,
    /// Numbers of the readings most likely wrong, with the probability, the likeliest first.
    pub take_again: Vec<(u32, f64)>,
    /// Probability that nothing is wrong.
    pub nothing_bad: f64,
    /// Normalised residual of each observation under the best explanation.
    pub residuals: Vec<f64>,
    /// What each observation would be in a sound vehicle, and under the best explanation.
    pub expected: Vec<(f64, f64)>,
    pub(crate) explanations: Vec<Explanation>,
}

impl Diagnosis {
    /// True when one suspect, or a set that no reading has yet told apart, or nothing at all, is
    /// more probable than this.
    #[must_use]
    pub fn surer_than(&self, probability: f64) -> bool {
        let set: f64 = self
            .sets
            .first()
            .map_or(0.0, |set| set.iter().map(|id| self.joints[id.index()].bad).sum());
        let first = self.suspects.first().map_or(0.0, |suspect| suspect.probability);
        self.nothing_bad > probability
            || first > probability
            || (set > probability && self.sets[0].len() <= 2)
    }
}

/// One explanation of the readings, with its weight.
#[derive(Debug, Clone)]
pub(crate) struct Explanation {
    pub faults: Vec<SuspectKind>,
    pub weight: f64,
    pub belief: Belief,
    /// The most probable vehicle if it is so: fitted, or roughly.
    pub unknowns: Vec<f64>,
    pub fit: Option<Fit>,
    /// The observation that is taken for wrong.
    pub without: Option<usize>,
}

/// Values of an unknown, in spreads from its middle, at which a fault is first tried.
const TRIED: [f64; 7] = [-1.8, -1.1, -0.4, 0.3, 1.0, 1.7, 2.4];
/// Between two tried values a loss changes by about this share, so that a rough look must not be
/// sharper.
const ROUGH: f64 = 0.35;
/// Faults this much less likely than the best are not looked at closely.
const WORTH_FITTING: f64 = 9.0;
const MOST_FITTED: usize = 28;
/// The likeliest faults are fitted from other values too, when a first fit leaves readings unexplained.
const MOST_STARTED_AGAIN: usize = 8;
const STARTED_AGAIN: [f64; 3] = [-0.8, 0.6, 2.0];
const MOST_PAIRS: usize = 20;
/// Chance that a reading is wrong: another point, a slipped decimal, crossed probes.
const WRONG_READING: f64 = 0.01;
/// Explanations that are tried without each reading.
const TRIED_WITHOUT: usize = 6;
/// Chance of a complaint about a load that gets what it should.
const GROUNDLESS: f64 = 0.02;
/// Loss of a 12 V load that half of people complain about, and how sharply.
const COMPLAINED: (f64, f64) = (0.15, 0.04);

/// A vehicle ready to be asked again and again as readings come in.
#[derive(Debug)]
pub struct Session<'v> {
    pub(crate) forward: Forward<'v>,
    pub(crate) sound: Belief,
    faults: Vec<Hypothesis>,
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

/// A fault that was tried roughly.
struct Tried {
    fault: usize,
    best: f64,
    log_weight: f64,
    /// Logarithm of the chance of the complaint at the tried value that makes it likeliest.
    complained: f64,
    /// That value.
    complained_at: f64,
}

impl<'v> Session<'v> {
    /// Lays a vehicle out.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle) -> Self {
        let forward = Forward::new(vehicle, extra_paths(vehicle), straps(vehicle));
        let sound = sound(&forward);
        let faults = single_faults(&forward);
        Self { forward, sound, faults }
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
        let mut explanations = self.explanations(observations, complaint);
        if !observations.is_empty() {
            let wrong = self.without_each(observations, complaint, &explanations);
            explanations.extend(wrong);
        }
        normalise(&mut explanations);
        self.conclude(observations, explanations)
    }

    fn states(&self, observations: &[Observation], complaint: Option<Complaint>) -> Vec<StateId> {
        let mut states = states_of(observations);
        states.extend(complaint.map(|complaint| complaint.state));
        states.sort_unstable();
        states.dedup();
        states
    }

    /// Logarithm of the chance of the complaint when the load gets these volts.
    fn complaint_log(&self, complaint: Option<Complaint>, volts: Option<Volts>) -> f64 {
        let (Some(complaint), Some(volts)) = (complaint, volts) else { return 0.0 };
        let Some(point) = self.forward.points.get(complaint.state.index()).and_then(Option::as_ref)
        else {
            return 0.0;
        };
        let blocks = self.vehicle().nominal.0 / 12.0;
        let lost = (point.load(complaint.load).volts - volts).0 / blocks;
        let chance = 1.0 / (1.0 + (-(lost - COMPLAINED.0) / COMPLAINED.1).exp());
        (GROUNDLESS + (1.0 - GROUNDLESS) * chance).ln()
    }

    /// Fits one belief and weighs it.
    fn explain(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
        belief: Belief,
        start: &[f64],
        faults: Vec<SuspectKind>,
        log_odds: f64,
    ) -> Option<Explanation> {
        let states = self.states(observations, complaint);
        let fit = fit(&mut self.forward, observations, &belief, start, &states)?;
        let volts = complaint.and_then(|complaint| {
            self.forward.load_volts(&fit.guess, complaint.state, complaint.load)
        });
        let weight = fit.evidence + log_odds + self.complaint_log(complaint, volts);
        // A fit that has not settled says too much of its evidence: it is only a lower bound.
        debug_assert!(weight.is_finite() || !fit.settled);
        let unknowns = fit.unknowns.clone();
        Some(Explanation { faults, weight, belief, unknowns, fit: Some(fit), without: None })
    }

    /// Nothing wrong, every single fault worth a look, and pairs where they explain more.
    fn explanations(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
    ) -> Vec<Explanation> {
        let sound = self.sound.clone();
        let start = sound.mean.clone();
        let Some(nothing) = self.explain(observations, complaint, sound, &start, Vec::new(), 0.0)
        else {
            return Vec::new();
        };
        let tried = self.try_faults(observations, complaint, &nothing);
        let best =
            tried.first().map_or(nothing.weight, |tried| tried.log_weight.max(nothing.weight));
        let base = nothing.fit.as_ref().map_or_else(|| start.clone(), |fit| fit.unknowns.clone());
        let close = self.worth_fitting(&tried, best);
        let mut explanations = Vec::new();
        for (rank, tried) in tried.iter().enumerate() {
            let fault = self.faults[tried.fault].clone();
            let mut unknowns = base.clone();
            unknowns[fault.at] = tried.best;
            let belief = fault.belief(&self.sound);
            let others: &[f64] = if rank < MOST_STARTED_AGAIN { &STARTED_AGAIN } else { &[] };
            let starts: Vec<f64> = std::iter::once(tried.best)
                .chain(others.iter().map(|step| fault.mean + step * fault.spread))
                .collect();
            let fitted = close.contains(&tried.fault).then(|| {
                let mut fits: Vec<Explanation> = Vec::new();
                for start in starts {
                    unknowns[fault.at] = start;
                    let (kinds, odds) = (vec![fault.kind], fault.log_odds);
                    let belief = belief.clone();
                    fits.extend(self.explain(
                        observations,
                        complaint,
                        belief,
                        &unknowns,
                        kinds,
                        odds,
                    ));
                    if fits.last().is_some_and(|own| explains_all(own, observations)) {
                        break;
                    }
                }
                fits.into_iter().max_by(|a, b| a.weight.total_cmp(&b.weight))
            });
            unknowns[fault.at] = tried.best;
            explanations.push(fitted.flatten().unwrap_or_else(|| Explanation {
                faults: vec![fault.kind],
                weight: tried.log_weight,
                belief,
                unknowns,
                fit: None,
                without: None,
            }));
        }
        explanations.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        let pairs = self.pairs(observations, complaint, &explanations, &tried);
        explanations.extend(pairs);
        explanations.push(nothing);
        explanations
    }

    /// The faults that are looked at closely: the likeliest, and with a piece of a conductor also the
    /// other pieces of it, because no difference between those may come from one being looked at.
    fn worth_fitting(&self, tried: &[Tried], best: f64) -> BTreeSet<usize> {
        let vehicle = self.vehicle();
        let conductor = |kind: SuspectKind| match kind {
            SuspectKind::Conductor(id) => Some(id),
            SuspectKind::Joint(id) => match vehicle.joint(id).of {
                model::JointOf::From(id) | model::JointOf::To(id) => Some(id),
                model::JointOf::LoadCase(_) | model::JointOf::SourceCase(_) => None,
            },
            _ => None,
        };
        let mut chosen: BTreeSet<usize> = tried
            .iter()
            .take(MOST_FITTED)
            .filter(|tried| tried.log_weight > best - WORTH_FITTING)
            .map(|tried| tried.fault)
            .collect();
        let conductors: BTreeSet<ConductorId> =
            chosen.iter().filter_map(|fault| conductor(self.faults[*fault].kind)).collect();
        chosen.extend((0..self.faults.len()).filter(|fault| {
            conductor(self.faults[*fault].kind).is_some_and(|id| conductors.contains(&id))
        }));
        chosen
    }

    /// Tries every fault at a few values, everything else as fitted without it and free to follow.
    fn try_faults(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
        nothing: &Explanation,
    ) -> Vec<Tried> {
        let Some(base) = &nothing.fit else { return Vec::new() };
        let states = self.states(observations, complaint);
        let Some(rows) = self.forward.rows(&base.guess, &questions(observations)) else {
            return Vec::new();
        };
        let mut tried = Vec::new();
        let faults = self.faults.clone();
        for (number, fault) in faults.iter().enumerate() {
            let mut scores = Vec::new();
            let mut complained = (f64::MIN, fault.mean);
            for step in TRIED {
                let mut unknowns = base.unknowns.clone();
                unknowns[fault.at] = fault.mean + step * fault.spread;
                let Some(guess) = self.forward.guess(
                    &unknowns,
                    fault.present.as_slice(),
                    &states,
                    Some(&base.guess),
                ) else {
                    continue;
                };
                let volts =
                    complaint.and_then(|c| self.forward.load_volts(&guess, c.state, c.load));
                let chance = self.complaint_log(complaint, volts);
                if chance > complained.0 {
                    complained = (chance, unknowns[fault.at]);
                }
                let said = chance - 0.5 * step * step;
                let Some(fits) = self.rough_fit(observations, base, &rows, &guess, fault.at) else {
                    continue;
                };
                scores.push((said + fits, unknowns[fault.at]));
            }
            let Some(best) = scores.iter().map(|(score, _)| *score).max_by(f64::total_cmp) else {
                continue;
            };
            let weights: f64 = TRIED.iter().map(|step| (-0.5 * step * step).exp()).sum();
            let sum: f64 = scores.iter().map(|(score, _)| (score - best).exp()).sum();
            let at =
                scores.iter().find(|(score, _)| *score >= best).map_or(fault.mean, |(_, at)| *at);
            tried.push(Tried {
                fault: number,
                best: at,
                log_weight: fault.log_odds + best + (sum / weights).ln(),
                complained: complained.0,
                complained_at: complained.1,
            });
        }
        tried.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
        tried
    }

    /// How well a guess explains the readings when everything but one unknown may follow a little.
    fn rough_fit(
        &self,
        observations: &[Observation],
        base: &Fit,
        rows: &[Vec<f64>],
        guess: &crate::forward::Guess,
        at: usize,
    ) -> Option<f64> {
        let mut spread = self.sound.spread.clone();
        spread[at] = 0.0;
        let mut right = Vec::with_capacity(observations.len());
        let mut rough = observations.to_vec();
        for (index, observation) in observations.iter().enumerate() {
            let now = self.forward.value(guess, observation.state, observation.measured)?;
            let before = observation.value - base.residuals[index];
            let moved: f64 = rows[index]
                .iter()
                .enumerate()
                .filter(|(unknown, _)| *unknown != at)
                .map(|(unknown, slope)| slope * (base.unknowns[unknown] - self.sound.mean[unknown]))
                .sum();
            right.push(observation.value - now + moved);
            rough[index].sigma = observation.sigma.hypot(ROUGH * (now - before));
        }
        let system = system(rows, &spread, &rough)?;
        let solved = system.solve(&right);
        let misfit: f64 = right.iter().zip(&solved).map(|(a, b)| a * b).sum();
        let m = observations.len() as f64;
        Some(
            -0.5 * misfit
                - 0.5 * system.log_determinant()
                - 0.5 * m * (2.0 * std::f64::consts::PI).ln(),
        )
    }

    /// Second faults beside the likeliest first ones, where they promise to explain more.
    fn pairs(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
        singles: &[Explanation],
        tried: &[Tried],
    ) -> Vec<Explanation> {
        let mut promising: Vec<(usize, usize, f64)> = Vec::new();
        for (first, single) in singles.iter().enumerate().take(4) {
            let Some(fit) = &single.fit else { continue };
            let Some(rows) = self.forward.rows(&fit.guess, &questions(observations)) else {
                continue;
            };
            let Some(system) = system(&rows, &single.belief.spread, observations) else { continue };
            let right: Vec<f64> = rows
                .iter()
                .zip(&fit.residuals)
                .map(|(row, residual)| {
                    let moved: f64 = row
                        .iter()
                        .zip(fit.unknowns.iter().zip(&single.belief.mean))
                        .map(|(slope, (x, mean))| slope * (x - mean))
                        .sum();
                    residual + moved
                })
                .collect();
            let solved = system.solve(&right);
            let left: f64 = right.iter().zip(&solved).map(|(a, b)| a * b).sum();
            let volts =
                complaint.and_then(|c| self.forward.load_volts(&fit.guess, c.state, c.load));
            let said = self.complaint_log(complaint, volts);
            for own in tried {
                let (second, fault, answers) = (own.fault, &self.faults[own.fault], own.complained);
                if single.faults.contains(&fault.kind) || fault.present.is_some() {
                    continue;
                }
                // Score test: what freeing this unknown would take off the misfit, at most all of it.
                let column: Vec<f64> = rows.iter().map(|row| row[fault.at]).collect();
                let pull: f64 = column.iter().zip(&solved).map(|(a, b)| a * b).sum();
                let own: f64 = column.iter().zip(system.solve(&column)).map(|(a, b)| a * b).sum();
                let towards = own > 0.0 && (pull > 0.0 || fault.mean < 0.0);
                let explains =
                    if towards { (0.5 * pull * pull / own).min(0.5 * left) } else { 0.0 };
                // The first fault may leave the complaint unexplained, which this one may explain.
                let gain = explains + (answers - said).max(0.0) + fault.log_odds;
                if gain > -1.0 {
                    promising.push((first, second, single.weight + gain));
                }
            }
        }
        promising.sort_by(|a, b| b.2.total_cmp(&a.2));
        let mut seen: Vec<Vec<SuspectKind>> = Vec::new();
        let mut pairs = Vec::new();
        for (first, second, _) in promising {
            if pairs.len() >= MOST_PAIRS {
                break;
            }
            let single = &singles[first];
            let fault = self.faults[second].clone();
            let mut kinds = single.faults.clone();
            kinds.push(fault.kind);
            kinds.sort_unstable();
            if seen.contains(&kinds) {
                continue;
            }
            seen.push(kinds.clone());
            let Some(fit) = &single.fit else { continue };
            let belief = fault.belief(&single.belief);
            let first_odds = self
                .faults
                .iter()
                .find(|own| single.faults.contains(&own.kind))
                .map_or(0.0, |own| own.log_odds);
            let mut start = fit.unknowns.clone();
            start[fault.at] = tried
                .iter()
                .find(|own| own.fault == second)
                .map_or(fault.mean - fault.spread, |own| own.complained_at);
            let pair = self.explain(
                observations,
                complaint,
                belief,
                &start,
                kinds,
                first_odds + fault.log_odds,
            );
            pairs.extend(pair);
        }
        pairs
    }

    /// The likeliest explanations again, each without each reading.
    fn without_each(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
        explanations: &[Explanation],
    ) -> Vec<Explanation> {
        let mut ranked: Vec<&Explanation> =
            explanations.iter().filter(|own| own.fit.is_some()).collect();
        ranked.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        let nothing = ranked.iter().find(|own| own.faults.is_empty()).copied();
        let mut chosen: Vec<&Explanation> = ranked.into_iter().take(TRIED_WITHOUT).collect();
        if let Some(nothing) = nothing.filter(|_| !chosen.iter().any(|own| own.faults.is_empty())) {
            chosen.push(nothing);
        }
        let mut wrong = Vec::new();
        for at in doubtful(observations, chosen.first().copied()) {
            let observation = &observations[at];
            let mut rest = observations.to_vec();
            rest.remove(at);
            let span = if matches!(observation.measured, model::Measured::Volts { .. }) {
                2.0 * self.vehicle().nominal.0
            } else {
                1000.0
            };
            // A wrong reading may show anything in the span; its own accuracy is then no help.
            let chance = WRONG_READING.ln() - span.ln();
            for explanation in &chosen {
                let Some(fit) = &explanation.fit else { continue };
                let log_odds: f64 = explanation
                    .faults
                    .iter()
                    .filter_map(|kind| self.faults.iter().find(|own| own.kind == *kind))
                    .map(|own| own.log_odds)
                    .sum();
                let start = fit.unknowns.clone();
                let again = self.explain(
                    &rest,
                    complaint,
                    explanation.belief.clone(),
                    &start,
                    explanation.faults.clone(),
                    log_odds + chance,
                );
                wrong.extend(again.map(|own| Explanation { without: Some(at), ..own }));
            }
        }
        wrong
    }
}
