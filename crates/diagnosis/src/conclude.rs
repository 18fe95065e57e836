//! From weighed explanations to suspects, beliefs about joints, and readings to take again.

use model::{JointId, Piece, Vehicle};
use units::Ohms;

use crate::agreement::Agreement;
use crate::belief::{View, mixed};
use crate::diagnose::{Diagnosis, Explanation, Suspect, SuspectKind};
use crate::hypothesis::same_conductor;
use crate::observation::Observation;
use crate::paths::same_bodies;
use crate::session::Session;

impl Session<'_> {
    pub(crate) fn conclude(
        &self,
        observations: &[Observation],
        mut explanations: Vec<Explanation>,
    ) -> Diagnosis {
        let vehicle = self.vehicle();
        explanations.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        let mut suspects: Vec<Suspect> = Vec::new();
        for explanation in &explanations {
            for kind in &explanation.faults {
                match suspects.iter_mut().find(|suspect| same(vehicle, suspect.kind, *kind)) {
                    Some(suspect) => suspect.probability += explanation.weight,
                    None => suspects.push(Suspect {
                        kind: *kind,
                        probability: explanation.weight,
                        ohms: self.fault_ohms(*kind, explanation),
                    }),
                }
            }
        }
        suspects.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        let nothing_bad = explanations
            .iter()
            .filter(|own| own.faults.is_empty())
            .map(|own| own.weight)
            .sum::<f64>();
        let bad = |id: JointId| {
            suspects
                .iter()
                .find(|own| own.kind == SuspectKind::Joint(id))
                .map_or(0.0, |own| own.probability)
        };
        let joints = (0..vehicle.joints.len())
            .map(|at| mixed(&self.views(JointId::at(at), &explanations), bad(JointId::at(at))))
            .collect();
        let take_again = wrong_readings(observations, &explanations);
        let alike = |a: &Observation, b: &Observation| {
            a.number != b.number && a.state == b.state && a.measured == b.measured
        };
        let repeated = observations
            .iter()
            .filter(|own| observations.iter().any(|other| alike(own, other)))
            .map(|own| own.number)
            .collect();
        let best = explanations.iter().find(|own| own.fit.is_some() && own.without.is_none());
        let residuals = best
            .and_then(|own| own.fit.as_ref().map(|fit| fit.foretold(&own.belief)))
            .unwrap_or_default();
        let expected = observations
            .iter()
            .enumerate()
            .map(|(at, observation)| {
                let now = best
                    .and_then(|own| own.fit.as_ref())
                    .map_or(f64::NAN, |fit| observation.value - fit.residuals[at]);
                (self.sound_value(observation).unwrap_or(f64::NAN), now)
            })
            .collect();
        let sets = inseparable(vehicle, &suspects, observations);
        let agreement =
            Agreement::new(vehicle, self.forward.layout, observations, &explanations, &self.sound);
        Diagnosis {
            suspects,
            sets,
            joints,
            take_again,
            repeated,
            nothing_bad,
            residuals,
            expected,
            agreement,
            explanations,
        }
    }

    /// What a sound vehicle would show.
    pub(crate) fn sound_value(&self, observation: &Observation) -> Option<f64> {
        // The sound vehicle is that of the file: its unknowns are all at their middle.
        let point = self.forward.points.get(observation.state.index())?.as_ref()?;
        let vehicle = self.vehicle();
        let probe = |probe: model::Probe| -> Option<f64> {
            match probe {
                model::Probe::Point(point_id) => point.point(point_id).map(|volts| volts.0),
                model::Probe::Lug(id) => {
                    let joint = vehicle.joint(id);
                    let lost = point.piece(vehicle, Piece::Joint(id)).volts.0;
                    let at = point.point(joint.point)?.0;
                    Some(match joint.of {
                        model::JointOf::To(_) => at + lost,
                        model::JointOf::From(_) => at - lost,
                        model::JointOf::LoadCase(_) | model::JointOf::SourceCase(_) => at + lost,
                    })
                }
            }
        };
        match observation.measured {
            model::Measured::Volts { high, low } => Some(probe(high)? - probe(low)?),
            model::Measured::Amps { conductor } => {
                Some(point.piece(vehicle, Piece::Conductor(conductor)).amps.0)
            }
            _ => None,
        }
    }

    fn fault_ohms(&self, kind: SuspectKind, explanation: &Explanation) -> Option<Ohms> {
        let vehicle = self.vehicle();
        let piece = match kind {
            SuspectKind::Joint(id) => Piece::Joint(id),
            SuspectKind::Conductor(id) | SuspectKind::Open(id) => Piece::Conductor(id),
            SuspectKind::Inline(id) => Piece::Inline(id),
            SuspectKind::ExtraPath { .. } => {
                let path = *explanation.belief.present.first()?;
                let at = self.forward.layout.extra(path);
                return explanation.fit.as_ref().map(|fit| Ohms(fit.unknowns[at].exp()));
            }
            _ => return None,
        };
        let fit = explanation.fit.as_ref()?;
        Some(vehicle.piece_resistance(piece) * fit.unknowns[vehicle.piece_slot(piece)].exp())
    }

    /// How each explanation sees a joint.
    fn views(&self, id: JointId, explanations: &[Explanation]) -> Vec<View> {
        let vehicle = self.vehicle();
        let at = vehicle.piece_slot(Piece::Joint(id));
        let written = vehicle.joint(id).resistance.0.ln();
        let mut views: Vec<View> = explanations
            .iter()
            .take(12)
            .map(|own| match &own.fit {
                Some(fit) => View {
                    weight: own.weight,
                    middle: written + fit.unknowns[at],
                    spread: fit.spread_of(at, own.belief.spread[at]),
                },
                None => View {
                    weight: own.weight,
                    middle: written + own.belief.mean[at],
                    spread: own.belief.spread[at],
                },
            })
            .filter(|view| view.weight > 1e-6)
            .collect();
        if views.is_empty() {
            views.push(View { weight: 1.0, middle: written, spread: self.sound.spread[at] });
        }
        views
    }
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
    wrong.sort_by(|a, b| b.1.total_cmp(&a.1));
    wrong
}

/// Joints among the suspects that only a probe on a lug could tell apart, and none has been there.
fn inseparable(
    vehicle: &Vehicle,
    suspects: &[Suspect],
    observations: &[Observation],
) -> Vec<Vec<JointId>> {
    let touched = |id: JointId| {
        observations.iter().any(|observation| match observation.measured {
            model::Measured::Volts { high, low } => [high, low].contains(&model::Probe::Lug(id)),
            _ => false,
        })
    };
    let mut sets: Vec<Vec<JointId>> = Vec::new();
    for suspect in suspects.iter().filter(|suspect| suspect.probability > 0.01) {
        let SuspectKind::Joint(id) = suspect.kind else { continue };
        if sets.iter().flatten().any(|own| *own == id) {
            continue;
        }
        let mut set = vec![id];
        if let Some(other) =
            same_conductor(vehicle, id).filter(|other| !touched(id) && !touched(*other))
        {
            set.push(other);
        }
        sets.push(set);
    }
    sets
}
