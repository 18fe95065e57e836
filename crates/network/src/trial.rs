//! A vehicle that is thought to differ from its file: what a meter would show then, and how that
//! would change with everything unknown.
//!
//! Estimation asks this thousands of times, so the layout is shared and each trial begins from the
//! last one.

use model::{JointOf, Measured, Piece, PointId, Probe, StateId, Vehicle};
use physics::source::Battery;
use units::{Ohms, Volts};

use crate::budget::{Direction, LoadsAnswer};
use crate::circuit::{Ending, Linear, Response};
use crate::conditions::Conditions;
use crate::law::Law;
use crate::network::Network;
use crate::operating_point::OperatingPoint;
use crate::wiring::Device;

/// How a vehicle is thought to differ from its file. Empty lists differ in nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Deviations {
    /// Natural logarithm of each piece's resistance over that of the file, in the order of the pieces.
    pub pieces: Vec<f64>,
    /// Natural logarithm of each load's current over that of the file.
    pub draws: Vec<f64>,
    /// What each battery's open-circuit voltage has more than the file says.
    pub emf: Vec<Volts>,
    /// Natural logarithm of each battery's resistance over that of the file.
    pub batteries: Vec<f64>,
    /// What each regulated source holds more than the file says.
    pub held: Vec<Volts>,
    /// Resistance of each path that the file does not show; nothing where there is none.
    pub extra: Vec<Option<Ohms>>,
}

impl Deviations {
    /// No deviation, with a place for each.
    #[must_use]
    pub fn none(vehicle: &Vehicle, extra: usize) -> Self {
        Self {
            pieces: vec![0.0; vehicle.pieces().count()],
            draws: vec![0.0; vehicle.loads.len()],
            emf: vec![Volts::ZERO; vehicle.batteries.len()],
            batteries: vec![0.0; vehicle.batteries.len()],
            held: vec![Volts::ZERO; vehicle.regulated.len()],
            extra: vec![None; extra],
        }
    }
}

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

/// How a measured value changes with everything unknown: volts or amperes for each unit of a
/// logarithm, and for each volt of a battery's voltage.
#[derive(Debug, Clone, PartialEq)]
pub struct Gradient {
    /// For the logarithm of each piece's resistance.
    pub pieces: Vec<f64>,
    /// For the logarithm of each load's current.
    pub draws: Vec<f64>,
    /// For each volt of a battery's open-circuit voltage.
    pub emf: Vec<f64>,
    /// For the logarithm of each battery's resistance.
    pub batteries: Vec<f64>,
    /// For each volt that a regulated source holds more.
    pub held: Vec<f64>,
    /// For the logarithm of each extra path's resistance; zero where there is none.
    pub extra: Vec<f64>,
}

/// A measured value as a weighted sum of point voltages, and what it has besides.
struct Functional {
    weights: Vec<(usize, f64)>,
    /// Direct change with the logarithm of a piece's resistance, points held.
    direct: Vec<(Piece, f64)>,
}

/// Rounds of settling remote sensing and converters.
const MOST_ROUNDS: usize = 20;

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

    /// Gradients of many measured values at one trial; nothing for what is not a voltage or current.
    #[must_use]
    pub fn trial_gradients(&self, trial: &Trial, measured: &[Measured]) -> Vec<Option<Gradient>> {
        let Some(mut adjoint) = self.answering_at(
            &trial.siemens,
            &trial.laws,
            &trial.across,
            LoadsAnswer::Yes,
            Direction::Adjoint,
        ) else {
            return vec![None; measured.len()];
        };
        measured.iter().map(|measured| self.gradient(trial, &mut adjoint, *measured)).collect()
    }

    fn gradient(
        &self,
        trial: &Trial,
        adjoint: &mut Linear<'_>,
        measured: Measured,
    ) -> Option<Gradient> {
        let vehicle = self.vehicle();
        let functional = self.functional(trial, measured)?;
        let Response { volts: answer, held } = adjoint.respond(&functional.weights);
        let mut gradient = Gradient {
            pieces: vec![0.0; vehicle.pieces().count()],
            draws: vec![0.0; vehicle.loads.len()],
            emf: vec![0.0; vehicle.batteries.len()],
            batteries: vec![0.0; vehicle.batteries.len()],
            held: vec![0.0; vehicle.regulated.len()],
            extra: vec![0.0; trial.conditions.deviations.extra.len()],
        };
        for (at, (branch, siemens)) in self.wiring.branches.iter().zip(&trial.siemens).enumerate() {
            let slope = self.branch_amps(trial, at) * (answer[branch.from] - answer[branch.to]);
            if slope == 0.0 {
                continue;
            }
            if let Some(extra) = branch.extra.and_then(|extra| gradient.extra.get_mut(extra)) {
                *extra += slope;
            }
            for piece in branch.pieces() {
                let part = siemens * trial.conditions.ohms(vehicle, piece).0;
                gradient.pieces[vehicle.piece_slot(piece)] += slope * part;
            }
        }
        for (piece, direct) in functional.direct {
            gradient.pieces[vehicle.piece_slot(piece)] += direct;
        }
        for (at, device) in self.wiring.devices.iter().enumerate() {
            let (plus, minus) = self.wiring.circuit.devices[at];
            let lift = answer[plus] - answer[minus];
            let law = trial.laws[at];
            let amps = law.amperes(trial.across[at]);
            match device {
                Device::Load(id) => gradient.draws[id.index()] -= amps * lift,
                Device::Battery(id) => {
                    if let Law::Battery(Battery { at_rest, discharging, .. }) = law {
                        gradient.emf[id.index()] += lift * law.tangent(trial.across[at]).slope;
                        if trial.across[at] < at_rest.0 {
                            gradient.batteries[id.index()] +=
                                (trial.across[at] - at_rest.0) / discharging.0 * lift;
                        }
                    }
                }
                Device::Regulated(id) => {
                    // Where it senses elsewhere, the multiplier of what it holds is the slope.
                    let slope = law.tangent(trial.across[at]).slope;
                    gradient.held[id.index()] += match held.iter().find(|(own, _)| *own == at) {
                        Some((_, more)) => -more,
                        None if slope > 1.0 => lift * slope,
                        None => 0.0,
                    };
                }
                Device::Input(_) | Device::Diode(_) => {}
            }
        }
        Some(gradient)
    }

    fn functional(&self, trial: &Trial, measured: Measured) -> Option<Functional> {
        let mut functional = Functional { weights: Vec::new(), direct: Vec::new() };
        match measured {
            Measured::Volts { high, low } => {
                self.add_probe(trial, high, 1.0, &mut functional);
                self.add_probe(trial, low, -1.0, &mut functional);
            }
            Measured::Amps { conductor } => {
                let at = self.wiring.branch_of(Piece::Conductor(conductor))?;
                self.add_current(trial, at, 1.0, &mut functional);
            }
            Measured::Ohms { .. } | Measured::JumpLead { .. } | Measured::Moved { .. } => {
                return None;
            }
        }
        Some(functional)
    }

    /// Adds `weight` times the current of a branch.
    fn add_current(&self, trial: &Trial, at: usize, weight: f64, functional: &mut Functional) {
        let (branch, siemens) = (&self.wiring.branches[at], trial.siemens[at]);
        functional
            .weights
            .extend([(branch.from, weight * siemens), (branch.to, -weight * siemens)]);
        let amps = self.branch_amps(trial, at);
        for piece in branch.pieces() {
            let ohms = trial.conditions.ohms(self.vehicle(), piece).0;
            functional.direct.push((piece, -weight * amps * siemens * ohms));
        }
    }

    /// Adds `weight` times the voltage of a probe: that of its point, less what its joint loses when
    /// the probe is on the lug.
    fn add_probe(&self, trial: &Trial, probe: Probe, weight: f64, functional: &mut Functional) {
        match probe {
            Probe::Point(point) => functional.weights.push((point.index(), weight)),
            Probe::Lug(id) => {
                let joint = self.vehicle().joint(id);
                // A case's own side of its joint is the device's terminal; a conductor's is its lug.
                let towards = match joint.of {
                    JointOf::From(_) | JointOf::LoadCase(_) | JointOf::SourceCase(_) => -1.0,
                    JointOf::To(_) => 1.0,
                };
                let Some(at) = self.wiring.branch_of(Piece::Joint(id)) else { return };
                let branch = &self.wiring.branches[at];
                if matches!(joint.of, JointOf::LoadCase(_) | JointOf::SourceCase(_)) {
                    functional.weights.push((branch.from, weight));
                    return;
                }
                functional.weights.push((joint.point.index(), weight));
                let ohms = trial.conditions.ohms(self.vehicle(), Piece::Joint(id)).0;
                self.add_current(trial, at, weight * towards * ohms, functional);
                functional.direct.push((
                    Piece::Joint(id),
                    weight * towards * ohms * self.branch_amps(trial, at),
                ));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{JointId, LoadId};
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
            kind in 0_u8..3,
            which in 0_u8..3,
        ) {
            let cranking = which == 0;
            let vehicle = file::read(FILE.as_bytes()).vehicle.expect("the example is sound");
            let on = vehicle.load_named(if cranking { "starter" } else { "engine-module" }).expect("in the file");
            let point = |index: &proptest::sample::Index| {
                // Points of the block and body, which hang together in every state.
                let metal: Vec<PointId> = vehicle.structures.iter().take(3).flat_map(|s| s.points.clone()).collect();
                metal[index.index(metal.len())]
            };
            let joint = vehicle.conductors[b.index(6)].to;
            let measured = match kind {
                0 => Measured::Volts { high: Probe::Point(point(&a)), low: Probe::Point(vehicle.batteries[0].negative) },
                1 => Measured::Volts { high: Probe::Lug(joint), low: Probe::Point(vehicle.batteries[0].negative) },
                _ => Measured::Amps { conductor: model::ConductorId::at(a.index(8)) },
            };
            let slot = piece.index(vehicle.pieces().count());
            check(&vehicle, ["cranking", "key-on", "running"][usize::from(which)], measured, slot, LoadId::index(on));
            let _ = JointId(0);
        }
    }
}
