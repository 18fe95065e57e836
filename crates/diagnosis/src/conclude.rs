//! From weighed explanations to suspects, beliefs about joints, and readings to take again.

use model::{JointId, Piece, Vehicle};
use units::Ohms;

use crate::a_priori::APriori;
use crate::agreement::Agreement;
use crate::diagnose::{Diagnosis, JointBelief};
use crate::explanation::{Explanation, views};
use crate::fit::Belief;
use crate::forward::Forward;
use crate::hypothesis::same_conductor;
use crate::judged;
use crate::mixture::{Interval, interval};
use crate::observation::{Observation, alike};
use crate::paths::same_bodies;
use crate::search::weighed;
use crate::session::Session;
use crate::side::{Map, not_switched_on};
use crate::sight;
use crate::suspect::{Complaint, Suspect, SuspectKind};

/// Standard deviations by which a joint e times as bad must move the readings to be seen in them at
/// all. Small, because beside a bad joint a clean one moves them little before it is bad itself.
const MOVES_NOTHING: f64 = 1e-5;
/// Cosine of two joints' effects on the readings from which on they are one.
const ALIKE: f64 = 0.9999;

/// Diagnoses once; see [`Session`] for asking again.
#[must_use]
pub fn diagnose(
    vehicle: &Vehicle,
    observations: &[Observation],
    complaint: Option<Complaint>,
) -> Diagnosis {
    Session::new(vehicle).diagnose(observations, complaint)
}

impl Session<'_> {
    /// What the readings say, with a complaint or without one.
    #[must_use]
    pub fn diagnose(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
    ) -> Diagnosis {
        let estimator = &mut self.estimator;
        let mut explanations = weighed(estimator, observations, complaint);
        if observations.is_empty() && estimator.hearsay.has_seen() {
            let map = Map::new(estimator.vehicle(), complaint.map(|own| own.load));
            sight::at_most(&map, &mut explanations, not_switched_on());
        }
        conclude(&estimator.forward, &estimator.prior, observations, explanations)
    }
}

/// What weighed explanations say of suspects, joints and readings.
pub(crate) fn conclude(
    forward: &Forward<'_>,
    prior: &APriori,
    observations: &[Observation],
    mut explanations: Vec<Explanation>,
) -> Diagnosis {
    let vehicle = forward.vehicle();
    explanations.sort_by(|a, b| units::larger_first(a.weight, b.weight));
    let suspects = suspects(forward, &prior.as_filed, &explanations);
    let nothing_bad =
        explanations.iter().filter(|own| own.faults.is_empty()).map(|own| own.weight).sum::<f64>();
    let best = explanations.iter().find(|own| own.fit.is_some() && own.without.is_none());
    let residuals = best
        .and_then(|own| own.fit.as_ref().map(|fit| fit.foretold(&own.belief)))
        .unwrap_or_default();
    Diagnosis {
        joints: joints(vehicle, &prior.sound, &explanations, &suspects),
        sets: inseparable(vehicle, &suspects, observations, best),
        suspects,
        take_again: wrong_readings(observations, &explanations),
        repeated: repeated(observations),
        nothing_bad,
        as_filed: prior.as_filed.clone(),
        residuals,
        expected: expected(forward, observations, best),
        agreement: Agreement::new(forward, prior, observations, &explanations),
        explanations,
    }
}

/// Every fault of any explanation with its probability, the likeliest first.
fn suspects(
    forward: &Forward<'_>,
    as_filed: &[SuspectKind],
    explanations: &[Explanation],
) -> Vec<Suspect> {
    let vehicle = forward.vehicle();
    let mut suspects: Vec<Suspect> = Vec::new();
    for explanation in explanations {
        for kind in &explanation.faults {
            match suspects.iter_mut().find(|suspect| same(vehicle, suspect.kind, *kind)) {
                Some(suspect) => suspect.probability += explanation.weight,
                None => suspects.push(Suspect {
                    kind: *kind,
                    probability: explanation.weight,
                    ohms: fault_ohms(forward, *kind, explanation),
                }),
            }
        }
    }
    suspects.sort_by(|a, b| units::larger_first(a.probability, b.probability));
    // What the readings found goes before what the file knew, and before a path that does no harm.
    suspects.sort_by_key(|own| match (own.probability, own.kind) {
        (sure, _) if sure < judged::verdicts().sure_from.0 => 2,
        (_, SuspectKind::ExtraPath { .. }) => 1,
        _ if as_filed.contains(&own.kind) => 1,
        _ => 0,
    });
    suspects
}

/// What is believed of every joint.
fn joints(
    vehicle: &Vehicle,
    sound: &Belief,
    explanations: &[Explanation],
    suspects: &[Suspect],
) -> Vec<JointBelief> {
    let bad = |id: JointId| suspects.iter().find(|own| own.kind == SuspectKind::Joint(id));
    (0..vehicle.joints.len())
        .map(JointId::at)
        .map(|id| {
            let slot = vehicle.piece_slot(Piece::Joint(id));
            let written = vehicle.joint(id).resistance;
            let Interval { median, low, high } =
                interval(&views(sound, slot, explanations)).map(|log| written * log.exp());
            let bad = bad(id).map_or(0.0, |own| own.probability);
            JointBelief { median, low, high, bad }
        })
        .collect()
}

/// Numbers of the readings that another one repeats.
fn repeated(observations: &[Observation]) -> Vec<u32> {
    let repeats = |a: &Observation, b: &Observation| {
        a.number != b.number && a.state == b.state && alike(a.measured, b.measured).is_some()
    };
    let repeated = observations.iter().filter(|own| observations.iter().any(|b| repeats(own, b)));
    repeated.map(|own| own.number).collect()
}

/// What each observation would be in a sound vehicle, and under the best explanation.
fn expected(
    forward: &Forward<'_>,
    observations: &[Observation],
    best: Option<&Explanation>,
) -> Vec<(f64, f64)> {
    let fit = best.and_then(|own| own.fit.as_ref());
    let sound = |own: &Observation| forward.sound_value(own.state, own.measured);
    observations
        .iter()
        .enumerate()
        .map(|(at, own)| {
            let now = fit.map_or(f64::NAN, |fit| own.value - fit.residuals[at]);
            (sound(own).unwrap_or(f64::NAN), now)
        })
        .collect()
}

/// Joints among the suspects that these readings cannot tell apart: more of the one would move
/// every reading in the same proportion as more of the other.
fn inseparable(
    vehicle: &Vehicle,
    suspects: &[Suspect],
    observations: &[Observation],
    best: Option<&Explanation>,
) -> Vec<Vec<JointId>> {
    let fit = best.and_then(|own| own.fit.as_ref());
    let column = |id: JointId| {
        let at = vehicle.piece_slot(Piece::Joint(id));
        fit.map_or_else(Vec::new, |fit| fit.column(at, observations))
    };
    let mut sets: Vec<(Vec<f64>, Vec<JointId>)> = Vec::new();
    let naming = judged::verdicts().worth_naming.0;
    for suspect in suspects.iter().filter(|suspect| suspect.probability > naming) {
        let SuspectKind::Joint(id) = suspect.kind else { continue };
        let own = direction(&column(id));
        let alike = |(other, joints): &&mut (Vec<f64>, Vec<JointId>)| {
            if own.is_empty() && other.is_empty() {
                // No reading is moved by either: the ends of one cable look alike all the same.
                return joints.iter().any(|joint| same_conductor(vehicle, *joint) == Some(id));
            }
            let cosine: f64 = own.iter().zip(other.iter()).map(|(a, b)| a * b).sum();
            cosine > ALIKE
        };
        match sets.iter_mut().find(alike) {
            Some((_, joints)) => joints.push(id),
            None => sets.push((own, vec![id])),
        }
    }
    sets.into_iter().map(|(_, joints)| joints).collect()
}

/// The same with length one; nothing where it is too short to have a direction.
fn direction(column: &[f64]) -> Vec<f64> {
    let length = column.iter().map(|x| x * x).sum::<f64>().sqrt();
    if length < MOVES_NOTHING { Vec::new() } else { column.iter().map(|x| x / length).collect() }
}

fn fault_ohms(forward: &Forward<'_>, kind: SuspectKind, explanation: &Explanation) -> Option<Ohms> {
    let vehicle = forward.vehicle();
    let piece = match kind {
        SuspectKind::Joint(id) => Piece::Joint(id),
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => Piece::Conductor(id),
        SuspectKind::Inline(id) => Piece::Inline(id),
        SuspectKind::ExtraPath { .. } => {
            let path = *explanation.belief.present.first()?;
            let at = forward.layout.extra(path);
            return explanation.fit.as_ref().map(|fit| Ohms(fit.unknowns[at].exp()));
        }
        _ => return None,
    };
    let fit = explanation.fit.as_ref()?;
    Some(vehicle.piece_resistance(piece) * fit.unknowns[vehicle.piece_slot(piece)].exp())
}

/// True for one suspect: a path between two bodies is one, wherever its ends may be.
fn same(vehicle: &Vehicle, one: SuspectKind, other: SuspectKind) -> bool {
    match (one, other) {
        (
            SuspectKind::ExtraPath { from, to },
            SuspectKind::ExtraPath { from: other_from, to: other_to },
        ) => same_bodies(vehicle, (from, to), (other_from, other_to)),
        _ => one == other,
    }
}

fn wrong_readings(observations: &[Observation], explanations: &[Explanation]) -> Vec<(u32, f64)> {
    let mut wrong: Vec<(u32, f64)> = observations
        .iter()
        .enumerate()
        .map(|(at, observation)| {
            let chance = explanations
                .iter()
                .filter(|own| own.without == Some(at))
                .map(|own| own.weight)
                .sum();
            (observation.number, chance)
        })
        .collect();
    wrong.sort_by(|a, b| units::larger_first(a.1, b.1));
    wrong
}
