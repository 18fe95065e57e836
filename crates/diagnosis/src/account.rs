//! Why the best explanation is believed, reading by reading: the stretch that loses more than it should,
//! the current that flows there, and which readings leave which joint.

mod stretch;

use model::{JointId, Measured, Piece, StateId, Vehicle};
use units::{Amperes, Volts};

use crate::diagnose::Diagnosis;
use crate::estimator::Estimator;
use crate::explanation::Explanation;
use crate::fit::{Belief, Fit, fit, variance};
use crate::judged;
use crate::observation::Observation;
use crate::session::Session;
use crate::suspect::{Suspect, SuspectKind};

/// Why one fault is believed.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The fault, with its probability and its resistance.
    pub suspect: Suspect,
    /// What flows through it, and in which state, where it has a current; the largest that was fitted.
    pub flows: Option<(StateId, Amperes)>,
    /// The reading over the stretch in which it lies that shows most more than it should.
    pub telling: Option<Telling>,
    /// The other joints of that stretch, with the readings that speak against each; none means that
    /// these readings cannot tell the two apart.
    pub rivals: Vec<(JointId, Vec<Against>)>,
    /// Readings that would be others if this fault alone were put right, the clearest first.
    pub without: Vec<Against>,
}

/// A voltage over a stretch of metal, taken apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Telling {
    /// The reading's number.
    pub number: u32,
    /// The state it was taken in.
    pub state: StateId,
    /// Between which two probes.
    pub measured: Measured,
    /// What it shows, without its sign.
    pub shown: Volts,
    /// What the stretch should lose at the currents that flow in it.
    pub expected: Volts,
    /// The current through the fault.
    pub amps: Amperes,
    /// The joints of the stretch, on the way from one probe to the other.
    pub joints: Vec<JointId>,
}

/// A reading that speaks against something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Against {
    /// The reading's number.
    pub number: u32,
    /// What was measured.
    pub measured: Measured,
    /// What it shows, in volts or amperes.
    pub shown: f64,
    /// What it would show then, at best.
    pub would: f64,
}

/// Readings named against one thing.
const MOST_NAMED: usize = 3;

impl Session<'_> {
    /// Why the faults of the best explanation are believed; empty when nothing is.
    #[must_use]
    pub fn account(&mut self, diagnosis: &Diagnosis, observations: &[Observation]) -> Vec<Finding> {
        let estimator = &mut self.estimator;
        let fitted =
            diagnosis.explanations.iter().find(|own| own.fit.is_some() && own.without.is_none());
        let Some(best) = fitted.filter(|own| !own.faults.is_empty()) else { return Vec::new() };
        let mut findings: Vec<Finding> = best
            .faults
            .iter()
            .filter_map(|kind| {
                let suspect = *diagnosis.suspects.iter().find(|own| own.kind == *kind)?;
                (together(estimator.vehicle(), diagnosis, *kind) > judged::verdicts().told_from.0)
                    .then(|| finding(estimator, diagnosis, best, suspect, observations))
                    .flatten()
            })
            .collect();
        // What is bad first, then what the file lacks, then what it says itself.
        let filed = &estimator.prior.as_filed;
        let rank = |own: &Finding| match own.suspect.kind {
            kind if filed.contains(&kind) => 2,
            SuspectKind::ExtraPath { .. } => 1,
            _ => 0,
        };
        findings.sort_by(|a, b| {
            let kinds = rank(a).cmp(&rank(b));
            kinds.then(units::larger_first(a.suspect.probability, b.suspect.probability))
        });
        findings
    }
}

fn finding(
    estimator: &mut Estimator<'_>,
    diagnosis: &Diagnosis,
    best: &Explanation,
    suspect: Suspect,
    observations: &[Observation],
) -> Option<Finding> {
    let settled = best.fit.as_ref()?;
    let telling =
        suspect.kind.piece().and_then(|piece| telling(estimator, settled, piece, observations));
    let states = crate::forward::states_of(observations);
    let flows = states
        .iter()
        .filter_map(|state| Some((*state, current(estimator, best, suspect.kind, *state)?)))
        .max_by(|a, b| units::larger_first(b.1.0.abs(), a.1.0.abs()));
    let without = without(estimator, best, suspect.kind, observations)
        .map_or_else(Vec::new, |residuals| against(settled, &residuals, observations));
    let others: Vec<JointId> = telling.iter().flat_map(|own| own.joints.clone()).collect();
    let rivals = others
        .into_iter()
        .filter(|id| SuspectKind::Joint(*id) != suspect.kind)
        .filter_map(|id| {
            let single = [SuspectKind::Joint(id)];
            let fault = diagnosis
                .explanations
                .iter()
                .find(|own| estimator.prior.beyond_the_file(&own.faults) == single)?;
            let other = with_another(estimator, best, suspect.kind, id, fault, observations)?;
            Some((id, against(settled, &other.residuals, observations)))
        })
        .collect();
    Some(Finding { suspect, flows, telling, rivals, without })
}

/// A reading over a stretch with this piece in it, taken apart.
fn over_stretch(
    estimator: &Estimator<'_>,
    fit: &Fit,
    piece: Piece,
    own: &Observation,
) -> Option<Telling> {
    let vehicle = estimator.vehicle();
    let Measured::Volts { high, low } = own.measured else { return None };
    let pieces = stretch::between(vehicle, own.state, high, low)?;
    let amps = |piece: Piece| estimator.forward.amps(&fit.guess, own.state, piece);
    let amps_there = pieces.contains(&piece).then(|| amps(piece))??;
    let expected = pieces
        .iter()
        .map(|known| Some(vehicle.piece_resistance(*known) * amps(*known)?.abs()))
        .sum::<Option<Volts>>()?;
    let joints = pieces.iter().filter_map(|known| match known {
        Piece::Joint(id) => Some(*id),
        _ => None,
    });
    Some(Telling {
        number: own.number,
        state: own.state,
        measured: own.measured,
        shown: Volts(own.value.abs()),
        expected,
        amps: amps_there.abs(),
        joints: joints.collect(),
    })
}

/// The reading over a stretch with this piece in it that shows most more than the stretch should
/// lose at the currents that flow.
fn telling(
    estimator: &Estimator<'_>,
    fit: &Fit,
    piece: Piece,
    observations: &[Observation],
) -> Option<Telling> {
    let all: Vec<Telling> = observations
        .iter()
        .filter_map(|own| over_stretch(estimator, fit, piece, own))
        .filter(|own| own.shown > own.expected)
        .collect();
    // Of those that show about as much too much, the one over the most joints: the others then
    // say which of them it is.
    let too_much = |own: &Telling| (own.shown - own.expected).0;
    let most = all.iter().map(too_much).fold(0.0, f64::max);
    all.into_iter().filter(|own| too_much(own) > judged::verdicts().about_as_much.0 * most).max_by(
        |a, b| {
            let joints = a.joints.len().cmp(&b.joints.len());
            joints.then(units::larger_first(too_much(b), too_much(a)))
        },
    )
}

fn current(
    estimator: &Estimator<'_>,
    best: &Explanation,
    kind: SuspectKind,
    state: StateId,
) -> Option<Amperes> {
    let fit = best.fit.as_ref()?;
    if let Some(piece) = kind.piece() {
        return estimator.forward.amps(&fit.guess, state, piece);
    }
    match kind {
        SuspectKind::ExtraPath { from, to } => {
            let path = estimator.forward.paths.iter().position(|own| *own == (from, to))?;
            let across =
                Measured::Volts { high: model::Probe::Point(from), low: model::Probe::Point(to) };
            let volts = estimator.forward.value(&fit.guess, state, across)?;
            Some(Amperes(volts / fit.unknowns[estimator.forward.layout.extra(path)].exp()))
        }
        _ => None,
    }
}

/// Readings less what they would be if one fault of the best explanation were put right and all
/// else stayed as it was found.
fn without(
    estimator: &mut Estimator<'_>,
    best: &Explanation,
    kind: SuspectKind,
    observations: &[Observation],
) -> Option<Vec<f64>> {
    let (at, path) = unknown_of(estimator, kind)?;
    let mut unknowns = best.fit.as_ref()?.unknowns.clone();
    let mut present = best.belief.present.clone();
    present.retain(|own| Some(*own) != path);
    unknowns[at] = estimator.prior.mended(kind, at);
    let states = crate::forward::states_of(observations);
    let guess = estimator.forward.guess(&unknowns, &present, &states, None)?;
    observations
        .iter()
        .map(|own| Some(own.value - estimator.forward.value(&guess, own.state, own.measured)?))
        .collect()
}

/// The best explanation fitted again with another joint bad in the place of one of its faults.
fn with_another(
    estimator: &mut Estimator<'_>,
    best: &Explanation,
    kind: SuspectKind,
    id: JointId,
    fault: &Explanation,
    observations: &[Observation],
) -> Option<Fit> {
    let vehicle = estimator.vehicle();
    let (at, path) = unknown_of(estimator, kind)?;
    let mut start = best.fit.as_ref()?.unknowns.clone();
    let mut belief: Belief = best.belief.clone();
    belief.present.retain(|own| Some(*own) != path);
    belief.mean[at] = estimator.prior.mended(kind, at);
    // As it should be and no other: left any room, a fit bends it sooner than it gives a reading up.
    belief.spread[at] = judged::verdicts().as_it_should_be.0;
    let times = start[at].exp();
    start[at] = belief.mean[at];
    let slot = vehicle.piece_slot(Piece::Joint(id));
    belief.mean[slot] = fault.belief.mean[slot];
    belief.spread[slot] = fault.belief.spread[slot];
    // It begins with as many ohms as the other had.
    start[slot] = match kind {
        SuspectKind::Joint(own) => {
            let ohms = vehicle.joint(own).resistance.0 * times;
            (ohms / vehicle.joint(id).resistance.0).ln()
        }
        _ => fault.unknowns[slot],
    };
    fit(&mut estimator.forward, observations, &belief, &start, &[])
}

/// The unknown that a fault is about, and its path if it is one.
fn unknown_of(estimator: &Estimator<'_>, kind: SuspectKind) -> Option<(usize, Option<usize>)> {
    let vehicle = estimator.vehicle();
    let layout = estimator.forward.layout;
    if let Some(piece) = kind.piece() {
        return Some((vehicle.piece_slot(piece), None));
    }
    Some(match kind {
        SuspectKind::ExtraPath { from, to } => {
            let path = estimator.forward.paths.iter().position(|own| *own == (from, to))?;
            (layout.extra(path), Some(path))
        }
        SuspectKind::LoadDrags(id) | SuspectKind::LoadOpen(id) => (layout.draw(id.index()), None),
        SuspectKind::BatteryLow(id) => (layout.emf(id.index()), None),
        SuspectKind::BatteryWorn(id) => (layout.battery(id.index()), None),
        SuspectKind::SourceLow(id) => (layout.held(id.index()), None),
        SuspectKind::Joint(_)
        | SuspectKind::Conductor(_)
        | SuspectKind::Open(_)
        | SuspectKind::Inline(_) => return None,
    })
}

/// The probability of a fault, or of its conductor being bad anywhere.
fn together(vehicle: &Vehicle, diagnosis: &Diagnosis, kind: SuspectKind) -> f64 {
    let own = kind.conductor(vehicle);
    diagnosis
        .suspects
        .iter()
        .filter(|other| {
            other.kind == kind || (own.is_some() && other.kind.conductor(vehicle) == own)
        })
        .map(|other| other.probability)
        .sum()
}

/// Readings that one fit explains and these residuals do not, the clearest first.
fn against(settled: &Fit, other: &[f64], observations: &[Observation]) -> Vec<Against> {
    let mut grown: Vec<(f64, Against)> = observations
        .iter()
        .enumerate()
        .map(|(at, own)| {
            let misfit = |residuals: &[f64]| residuals[at].powi(2) / variance(own);
            let told = Against {
                number: own.number,
                measured: own.measured,
                shown: own.value,
                would: own.value - other[at],
            };
            (misfit(other) - misfit(&settled.residuals), told)
        })
        .filter(|(more, _)| *more > judged::verdicts().speaks_from.0)
        .collect();
    grown.sort_by(|a, b| units::larger_first(a.0, b.0));
    grown.into_iter().take(MOST_NAMED).map(|(_, told)| told).collect()
}
