//! A vehicle that is thought to differ from its file: what a meter would show then, and how that
//! would change with everything unknown.
//!
//! Estimation asks this thousands of times, so the layout is shared and each trial begins from the
//! last one.

mod meter;

use model::{Measured, Piece, PointId, StateId};
use units::Volts;

use crate::circuit::Ending;
use crate::conditions::Conditions;
use crate::deviations::Deviations;
use crate::law::Law;
use crate::network::Network;
use crate::operating_point::OperatingPoint;
pub use meter::Gradient;

/// A state solved under deviations.
#[derive(Debug, Clone)]
pub struct Trial {
    /// The state.
    pub state: StateId,
    conditions: Conditions,
    siemens: Vec<f64>,
    laws: Vec<Law>,
    volts: Vec<f64>,
    across: Vec<f64>,
}

/// Rounds of settling remote sensing, converters and equalisers.
const MOST_ROUNDS: usize = 60;

impl Network<'_> {
    /// Solves a state again under deviations, from a solved point of the same state.
    ///
    /// Temperatures stay those of `base`; which loads switch themselves off is found anew, so that
    /// the answer does not depend on where the search began. Nothing when no operating point is
    /// found.
    #[must_use]
    pub fn trial(
        &mut self,
        base: &OperatingPoint,
        deviations: &Deviations,
        start: Option<&Trial>,
    ) -> Option<Trial> {
        let mut conditions = base.conditions.under(deviations.clone());
        conditions.dropped.fill(false);
        for (held, more) in conditions.held_volts.iter_mut().zip(&deviations.held) {
            *held += more.0;
        }
        if let Some(start) = start {
            let before = &start.conditions.deviations.held;
            let known = start.conditions.held_volts.iter().zip(before).zip(&deviations.held);
            conditions.held_volts =
                known.map(|((held, before), now)| held - before.0 + now.0).collect();
            conditions.input_watts.clone_from(&start.conditions.input_watts);
            conditions.output_watts.clone_from(&start.conditions.output_watts);
        }
        let mut across = start.map_or_else(|| base.across.clone(), |start| start.across.clone());
        for _ in 0..MOST_ROUNDS + self.vehicle().loads.len() {
            let numbers = conditions.numbers(&self.wiring);
            self.wiring.circuit.prepare(&numbers, &mut self.work);
            let solution = self.wiring.circuit.solve(&numbers.laws, &across, &mut self.work);
            if solution.ending != Ending::Found {
                return None;
            }
            across = self.wiring.across(&solution.volts);
            if !self.settle_sources(&numbers, &solution, &mut conditions)
                && !self.drop_loads(&solution, &mut conditions)
            {
                return Some(Trial {
                    state: base.state,
                    conditions,
                    siemens: numbers.siemens,
                    laws: numbers.laws,
                    volts: solution.volts,
                    across,
                });
            }
        }
        None
    }

    /// What a meter would show. Nothing for what is not a voltage or a current.
    #[must_use]
    pub fn trial_value(&self, trial: &Trial, measured: Measured) -> Option<f64> {
        let functional = self.functional(trial, measured)?;
        Some(functional.weights.iter().map(|(node, weight)| weight * trial.volts[*node]).sum())
    }

    /// Voltage across each load.
    #[must_use]
    pub fn trial_load_volts(&self, trial: &Trial) -> Vec<Volts> {
        self.vehicle()
            .loads
            .iter()
            .map(|load| {
                Volts(trial.volts[load.positive.index()] - trial.volts[load.negative.index()])
            })
            .collect()
    }

    /// Volts of a point against the zero of voltages.
    #[must_use]
    pub fn trial_point(&self, trial: &Trial, point: PointId) -> Volts {
        Volts(trial.volts[point.index()])
    }

    /// Current through a piece, signed like [`crate::PiecePoint::amps`]; zero for a diode.
    #[must_use]
    pub fn trial_amps(&self, trial: &Trial, piece: Piece) -> units::Amperes {
        units::Amperes(self.wiring.branch_of(piece).map_or(0.0, |at| self.branch_amps(trial, at)))
    }

    fn branch_amps(&self, trial: &Trial, branch: usize) -> f64 {
        let ends = &self.wiring.branches[branch];
        trial.siemens[branch] * (trial.volts[ends.from] - trial.volts[ends.to])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{JointId, LoadId, Probe, Vehicle};
    use proptest::prelude::*;

    const FILE: &str = include_str!("../../../examples/rescue-ambulance.toml");

    /// Every gradient is what a small step of the whole network shows.
    fn check(vehicle: &Vehicle, state: &str, measured: Measured, slot: usize, load: usize) {
        let state = vehicle.state_named(state).expect("in the file");
        let mut network = Network::with_extra_paths(vehicle, &[]);
        let base = network.operating_point(state);
        let mut deviations = Deviations::none(vehicle, 0);
        let trial = network.trial(&base, &deviations, None).expect("a point");
        let gradient =
            network.trial_gradients(&trial, &[measured]).remove(0).expect("a voltage or current");
        let value = network.trial_value(&trial, measured).expect("a value");
        let step = 1e-4;
        let mut moved = |change: &dyn Fn(&mut Deviations)| {
            let before = deviations.clone();
            change(&mut deviations);
            let trial = network.trial(&base, &deviations, Some(&trial)).expect("a point");
            deviations = before;
            (network.trial_value(&trial, measured).expect("a value") - value) / step
        };
        let near = |found: f64, expected: f64, what: &str| {
            assert!(
                (found - expected).abs() < 1e-3 * expected.abs() + 2e-4,
                "{what}: {found} {expected}"
            );
        };
        near(gradient.pieces[slot], moved(&|d| d.pieces[slot] += step), "piece");
        near(gradient.draws[load], moved(&|d| d.draws[load] += step), "draw");
        near(gradient.emf[0], moved(&|d| d.emf[0].0 += step), "emf");
        near(gradient.batteries[0], moved(&|d| d.batteries[0] += step), "battery");
        near(gradient.held[0], moved(&|d| d.held[0].0 += step), "held");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        #[test]
        fn a_gradient_is_what_a_small_step_shows(
            a in any::<proptest::sample::Index>(),
            b in any::<proptest::sample::Index>(),
            piece in any::<proptest::sample::Index>(),
            kind in 0_u8..4,
            which in 0_u8..3,
        ) {
            let cranking = which == 0;
            let vehicle = file::read(FILE.as_bytes()).vehicle.expect("the example is sound");
            let joint = vehicle.conductors[b.index(6)].to;
            let inside = (kind == 3).then(|| vehicle.joint(joint).of.conductor()).flatten();
            let vehicle = vehicle.told_apart(inside).unwrap_or(vehicle);
            let on = vehicle.load_named(if cranking { "starter" } else { "engine-module" }).expect("in the file");
            let point = |index: &proptest::sample::Index| {
                // Points of the block and body, which hang together in every state.
                let metal: Vec<PointId> = vehicle.structures.iter().take(3).flat_map(|s| s.points.clone()).collect();
                metal[index.index(metal.len())]
            };
            let measured = match kind {
                0 => Measured::Volts { high: Probe::Point(point(&a)), low: Probe::Point(vehicle.batteries[0].negative) },
                1 => Measured::Volts { high: Probe::Lug(joint), low: Probe::Point(vehicle.batteries[0].negative) },
                2 => Measured::Amps { conductor: model::ConductorId::at(a.index(8)) },
                _ => Measured::Volts { high: Probe::Strand(joint), low: Probe::Point(point(&a)) },
            };
            let slot = piece.index(vehicle.pieces().count());
            check(&vehicle, ["cranking", "key-on", "running"][usize::from(which)], measured, slot, LoadId::index(on));
            let _ = JointId(0);
        }
    }
}
