//! What to measure next: the reading that tells most for a minute of work.

mod questions;

use model::{JointId, Measured, PointId, Probe, StateId, Vehicle};
use units::Seconds;

use crate::diagnose::Diagnosis;
use crate::estimator::Estimator;
use crate::explanation::{Bystander, Explanation};
use crate::fit::Fit;
use crate::forward::{Forward, Guess};
use crate::holding::{Holding, worth_holding};
use crate::judged;
use crate::mixture::{FIVE, normal};
use crate::observation::{Observation, alike};
use crate::practice::{Practice, one_reading_minutes};
use crate::proposal::{Proposal, as_much};
use crate::session::Session;
use crate::suspect::{Complaint, SuspectKind};
pub(crate) use questions::questions;

/// Explanations that a reading is to tell apart.
const MOST_EXPLANATIONS: usize = 40;
/// Readings that are looked at closely.
const MOST_CLOSE: usize = 60;
/// A candidate with what each explanation foretells.
struct Candidate {
    state: StateId,
    measured: Measured,
    minutes: f64,
    foretold: Vec<f64>,
}

/// The readings that tell most per minute, best first.
#[must_use]
pub fn next(
    vehicle: &Vehicle,
    diagnosis: &Diagnosis,
    observations: &[Observation],
    complaint: Option<Complaint>,
) -> Vec<Proposal> {
    Session::new(vehicle).next(diagnosis, observations, complaint)
}

impl Session<'_> {
    /// The readings that tell most per minute, best first. One in doubt comes before all others;
    /// those taken already are left out.
    ///
    /// Where the engine would have to run, only what nothing without it tells as well; what is set up
    /// already stays set up where that tells as much.
    #[must_use]
    pub fn next(
        &mut self,
        diagnosis: &Diagnosis,
        observations: &[Observation],
        complaint: Option<Complaint>,
    ) -> Vec<Proposal> {
        let Self { estimator, practice } = self;
        let holding = Holding::of(estimator.vehicle(), complaint, observations);
        let mut proposals =
            next_held(estimator, practice, diagnosis, observations, complaint, &holding);
        // Where the fault lies in a set that no reading has told apart, that is the next question.
        let set = diagnosis.sets.first().filter(|_| diagnosis.in_doubt().is_none());
        if let Some(set) = set
            .filter(|set| set.len() > 1 && diagnosis.chance_of(set) > judged::verdicts().set_from.0)
            && let Some(own) = self.separating(diagnosis, set, observations, (complaint, None))
        {
            let same = |other: &Proposal| {
                own.state == other.state && alike(own.measured, other.measured).is_some()
            };
            let known = proposals.iter().position(same).map(|at| proposals.remove(at));
            if known.is_some() || !holding.asks_why(own.state) {
                proposals.insert(0, known.unwrap_or(own));
            }
        }
        let vehicle = self.estimator.vehicle();
        let over = |own: &Proposal| inside_a_cable(vehicle, diagnosis, own);
        if diagnosis.in_doubt().is_none()
            && let Some(at) = proposals.iter().position(over)
        {
            let own = proposals.remove(at);
            proposals.insert(0, own);
        }
        proposals
    }
}

/// True for a reading over the crimp of a cable that is surely at fault inside, while nothing tells its
/// strands from its crimps: what work it wants hangs on that.
fn inside_a_cable(vehicle: &Vehicle, diagnosis: &Diagnosis, own: &Proposal) -> bool {
    let cable = own.measured.probes().and_then(|[a, b]| vehicle.over_a_crimp(a, b));
    let Some(id) = cable else { return false };
    let inside = |kind: SuspectKind| match kind {
        SuspectKind::Joint(joint) => vehicle.conductor(id).crimps.contains(&Some(joint)),
        other => other == SuspectKind::Conductor(id),
    };
    let chances = diagnosis.suspects.iter().filter(|own| inside(own.kind));
    let chances: Vec<f64> = chances.map(|own| own.probability).collect();
    let sure = judged::verdicts().set_from.0;
    chances.iter().sum::<f64>() > sure && chances.iter().all(|own| *own < sure)
}

/// The readings worth taking with these states known, best first.
pub(crate) fn next_held(
    estimator: &mut Estimator<'_>,
    practice: &Practice,
    diagnosis: &Diagnosis,
    observations: &[Observation],
    complaint: Option<Complaint>,
    holding: &Holding,
) -> Vec<Proposal> {
    let now = practice.after(estimator.vehicle(), observations);
    let doubted = diagnosis.in_doubt();
    let doubted = observations.iter().find(|own| Some(own.number) == doubted);
    let shows = complaint.map(|own| own.state).or(holding.shows);
    let mut states = worth_holding(&estimator.forward, practice, shows);
    states.extend(doubted.map(|again| again.state).filter(|state| !states.contains(state)));
    let told_apart = ToldApart::of(&mut estimator.forward, diagnosis, &states, shows.is_some());
    let forward = &estimator.forward;
    let candidates = candidates(forward, &told_apart, &states, observations, doubted, &now);
    let mut loop_first = loop_of(forward, complaint, &states, holding);
    let again = doubted.map(|again| (again.state, again.measured));
    if let Some(again) = again {
        loop_first.insert(0, again);
    }
    let close = worth_a_close_look(candidates, &loop_first, holding);
    let proposals = close
        .into_iter()
        .map(|(place, own)| {
            (place, proposal(forward, own, &told_apart.explanations, &told_apart.weights))
        })
        .collect();
    holding.ordered(proposals, again)
}

/// The readings that can be taken and were not, one in doubt once more, with what each tells for a minute.
fn candidates(
    forward: &Forward<'_>,
    told_apart: &ToldApart<'_>,
    states: &[StateId],
    observations: &[Observation],
    doubted: Option<&Observation>,
    practice: &Practice,
) -> Vec<(f64, Candidate)> {
    let taken = |state: StateId, measured: Measured| {
        observations.iter().any(|own| {
            own.state == state
                && alike(own.measured, measured).is_some()
                && doubted.is_none_or(|again| again.number != own.number)
        })
    };
    let mut candidates: Vec<(f64, Candidate)> = Vec::new();
    for state in states {
        let again = doubted.filter(|again| again.state == *state);
        let again = again.map(|again| (again.measured, one_reading_minutes()));
        let asked = again.into_iter().chain(questions(forward, *state, practice));
        let open = asked.filter(|(measured, _)| !taken(*state, *measured));
        candidates.extend(open.filter_map(|(measured, minutes)| {
            told_apart.candidate(forward, *state, measured, minutes)
        }));
    }
    candidates
}

/// The explanations that a reading is to tell apart, each solved in the states that may be held.
struct ToldApart<'d> {
    explanations: Vec<&'d Explanation>,
    guesses: Vec<Guess>,
    /// Of those that could be solved, summing to one.
    weights: Vec<f64>,
}

impl<'d> ToldApart<'d> {
    fn of(
        forward: &mut Forward<'_>,
        diagnosis: &'d Diagnosis,
        states: &[StateId],
        is_complained_of: bool,
    ) -> Self {
        // Beside what was found a path that the file does not show does no harm; and where something is
        // complained of, nothing does that has no part in it.
        let is_asked = |own: &&Explanation| {
            let path = matches!(
                own.bystander,
                Some(Bystander { kind: SuspectKind::ExtraPath { .. }, .. })
            );
            own.without.is_none()
                && own.weight > 1e-5
                && !path
                && !(is_complained_of && own.adds_no_cause())
        };
        let explanations: Vec<&Explanation> =
            diagnosis.explanations.iter().filter(is_asked).take(MOST_EXPLANATIONS).collect();
        let (mut guesses, mut weights) = (Vec::new(), Vec::new());
        for own in &explanations {
            if let Some(guess) = forward.guess(&own.unknowns, &own.belief.present, states, None) {
                guesses.push(guess);
                weights.push(own.weight);
            }
        }
        let total: f64 = weights.iter().sum();
        for weight in &mut weights {
            *weight /= total;
        }
        Self { explanations, guesses, weights }
    }

    /// A reading with what it tells for a minute, roughly; nothing where an explanation foretells
    /// no value of it.
    fn candidate(
        &self,
        forward: &Forward<'_>,
        state: StateId,
        measured: Measured,
        minutes: f64,
    ) -> Option<(f64, Candidate)> {
        let value = |guess: &Guess| forward.value(guess, state, measured);
        let foretold = self.guesses.iter().map(value).collect::<Option<Vec<f64>>>()?;
        let doubts: Vec<f64> = foretold.iter().map(|own| rough_doubt(*own, measured)).collect();
        let rough = information(&foretold, &self.weights, &doubts, measured);
        Some((rough / minutes, Candidate { state, measured, minutes, foretold }))
    }
}

/// What is looked at closely, each with its place among the readings that come first.
fn worth_a_close_look(
    mut candidates: Vec<(f64, Candidate)>,
    loop_first: &[(StateId, Measured)],
    holding: &Holding,
) -> Vec<(usize, Candidate)> {
    let first = |own: &Candidate| {
        let asked = |asked: &(StateId, Measured)| {
            own.state == asked.0 && alike(own.measured, asked.1).is_some()
        };
        loop_first.iter().position(asked).unwrap_or(usize::MAX)
    };
    candidates.sort_by(|a, b| first(&a.1).cmp(&first(&b.1)).then(b.0.total_cmp(&a.0)));
    let (still, mut running): (Vec<_>, Vec<_>) =
        candidates.into_iter().partition(|(_, own)| !holding.asks_why(own.state));
    // What looks like telling far less than something without a running engine is not looked at.
    let rough = |own: &(f64, Candidate)| own.0 * own.1.minutes;
    let best = still.iter().map(rough).fold(0.0, f64::max);
    let looked_at = judged::readings().running_looked_at.0;
    running.retain(|own| first(&own.1) != usize::MAX || rough(own) > looked_at * best);
    running.truncate(MOST_CLOSE);
    let close = still.into_iter().take(MOST_CLOSE).chain(running);
    close.map(|(_, own)| (first(&own), own)).collect()
}

impl Session<'_> {
    /// The reading that best tells apart joints which the readings so far do not: `first`, which is to be
    /// taken next anyway, where it tells them apart as well as any.
    #[must_use]
    pub fn separating(
        &mut self,
        diagnosis: &Diagnosis,
        joints: &[JointId],
        observations: &[Observation],
        (complaint, first): (Option<Complaint>, Option<&Proposal>),
    ) -> Option<Proposal> {
        let Self { estimator, practice } = self;
        let alone =
            |own: &&Explanation| match estimator.prior.beyond_the_file(&own.faults).as_slice() {
                [SuspectKind::Joint(id)] => joints.contains(id) && own.without.is_none(),
                _ => false,
            };
        let explanations = diagnosis.explanations.iter().filter(alone).cloned().collect();
        let among = Diagnosis { explanations, take_again: Vec::new(), ..diagnosis.clone() };
        let holding = Holding::of(estimator.vehicle(), complaint, observations);
        let proposals = next_held(estimator, practice, &among, observations, None, &holding);
        let best = proposals.iter().map(|own| own.gain).fold(0.0, f64::max);
        let same = |own: &&Proposal| {
            own.gain >= as_much() * best
                && first.is_some_and(|first| {
                    own.state == first.state && alike(own.measured, first.measured).is_some()
                })
        };
        let own = proposals.iter().find(same).or_else(|| proposals.first());
        own.filter(|own| own.gain > 0.0).cloned()
    }
}

/// The two readings that any complaint begins with: what its load loses on the feed side and on
/// the return side. Whatever else is thought, they divide the question in two.
///
/// Where the engine would have to run for it, they are taken first while it stands and the load is on:
/// a circuit loses the same there.
fn loop_of(
    forward: &Forward<'_>,
    complaint: Option<Complaint>,
    states: &[StateId],
    holding: &Holding,
) -> Vec<(StateId, Measured)> {
    let Some(Complaint { load, state }) = complaint else { return Vec::new() };
    let load = forward.vehicle().load(load);
    let still = states.iter().copied().find(|own| !holding.asks_why(*own) && load.is_on_in(*own));
    let state = if holding.asks_why(state) { still.unwrap_or(state) } else { state };
    let between = |high: PointId, low: PointId| Measured::Volts {
        high: Probe::Point(high),
        low: Probe::Point(low),
    };
    // Of batteries in series one holds the plus and another the minus: the posts nearest in volts.
    let nearest = |at: PointId, posts: Vec<PointId>| {
        let off = |post: &PointId| {
            forward.sound_value(state, between(at, *post)).unwrap_or(f64::NAN).abs()
        };
        posts.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)))
    };
    let batteries = &forward.vehicle().batteries;
    let plus = nearest(load.positive, batteries.iter().map(|own| own.positive).collect());
    let minus = nearest(load.negative, batteries.iter().map(|own| own.negative).collect());
    let Some((plus, minus)) = plus.zip(minus) else { return Vec::new() };
    vec![(state, between(plus, load.positive)), (state, between(load.negative, minus))]
}

/// With the doubt that each explanation still leaves in the value.
fn proposal(
    forward: &Forward<'_>,
    own: Candidate,
    explanations: &[&Explanation],
    weights: &[f64],
) -> Proposal {
    let fitted = |at: &usize| explanations[*at].fit.is_some();
    let best = (0..explanations.len()).find(fitted);
    let best = best.and_then(|at| {
        let fit = explanations[at].fit.as_ref()?;
        Some((own.foretold[at], left_doubt(forward, fit, explanations[at], &own)))
    });
    let share = judged::readings().rough_doubt_share.0;
    let spreads: Vec<f64> = explanations
        .iter()
        .zip(weights)
        .zip(&own.foretold)
        .map(|((explanation, weight), value)| match (&explanation.fit, best) {
            (Some(fit), _) if *weight > 0.003 => left_doubt(forward, fit, explanation, &own),
            // What was not fitted shares what the best leaves open, and is as bad as it may be.
            (None, Some((by_the_best, doubt))) => doubt.hypot(share * (value - by_the_best)),
            _ => rough_doubt(*value, own.measured),
        })
        .collect();
    let gain = information(&own.foretold, weights, &spreads, own.measured);
    let outcomes = explanations
        .iter()
        .zip(own.foretold.iter().zip(weights))
        .take(6)
        .map(|(explanation, (value, weight))| (explanation.faults.clone(), *value, *weight))
        .collect();
    Proposal::of(forward, (own.state, own.measured), Seconds(own.minutes * 60.0), gain, outcomes)
}

fn left_doubt(forward: &Forward<'_>, fit: &Fit, explanation: &Explanation, own: &Candidate) -> f64 {
    let rows = forward.rows(&fit.guess, &[(own.state, own.measured)]);
    match rows.and_then(|mut rows| rows.pop()) {
        Some(slopes) => fit.variance_of(&slopes, &explanation.belief.spread).sqrt(),
        // The state was not solved in that fit.
        None => rough_doubt(own.foretold.first().copied().unwrap_or(0.0), own.measured),
    }
}

/// Doubt in a value before it is worked out.
fn rough_doubt(value: f64, measured: Measured) -> f64 {
    let own = judged::readings();
    let share = own.rough_doubt_share.0 * value.abs();
    let volts = matches!(measured, Measured::Volts { .. });
    if volts { share.min(own.rough_doubt_most.0) } else { share }
}

/// Standard uncertainty that a reading is foreseen to have.
pub(crate) fn foreseen(value: f64, measured: Measured) -> f64 {
    let own = judged::readings();
    let (share, floor) = match measured {
        Measured::Amps { .. } => (own.foreseen_amperes_share.0, own.foreseen_amperes_floor.0),
        _ => (own.foreseen_volts_share.0, own.foreseen_volts_floor.0),
    };
    // With what no model of a vehicle is better than, as when it is weighed.
    (share * value.abs() + floor).hypot(own.model_share.0 * value.abs() + own.model_floor.0)
}

/// Mutual information between a value and which explanation holds, each foretelling a normal
/// distribution: by summing over a grid.
fn information(foretold: &[f64], weights: &[f64], spreads: &[f64], measured: Measured) -> f64 {
    let sigmas: Vec<f64> = foretold
        .iter()
        .zip(spreads)
        .map(|(value, spread)| foreseen(*value, measured).hypot(*spread))
        .collect();
    // Entropy of the mixture less the mean entropy of its parts.
    let mut doubt = 0.0;
    for ((value, sigma), weight) in foretold.iter().zip(&sigmas).zip(weights) {
        if *weight < 1e-6 {
            continue;
        }
        // Gauss–Hermite with five places for each part.
        for (place, part) in FIVE {
            let x = value + place * sigma;
            let mixture: f64 = foretold
                .iter()
                .zip(&sigmas)
                .zip(weights)
                .map(|((value, sigma), weight)| weight * normal(x, *value, *sigma))
                .sum();
            doubt += weight * part * (normal(x, *value, *sigma) / mixture.max(1e-300)).ln();
        }
    }
    doubt.max(0.0)
}
