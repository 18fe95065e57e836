//! A direct-current network of resistors and devices, and its operating point by Newton's method.
//!
//! Nodes are numbers; this file has never heard of a vehicle. Volts, amperes, siemens throughout.

use model::graph::Parts;
use sparse::{Factor, NotPositive, Pattern, Values};

use crate::law::{Law, Tangent};

/// Conductance that ties one node of every separate part to zero. No current flows through it,
/// because none leaves a part; it only makes the matrix regular.
const ANCHOR_SIEMENS: f64 = 10.0;

/// Newton steps after which the search gives up.
const MOST_STEPS: usize = 600;

/// A device's current counts as found when law and tangent agree this well: amperes, and share.
const CURRENT_TOLERANCE: (f64, f64) = (1e-9, 1e-12);

/// A diode that was taken as conducting has more than this slope, and carries less than this when
/// it need not have been.
const IDLE_SIEMENS: f64 = 1e-6;
const IDLE_AMPERES: f64 = 1e-7;

/// Share of a Newton step that is taken: corners of the laws can make whole steps go to and fro.
fn damping(step: usize) -> f64 {
    match step {
        0..=12 => 1.0,
        13..=40 | 161.. => 0.5,
        _ => 0.2,
    }
}

/// Which nodes are joined by what.
#[derive(Debug)]
pub(crate) struct Circuit {
    pub n: usize,
    pub resistors: Vec<(usize, usize)>,
    pub devices: Vec<(usize, usize)>,
    pub reference: usize,
    pub pattern: Pattern,
}

/// Numbers of a circuit: siemens of each resistor (zero when open) and law of each device.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Numbers {
    pub siemens: Vec<f64>,
    pub laws: Vec<Law>,
}

/// Memory that one solve leaves to the next.
#[derive(Debug)]
pub(crate) struct Workspace {
    factor: Factor,
    base: Values,
    matrix: Values,
    tangents: Vec<Tangent>,
    across: Vec<f64>,
    anchors: Vec<(usize, f64)>,
    volts: Vec<f64>,
    /// The last volts that were numbers.
    last: Vec<f64>,
}

/// How Newton's method ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Ending {
    /// Every law is met.
    Found,
    /// Steps ran out; the worst device misses its law by so many amperes.
    NotFound { device: usize, amperes: f64 },
}

/// An operating point of a circuit.
#[derive(Debug, Clone)]
pub(crate) struct Solution {
    pub volts: Vec<f64>,
    pub ending: Ending,
    pub steps: usize,
}

impl Circuit {
    pub(crate) fn new(
        n: usize,
        resistors: Vec<(usize, usize)>,
        devices: Vec<(usize, usize)>,
        reference: usize,
    ) -> Self {
        let all: Vec<(usize, usize)> = resistors.iter().chain(&devices).copied().collect();
        let pattern = Pattern::new(n, &all);
        Self { n, resistors, devices, reference, pattern }
    }

    pub(crate) fn workspace(&self) -> Workspace {
        let nothing = self.pattern.assemble(&vec![0.0; self.pattern.branches()], &[]);
        Workspace {
            factor: Factor::new(&self.pattern),
            base: nothing.clone(),
            matrix: nothing,
            tangents: vec![Tangent { slope: 0.0, rest: 0.0 }; self.devices.len()],
            across: vec![f64::NAN; self.devices.len()],
            anchors: Vec::new(),
            volts: vec![0.0; self.n],
            last: vec![0.0; self.n],
        }
    }

    /// One node of each part that hangs together through `joins`, the reference for its own part.
    fn anchors(
        &self,
        joins: impl Iterator<Item = (usize, usize)>,
        anchors: &mut Vec<(usize, f64)>,
    ) {
        let mut parts = Parts::new(self.n);
        for (a, b) in joins {
            parts.join(a, b);
        }
        anchors.clear();
        let home = if self.n > 0 { parts.root(self.reference) } else { 0 };
        for node in 0..self.n {
            if node == home {
                anchors.push((self.reference, ANCHOR_SIEMENS));
            } else if parts.root(node) == node {
                anchors.push((node, ANCHOR_SIEMENS));
            }
        }
    }

    /// Assembles what does not change between Newton steps: resistors and anchors.
    pub(crate) fn prepare(&self, numbers: &Numbers, work: &mut Workspace) {
        let resistors = self
            .resistors
            .iter()
            .zip(&numbers.siemens)
            .filter(|(_, g)| **g > 0.0)
            .map(|(ends, _)| *ends);
        let devices = self
            .devices
            .iter()
            .zip(&numbers.laws)
            .filter(|(_, law)| law.connects())
            .map(|(ends, _)| *ends);
        let mut anchors = std::mem::take(&mut work.anchors);
        self.anchors(resistors.chain(devices), &mut anchors);
        let mut siemens = numbers.siemens.clone();
        siemens.resize(self.pattern.branches(), 0.0);
        self.pattern.assemble_into(&siemens, &anchors, &mut work.base);
        work.anchors = anchors;
    }

    /// Finds the operating point, beginning from the voltages across devices in `start`.
    ///
    /// [`prepare`](Self::prepare) must have been called with the same resistors and with devices
    /// connected alike.
    pub(crate) fn solve(&self, laws: &[Law], start: &[f64], work: &mut Workspace) -> Solution {
        work.across.copy_from_slice(start);
        work.last.fill(0.0);
        let mut worst = (0, 0.0);
        let mut released = false;
        for step in 1..=MOST_STEPS {
            for (tangent, (law, v)) in work.tangents.iter_mut().zip(laws.iter().zip(&work.across)) {
                *tangent = law.tangent(*v);
            }
            if self.factor_at_tangents(work).is_err() {
                // The point is beyond what the network can stably feed: hold falling currents still for this step.
                for (tangent, v) in work.tangents.iter_mut().zip(&work.across) {
                    if tangent.slope < 0.0 {
                        *tangent = Tangent { slope: 0.0, rest: tangent.rest + tangent.slope * v };
                    }
                }
                if self.factor_at_tangents(work).is_err() {
                    self.hold_by_chords(laws, work);
                    if let Err(NotPositive { node }) = self.factor_at_tangents(work) {
                        return self.not_found(node, laws, step, work);
                    }
                }
            }
            self.solve_at_tangents(work);
            if work.volts.iter().any(|volts| !volts.is_finite()) {
                let Workspace { volts, last, .. } = work;
                volts.copy_from_slice(last);
                let (device, amperes) = worst;
                let ending = Ending::NotFound { device, amperes };
                return Solution { volts: self.against_reference(volts), ending, steps: step };
            }
            work.last.copy_from_slice(&work.volts);
            worst = self.step(laws, damping(step), work);
            if worst.1 <= 0.0 && !released {
                released = true;
                if self.release_idle(laws, work) {
                    continue;
                }
            }
            if worst.1 <= 0.0 {
                let volts = self.against_reference(&work.volts);
                return Solution { volts, ending: Ending::Found, steps: step };
            }
        }
        let ending = Ending::NotFound { device: worst.0, amperes: worst.1 };
        Solution { volts: self.against_reference(&work.volts), ending, steps: MOST_STEPS }
    }

    /// Looks at diodes again as blocking that were taken as conducting and carry nothing; true when
    /// there are any.
    ///
    /// A point that hangs on nothing but such diodes is nowhere: just at their drop no current tells
    /// the two apart. Blocking, their leaks put it between what they lead to.
    fn release_idle(&self, laws: &[Law], work: &mut Workspace) -> bool {
        let mut any = false;
        for (device, (law, &(plus, minus))) in laws.iter().zip(&self.devices).enumerate() {
            let Law::Diode(diode) = *law else { continue };
            let amperes = law.amperes(work.volts[plus] - work.volts[minus]);
            if work.tangents[device].slope > IDLE_SIEMENS && amperes.abs() < IDLE_AMPERES {
                work.across[device] = diode.drop.0 - 1.0;
                any = true;
            }
        }
        any
    }

    /// Takes what stands still at its voltage as the resistance from zero to there.
    ///
    /// A constant power whose feed is open has nothing else that ties its terminals: standing still it
    /// would hang in the air. As a resistance without a source it finds no volts, and so the branch on
    /// which next to nothing is drawn.
    fn hold_by_chords(&self, laws: &[Law], work: &mut Workspace) {
        for (tangent, (law, v)) in work.tangents.iter_mut().zip(laws.iter().zip(&work.across)) {
            let amperes = law.amperes(*v);
            if tangent.slope <= 0.0 && amperes > 0.0 && *v > 0.0 {
                *tangent = Tangent { slope: amperes / v, rest: 0.0 };
            }
        }
    }

    /// Moves the voltages across devices towards what was solved, and tells which device misses its
    /// law by most; zero amperes when none does.
    fn step(&self, laws: &[Law], damping: f64, work: &mut Workspace) -> (usize, f64) {
        let mut worst = (0, 0.0);
        for (device, &(plus, minus)) in self.devices.iter().enumerate() {
            let v = work.volts[plus] - work.volts[minus];
            let (amperes, tangent) = (laws[device].amperes(v), work.tangents[device]);
            let miss = (amperes - tangent.slope * v - tangent.rest).abs();
            // Written so that a miss that is not a number counts as one.
            let met = miss <= CURRENT_TOLERANCE.0 + CURRENT_TOLERANCE.1 * amperes.abs();
            if !met && (miss > worst.1 || worst.1 <= 0.0) {
                worst = (device, if miss.is_finite() { miss } else { f64::MAX });
            }
            let next = laws[device].next_look(work.across[device], v);
            work.across[device] += damping * (next - work.across[device]);
        }
        worst
    }

    fn not_found(&self, node: usize, laws: &[Law], steps: usize, work: &Workspace) -> Solution {
        let device = self
            .devices
            .iter()
            .position(|&(plus, minus)| plus == node || minus == node)
            .unwrap_or(0);
        let amperes = laws.get(device).map_or(0.0, |law| law.amperes(work.across[device]).abs());
        let amperes = if amperes.is_finite() { amperes } else { f64::MAX };
        Solution {
            volts: self.against_reference(&work.last),
            ending: Ending::NotFound { device, amperes },
            steps,
        }
    }

    fn against_reference(&self, volts: &[f64]) -> Vec<f64> {
        let zero = volts.get(self.reference).copied().unwrap_or(0.0);
        volts.iter().map(|v| v - zero).collect()
    }

    fn factor_at_tangents(&self, work: &mut Workspace) -> Result<(), NotPositive> {
        work.matrix.clone_from(&work.base);
        for (device, tangent) in work.tangents.iter().enumerate() {
            self.pattern.add(&mut work.matrix, self.resistors.len() + device, tangent.slope);
        }
        work.factor.factor(&self.pattern, &work.matrix)
    }

    fn solve_at_tangents(&self, work: &mut Workspace) {
        work.volts.fill(0.0);
        for (&(plus, minus), tangent) in self.devices.iter().zip(&work.tangents) {
            work.volts[plus] -= tangent.rest;
            work.volts[minus] += tangent.rest;
        }
        work.factor.solve(&self.pattern, &mut work.volts);
    }

    /// Factorises the network with these conductances in place of the devices, for questions about
    /// small changes (slopes at an operating point) or about the metal alone (zero slopes).
    ///
    /// Parts are anchored anew, because without devices more of them may be separate.
    pub(crate) fn linear(
        &self,
        siemens: &[f64],
        slopes: &[f64],
    ) -> Result<Linear<'_>, NotPositive> {
        let all: Vec<f64> = siemens.iter().chain(slopes).copied().collect();
        let ends = self.resistors.iter().chain(&self.devices);
        let mut anchors = Vec::new();
        let joined = ends.zip(&all).filter(|(_, g)| **g != 0.0).map(|(ends, _)| *ends);
        self.anchors(joined, &mut anchors);
        let mut factor = Factor::new(&self.pattern);
        factor.factor(&self.pattern, &self.pattern.assemble(&all, &anchors))?;
        let mut parts = Parts::new(self.n);
        for (&(a, b), _) in
            self.resistors.iter().chain(&self.devices).zip(&all).filter(|(_, g)| **g != 0.0)
        {
            parts.join(a, b);
        }
        let part = (0..self.n).map(|node| parts.root(node)).collect();
        Ok(Linear { circuit: self, factor, part, held: Vec::new() })
    }
}

/// A factorised linear network, in which sources may hold voltages elsewhere than at their terminals.
#[derive(Debug)]
pub(crate) struct Linear<'c> {
    circuit: &'c Circuit,
    factor: Factor,
    part: Vec<usize>,
    held: Vec<Held>,
}

/// A voltage that does not answer, because a source delivers whatever keeps it.
#[derive(Debug)]
struct Held {
    device: usize,
    /// Volts when the source delivers one ampere more, earlier ones keeping theirs.
    column: Vec<f64>,
    /// What is kept: these volts, each so many times.
    kept: Weights,
}

/// Nodes, each with a number: currents that enter there, or parts of a voltage.
pub(crate) type Weights = Vec<(usize, f64)>;

/// What a network does when one ampere passes through it.
#[derive(Debug)]
pub(crate) struct Response {
    pub volts: Vec<f64>,
    /// Amperes that sources with a held voltage deliver more, by device.
    pub held: Vec<(usize, f64)>,
}

fn sum(weights: &[(usize, f64)], volts: &[f64]) -> f64 {
    weights.iter().map(|(node, weight)| weight * volts[*node]).sum()
}

impl Linear<'_> {
    /// Lets currents in these proportions keep a sum of voltages from moving.
    ///
    /// Nothing happens when they cannot move it.
    pub(crate) fn hold(&mut self, device: usize, currents: &[(usize, f64)], kept: Weights) {
        let mut nodes = currents.iter().map(|own| own.0);
        let Some(first) = nodes.next() else { return };
        if !nodes.all(|node| self.joined(first, node)) {
            return;
        }
        let column = self.respond(currents).volts;
        if sum(&kept, &column).abs() > 1e-12 {
            self.held.push(Held { device, column, kept });
        }
    }

    /// What happens when one ampere enters at `into` and leaves at `out_of`; nothing when the two
    /// hang on separate parts.
    pub(crate) fn one_ampere(&mut self, into: usize, out_of: usize) -> Option<Response> {
        self.joined(into, out_of).then(|| self.respond(&[(into, 1.0), (out_of, -1.0)]))
    }

    /// What happens when these currents enter at these nodes; within each part they must sum to zero.
    pub(crate) fn respond(&mut self, currents: &[(usize, f64)]) -> Response {
        let mut volts = vec![0.0; self.circuit.n];
        for &(node, amperes) in currents {
            volts[node] += amperes;
        }
        self.factor.solve(&self.circuit.pattern, &mut volts);
        let mut held = Vec::with_capacity(self.held.len());
        for Held { device, column, kept } in &self.held {
            let more = -sum(kept, &volts) / sum(kept, column);
            for (volts, column) in volts.iter_mut().zip(column) {
                *volts += more * column;
            }
            held.push((*device, more));
        }
        Response { volts, held }
    }

    /// True when current can pass between the nodes.
    pub(crate) fn joined(&self, a: usize, b: usize) -> bool {
        self.part[a] == self.part[b]
    }
}
