//! What opening or wearing one branch, or two, does to all others, without solving again.
//!
//! The network is linearised at an operating point: sources are the straight lines that touch their
//! laws, loads the resistances that draw what they draw. With `c_b` the volts that one ampere through
//! branch b causes, a change Δg of its conductance acts like a current κ against it (Woodbury 1950):
//!
//! ```text
//! κ_a + Δg_a Σ_b (c_b across a) κ_b = Δg_a V_a        v = v₀ − Σ_b c_b κ_b
//! ```
//!
//! Exact for that linear network, whatever the change. A load as a resistance gets nothing when its
//! lead opens, which a tangent of constant current would not allow; what its curvature does besides
//! is left to a full solution.

use model::{BatteryId, LoadId, Piece, RegulatedId};
use units::{Amperes, Ratio, Siemens, Volts};

use crate::budget::{Direction, LoadsAnswer};
use crate::law::LEAK_SIEMENS;
use crate::network::Network;
use crate::operating_point::OperatingPoint;
use crate::wiring::Device;

/// Opening a branch leaves a part behind that hangs on less than this share of the branch itself:
/// the equations then have no digits left.
const LEAST_REMAINDER: f64 = 1e-11;

/// A branch of the network: one piece, or a conductor with its joints.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BranchId(pub(crate) u32);

/// A network ready for outages of its branches.
#[derive(Debug, Clone)]
pub struct Outages {
    /// Ends of everything looked at: branches first, then devices.
    elements: usize,
    branches: usize,
    loads: usize,
    /// Where batteries begin among the elements; regulated sources follow them.
    batteries: usize,
    n_batteries: usize,
    siemens: Vec<f64>,
    /// Volts across each element before.
    before: Vec<f64>,
    /// Volts across each element for an ampere through a branch: branch after branch.
    answers: Vec<f64>,
    /// Slope of each battery and regulated source, and what it delivers before.
    sources: Vec<(f64, f64)>,
    of_slot: Vec<Option<BranchId>>,
}

/// A change of a branch's conductance: the share of it that is left, zero when it opens.
pub type Change = (BranchId, Ratio);

/// What a change of one or two branches does: currents that stand for the change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shift {
    parts: [(usize, f64, f64); 2],
    count: usize,
}

impl Network<'_> {
    /// The branch that holds a piece, if the piece is not a diode.
    #[must_use]
    pub fn branch(&self, piece: Piece) -> Option<BranchId> {
        self.wiring.branch_of(piece).and_then(|at| u32::try_from(at).ok()).map(BranchId)
    }

    /// Prepares all outages at an operating point; nothing when the linear network has no solution.
    #[must_use]
    pub fn outages(&self, point: &OperatingPoint) -> Option<Outages> {
        let vehicle = self.vehicle();
        let circuit = &self.wiring.circuit;
        let secants = (self.wiring.devices.iter().zip(&point.laws).zip(&point.across))
            .map(|((device, law), volts)| match device {
                Device::Load(_) | Device::Input(_) if law.connects() => {
                    Some((law.amperes(*volts) / volts).max(LEAK_SIEMENS))
                }
                _ => None,
            })
            .collect::<Vec<_>>();
        let mut linear = self.answering_with(
            &point.siemens,
            &point.laws,
            &point.across,
            &secants,
            LoadsAnswer::Yes,
            Direction::Forward,
        )?;
        let ends: Vec<(usize, usize)> =
            circuit.resistors.iter().chain(&circuit.devices).copied().collect();
        let (branches, elements) = (circuit.resistors.len(), ends.len());
        let mut answers = vec![0.0; branches * elements];
        for (row, &(a, b)) in answers.chunks_exact_mut(elements).zip(&circuit.resistors) {
            // A branch whose ends hang on separate parts carries nothing, and opening it does nothing.
            let Some(response) = linear.one_ampere(a, b) else { continue };
            for (answer, &(plus, minus)) in row.iter_mut().zip(&ends) {
                *answer = response.volts[plus] - response.volts[minus];
            }
        }
        let before = ends.iter().map(|&(a, b)| point.volts[a] - point.volts[b]).collect();
        let n_batteries = vehicle.batteries.len();
        let sources =
            point.laws.iter().zip(&point.across).take(n_batteries + vehicle.regulated.len());
        let sources =
            sources.map(|(law, volts)| (law.tangent(*volts).slope, -law.amperes(*volts))).collect();
        let loads = branches
            + self.wiring.device(Device::Load(LoadId::at(0))).unwrap_or(circuit.devices.len());
        Some(Outages {
            elements,
            branches,
            loads,
            batteries: branches,
            n_batteries,
            siemens: point.siemens.clone(),
            before,
            answers,
            sources,
            of_slot: vehicle.pieces().map(|piece| self.branch(piece)).collect(),
        })
    }
}

impl Outages {
    /// The branch of the piece in this place of [`model::Vehicle::pieces`].
    #[must_use]
    pub fn branch_in_slot(&self, slot: usize) -> Option<BranchId> {
        self.of_slot.get(slot).copied().flatten()
    }

    /// What opening or wearing one branch does. Nothing when what is left behind hangs on nothing:
    /// then a full solution must tell.
    #[must_use]
    pub fn one(&self, change: Change) -> Option<Shift> {
        let (a, more) = self.part(change);
        let divisor = 1.0 + more * self.answer(a, a);
        (divisor > LEAST_REMAINDER).then(|| Shift {
            parts: [(a, more * self.before[a] / divisor, more), (a, 0.0, 0.0)],
            count: 1,
        })
    }

    /// What changing two different branches together does; see [`one`](Self::one).
    #[must_use]
    pub fn two(&self, first: Change, second: Change) -> Option<Shift> {
        let ((a, da), (b, db)) = (self.part(first), self.part(second));
        let (aa, ab) = (1.0 + da * self.answer(a, a), da * self.answer(b, a));
        let (ba, bb) = (db * self.answer(a, b), 1.0 + db * self.answer(b, b));
        let determinant = aa * bb - ab * ba;
        let (va, vb) = (da * self.before[a], db * self.before[b]);
        // The first two are what each alone leaves; both must leave something together too.
        (aa > LEAST_REMAINDER && bb > LEAST_REMAINDER && determinant > LEAST_REMAINDER * aa.min(bb))
            .then(|| Shift {
                parts: [
                    (a, (va * bb - ab * vb) / determinant, da),
                    (b, (aa * vb - ba * va) / determinant, db),
                ],
                count: 2,
            })
    }

    /// Conductance of a branch before, its joints included; zero where it is open.
    #[must_use]
    pub fn siemens(&self, branch: BranchId) -> Siemens {
        Siemens(self.siemens[branch.0 as usize])
    }

    /// Current of a branch before.
    #[must_use]
    pub fn amps_before(&self, branch: BranchId) -> Amperes {
        let at = branch.0 as usize;
        Amperes(self.siemens[at] * self.before[at])
    }

    /// Current of a branch after a change; of a changed branch itself too.
    #[must_use]
    pub fn amps(&self, shift: &Shift, branch: BranchId) -> Amperes {
        let at = branch.0 as usize;
        let own = shift.parts[..shift.count].iter().find(|(changed, ..)| *changed == at);
        let more = own.map_or(0.0, |(.., more)| *more);
        Amperes((self.siemens[at] + more) * self.volts(shift, at))
    }

    /// Volts across a load after a change.
    #[must_use]
    pub fn load_volts(&self, shift: &Shift, load: LoadId) -> Volts {
        Volts(self.volts(shift, self.loads + load.index()))
    }

    /// Current of an alternator, charger or converter after a change, were it not limited.
    #[must_use]
    pub fn source_amps(&self, shift: &Shift, source: RegulatedId) -> Amperes {
        self.delivered(shift, self.n_batteries + source.index())
    }

    /// What a battery delivers after a change, negative while it is charged.
    #[must_use]
    pub fn battery_amps(&self, shift: &Shift, battery: BatteryId) -> Amperes {
        self.delivered(shift, battery.index())
    }

    fn delivered(&self, shift: &Shift, source: usize) -> Amperes {
        let at = self.batteries + source;
        let (slope, before) = self.sources[source];
        Amperes(before - slope * (self.volts(shift, at) - self.before[at]))
    }

    fn volts(&self, shift: &Shift, element: usize) -> f64 {
        let mut volts = self.before[element];
        for &(branch, against, _) in &shift.parts[..shift.count] {
            volts -= against * self.answers[branch * self.elements + element];
        }
        volts
    }

    fn answer(&self, branch: usize, element: usize) -> f64 {
        self.answers[branch * self.elements + element]
    }

    fn part(&self, (branch, left): Change) -> (usize, f64) {
        let at = branch.0 as usize;
        debug_assert!(at < self.branches);
        (at, self.siemens[at] * (left.0 - 1.0))
    }
}

#[cfg(test)]
mod laws;
