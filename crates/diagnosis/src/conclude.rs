//! From weighed explanations to suspects, beliefs about joints, and readings to take again.

use model::{JointId, Piece, Vehicle};
use units::Ohms;

use crate::agreement::Agreement;
use crate::belief::{View, mixed};
use crate::diagnose::{Diagnosis, Explanation, Suspect, SuspectKind};
use crate::hypothesis::same_conductor;
use crate::observation::{Observation, alike as same_thing};
use crate::paths::same_bodies;
use crate::session::Session;

/// Suspects below this probability are in no set.
const WORTH_NAMING: f64 = 0.01;
/// Standard deviations by which a joint e times as bad must move the readings to be seen in them at
/// all. Small, because beside a bad joint a clean one moves them little before it is bad itself.
const MOVES_NOTHING: f64 = 1e-5;
/// Suspects from this probability on need no order among them.
const SURE: f64 = 0.9;
/// Cosine of two joints' effects on the readings from which on they are one.
const ALIKE: f64 = 0.9999;

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
        // What the readings found goes before what the file knew.
        suspects.sort_by_key(|own| match own.probability {
            sure if sure < SURE => 2,
            _ if self.as_filed.contains(&own.kind) => 1,
            _ => 0,
        });
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
            .map(JointId::at)
            .map(|id| {
                let slot = vehicle.piece_slot(Piece::Joint(id));
                mixed(&self.views(slot, &explanations), vehicle.joint(id).resistance, bad(id))
            })
            .collect();
        let take_again = wrong_readings(observations, &explanations);
        let alike = |a: &Observation, b: &Observation| {
            a.number != b.number
                && a.state == b.state
                && same_thing(a.measured, b.measured).is_some()
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
        let sets = self.inseparable(&suspects, observations, best);
        let agreement = Agreement::new(
            vehicle,
            self.forward.layout,
            observations,
            &explanations,
            &self.sound,
            &self.as_filed,
        );
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

    /// Joints among the suspects that these readings cannot tell apart: more of the one would move
    /// every reading in the same proportion as more of the other.
    fn inseparable(
        &self,
        suspects: &[Suspect],
        observations: &[Observation],
        best: Option<&Explanation>,
    ) -> Vec<Vec<JointId>> {
        let vehicle = self.vehicle();
        let fit = best.and_then(|own| own.fit.as_ref());
        let direction = |id: JointId| -> Vec<f64> {
            let at = vehicle.piece_slot(Piece::Joint(id));
            let column = fit.map_or_else(Vec::new, |fit| fit.column(at, observations));
            let length = column.iter().map(|x| x * x).sum::<f64>().sqrt();
            if length < MOVES_NOTHING {
                Vec::new()
            } else {
                column.iter().map(|x| x / length).collect()
            }
        };
        let mut sets: Vec<(Vec<f64>, Vec<JointId>)> = Vec::new();
        for suspect in suspects.iter().filter(|suspect| suspect.probability > WORTH_NAMING) {
            let SuspectKind::Joint(id) = suspect.kind else { continue };
            let own = direction(id);
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

    /// How each explanation sees an unknown.
    pub(crate) fn views(&self, at: usize, explanations: &[Explanation]) -> Vec<View> {
        let mut views: Vec<View> = explanations
            .iter()
            .take(12)
            .map(|own| match &own.fit {
                Some(fit) => View {
                    weight: own.weight,
                    middle: fit.unknowns[at],
                    spread: fit.spread_of(at, own.belief.spread[at]),
                },
                None => View {
                    weight: own.weight,
                    middle: own.belief.mean[at],
                    spread: own.belief.spread[at],
                },
            })
            .filter(|view| view.weight > 1e-6)
            .collect();
        if views.is_empty() {
            views.push(View {
                weight: 1.0,
                middle: self.sound.mean[at],
                spread: self.sound.spread[at],
            });
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
