//! The network as a state was solved: every node, branch and device with the numbers that it had in the
//! equations, and what came out, so that anybody can solve it again.

use model::{Piece, PointId};
use units::{Amperes, Kelvin, Ohms, Siemens, Volts};

use crate::law::Law;
use crate::network::Network;
use crate::operating_point::OperatingPoint;
use crate::wiring::Device;

/// A network with its numbers and its solution.
#[derive(Debug, Clone, PartialEq)]
pub struct AsSolved {
    /// The node that is zero.
    pub reference: PointId,
    /// A node for each point, in their order.
    pub nodes: Vec<NodeAsSolved>,
    /// The resistors.
    pub branches: Vec<BranchAsSolved>,
    /// Everything that is no resistor.
    pub devices: Vec<DeviceAsSolved>,
}

/// A node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NodeAsSolved {
    /// The point that it is.
    pub point: PointId,
    /// Nodes with the same number hang together by branches and devices; zero is that of the reference.
    pub part: usize,
    /// Volts against the reference; against the first node of its part where that is another one.
    pub volts: Volts,
}

/// A resistor.
#[derive(Debug, Clone, PartialEq)]
pub struct BranchAsSolved {
    /// Where it begins.
    pub from: PointId,
    /// Where it ends.
    pub to: PointId,
    /// Its pieces in that order, with their ohms, and the temperature of a conductor.
    pub pieces: Vec<(Piece, Ohms, Option<Kelvin>)>,
    /// Its conductance; zero where something in it is open.
    pub siemens: Siemens,
    /// Current from `from` to `to`.
    pub amps: Amperes,
}

/// A device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviceAsSolved {
    /// What it stands for.
    pub device: Device,
    /// Its plus terminal.
    pub plus: PointId,
    /// Its minus terminal.
    pub minus: PointId,
    /// Its law with its numbers, as they had settled.
    pub law: Law,
    /// Volts from plus to minus.
    pub volts: Volts,
    /// Current into plus, through it, out of minus.
    pub amps: Amperes,
}

impl Network<'_> {
    /// The network as an operating point of it was solved.
    #[must_use]
    pub fn as_solved(&self, point: &OperatingPoint) -> AsSolved {
        let (circuit, vehicle) = (&self.wiring.circuit, self.vehicle());
        let at = PointId::at;
        let parts = self.parts(&point.siemens, &point.laws);
        let first_of: Vec<usize> = (0..circuit.n)
            .map(|node| parts.iter().position(|part| *part == parts[node]).unwrap_or(node))
            .collect();
        let node = |node: usize| {
            let zero = if parts[node] == 0 { circuit.reference } else { first_of[node] };
            NodeAsSolved {
                point: at(node),
                part: parts[node],
                volts: Volts(point.volts[node] - point.volts[zero]),
            }
        };
        let branch = |(branch, siemens): (&crate::wiring::Branch, &f64)| BranchAsSolved {
            from: at(branch.from),
            to: at(branch.to),
            pieces: branch
                .pieces()
                .map(|own| {
                    let ohms = point.conditions.ohms(vehicle, own);
                    (own, ohms, point.piece(vehicle, own).temperature)
                })
                .collect(),
            siemens: Siemens(*siemens),
            amps: Amperes(siemens * (point.volts[branch.from] - point.volts[branch.to])),
        };
        let device = |(own, device): (usize, &Device)| {
            let ((plus, minus), law) = (circuit.devices[own], point.laws[own]);
            let volts = point.across[own];
            DeviceAsSolved {
                device: *device,
                plus: at(plus),
                minus: at(minus),
                law,
                volts: Volts(volts),
                amps: Amperes(law.amperes(volts)),
            }
        };
        AsSolved {
            reference: at(circuit.reference),
            nodes: (0..circuit.n).map(node).collect(),
            branches: self.wiring.branches.iter().zip(&point.siemens).map(branch).collect(),
            devices: self.wiring.devices.iter().enumerate().map(device).collect(),
        }
    }

    /// A number for each node, the same for those that hang together: zero for the reference's part, the
    /// others in the order of their first nodes.
    fn parts(&self, siemens: &[f64], laws: &[Law]) -> Vec<usize> {
        let circuit = &self.wiring.circuit;
        let mut parts = model::graph::Parts::new(circuit.n);
        let joined = circuit.resistors.iter().zip(siemens).filter(|(_, g)| **g > 0.0);
        let held = circuit.devices.iter().zip(laws).filter(|(_, law)| law.connects());
        for &(a, b) in joined.map(|(ends, _)| ends).chain(held.map(|(ends, _)| ends)) {
            parts.join(a, b);
        }
        let mut roots: Vec<usize> = Vec::new();
        if circuit.n > 0 {
            roots.push(parts.root(circuit.reference));
        }
        (0..circuit.n)
            .map(|node| {
                let root = parts.root(node);
                roots.iter().position(|own| *own == root).unwrap_or_else(|| {
                    roots.push(root);
                    roots.len() - 1
                })
            })
            .collect()
    }
}
