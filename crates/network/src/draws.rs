//! Many draws of all resistances at once, for estimation: eight networks side by side.
//!
//! The network is linearised at an operating point: sources and loads keep the straight lines that
//! touch their laws there, resistances take the values drawn.

use sparse::{LANES, Lanes, LanesWork};

use crate::network::Network;
use crate::operating_point::OperatingPoint;

/// A state of a vehicle ready for many draws.
#[derive(Debug, Clone)]
pub struct Draws {
    lanes: Lanes,
    siemens: Vec<[f64; LANES]>,
    branches: usize,
    injection: Vec<(usize, f64)>,
    anchors: [(usize, f64); 1],
}

impl Network<'_> {
    /// Prepares draws around an operating point; nothing for networks of tens of thousands of
    /// points, where the elimination is not written out.
    #[must_use]
    pub fn draws(&self, point: &OperatingPoint) -> Option<Draws> {
        let circuit = &self.wiring.circuit;
        let lanes = Lanes::new(&circuit.pattern)?;
        let mut siemens: Vec<[f64; LANES]> = point.siemens.iter().map(|g| [*g; LANES]).collect();
        let mut injection = Vec::new();
        for (at, law) in point.laws.iter().enumerate() {
            let tangent = law.tangent(point.across[at]);
            siemens.push([tangent.slope; LANES]);
            let (plus, minus) = circuit.devices[at];
            injection.push((plus, -tangent.rest));
            injection.push((minus, tangent.rest));
        }
        // What an open switch cuts off hangs on a leak, so that every draw is regular.
        for lane in siemens.iter_mut().take(circuit.resistors.len()).filter(|lane| lane[0] <= 0.0) {
            *lane = [crate::law::LEAK_SIEMENS * 1e3; LANES];
        }
        Some(Draws {
            lanes,
            siemens,
            branches: circuit.resistors.len(),
            injection,
            anchors: [(circuit.reference, 10.0)],
        })
    }
}

impl Draws {
    /// Number of branches whose resistance is drawn: one a conductor with its joints, one a stretch,
    /// one an incidental path, one a fuse or switch.
    #[must_use]
    pub fn branches(&self) -> usize {
        self.branches
    }

    /// Memory for solving; one for each thread.
    #[must_use]
    pub fn work(&self) -> (LanesWork, Vec<[f64; LANES]>) {
        (self.lanes.work(), self.siemens.clone())
    }

    /// Solves eight draws: `factor(branch, lane)` multiplies the branch's conductance.
    ///
    /// The volts of a point against the zero of voltages are then read with [`volts`](Self::volts).
    pub fn solve(
        &self,
        work: &mut (LanesWork, Vec<[f64; LANES]>),
        mut factor: impl FnMut(usize) -> [f64; LANES],
    ) {
        let (lanes, siemens) = work;
        for (branch, (drawn, base)) in
            siemens.iter_mut().zip(&self.siemens).take(self.branches).enumerate()
        {
            let factors = factor(branch);
            for ((drawn, base), factor) in drawn.iter_mut().zip(base).zip(factors) {
                *drawn = base * factor;
            }
        }
        self.lanes.solve(siemens, &self.anchors, &self.injection, lanes);
    }

    /// Volts of a point in each of the eight draws, after a solve.
    #[must_use]
    pub fn volts(
        &self,
        work: &(LanesWork, Vec<[f64; LANES]>),
        point: model::PointId,
    ) -> [f64; LANES] {
        let own = work.0.volts(&self.lanes, point.index());
        let zero = work.0.volts(&self.lanes, self.anchors[0].0);
        std::array::from_fn(|lane| own[lane] - zero[lane])
    }
}
