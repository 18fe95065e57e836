//! What a meter would show in a trial, as weights of its points' volts, and how that changes with
//! everything unknown.

use model::{Behind, Measured, Piece, Probe, Vehicle};
use physics::source::Battery;

use super::Trial;
use crate::budget::{Direction, LoadsAnswer};
use crate::circuit::{Linear, Response};
use crate::law::Law;
use crate::network::Network;
use crate::wiring::Device;

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

impl Gradient {
    /// Of a value that nothing changes, with so many extra paths.
    fn zero(vehicle: &Vehicle, extra: usize) -> Self {
        Self {
            pieces: vec![0.0; vehicle.pieces().count()],
            draws: vec![0.0; vehicle.loads.len()],
            emf: vec![0.0; vehicle.batteries.len()],
            batteries: vec![0.0; vehicle.batteries.len()],
            held: vec![0.0; vehicle.regulated.len()],
            extra: vec![0.0; extra],
        }
    }
}

/// A measured value as a weighted sum of point voltages, and what it has besides.
pub(super) struct Functional {
    pub weights: Vec<(usize, f64)>,
    /// Direct change with the logarithm of a piece's resistance, points held.
    direct: Vec<(Piece, f64)>,
}

impl Network<'_> {
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
        let mut gradient = Gradient::zero(vehicle, trial.conditions.deviations.extra.len());
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
        for at in 0..self.wiring.devices.len() {
            self.add_device(trial, at, &answer, &held, &mut gradient);
        }
        Some(gradient)
    }

    /// Adds what a device's unknowns change, from the answer of the points and of what sources hold.
    fn add_device(
        &self,
        trial: &Trial,
        at: usize,
        answer: &[f64],
        held: &[(usize, f64)],
        gradient: &mut Gradient,
    ) {
        let (plus, minus) = self.wiring.circuit.devices[at];
        let lift = answer[plus] - answer[minus];
        let (law, across) = (trial.laws[at], trial.across[at]);
        match self.wiring.devices[at] {
            Device::Load(id) => gradient.draws[id.index()] -= law.amperes(across) * lift,
            Device::Battery(id) => {
                let Law::Battery(Battery { at_rest, .. }) = law else { return };
                gradient.emf[id.index()] += lift * law.tangent(across).slope;
                if across < at_rest.0 {
                    // Resistance and exchange current go together: the current at a voltage is as the one over
                    // the other's change.
                    gradient.batteries[id.index()] += law.amperes(across) * lift;
                }
            }
            Device::Regulated(id) => {
                // Where it senses elsewhere, the multiplier of what it holds is the slope.
                let slope = law.tangent(across).slope;
                gradient.held[id.index()] += match held.iter().find(|(own, _)| *own == at) {
                    Some((_, more)) => -more,
                    None if slope > 1.0 => lift * slope,
                    None => 0.0,
                };
            }
            Device::Input(_) | Device::Diode(_) => {}
        }
    }

    pub(super) fn functional(&self, trial: &Trial, measured: Measured) -> Option<Functional> {
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

    /// Adds `weight` times the voltage of a probe: that of its point, less what the joints between them
    /// lose when the probe is on the lug or the strand behind it.
    fn add_probe(&self, trial: &Trial, probe: Probe, weight: f64, functional: &mut Functional) {
        let Behind { point, joints, passed } = self.vehicle().behind(probe);
        functional.weights.push((point.index(), weight));
        let weight = if passed { -weight } else { weight };
        for piece in joints.into_iter().flatten().map(Piece::Joint) {
            let Some(at) = self.wiring.branch_of(piece) else { return };
            let ohms = trial.conditions.ohms(self.vehicle(), piece).0;
            self.add_current(trial, at, weight * ohms, functional);
            let amps = self.branch_amps(trial, at);
            functional.direct.push((piece, weight * ohms * amps));
        }
    }
}
