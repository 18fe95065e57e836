//! Return routes: the few lines along which a load's current comes home, all amperes accounted for.
//!
//! A flow that is driven by potential runs downhill everywhere and so has no loops. The widest path
//! from where current enters to where it leaves is peeled off, again and again, until nothing is
//! left; every peeling empties at least one piece, so they are few.

use std::collections::BTreeMap;

use model::{BatteryId, Earth, LoadId, Piece, RegulatedId};
use units::{Amperes, Ratio};

use crate::budget::{Direction, LoadsAnswer};
use crate::circuit::Response;
use crate::network::Network;
use crate::operating_point::OperatingPoint;
use crate::wiring::Device;

/// What remains when less than this share of the whole is left is not followed further.
const LEAST_SHARE: f64 = 1e-6;

/// Where a route ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RouteEnd {
    /// At a battery's earthed post.
    Battery(BatteryId),
    /// At an alternator, charger or converter.
    Source(RegulatedId),
}

/// One way home.
#[derive(Debug, Clone, PartialEq)]
pub struct Route {
    /// The load it begins at.
    pub load: LoadId,
    /// Pieces in the order in which the way home passes them.
    pub pieces: Vec<Piece>,
    /// Where it ends.
    pub end: RouteEnd,
    /// Current along it.
    pub amps: Amperes,
    /// Its share of the current that was asked about.
    pub share: Ratio,
}

/// All ways home, the widest first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Routes {
    /// The routes.
    pub routes: Vec<Route>,
    /// The current that was asked about.
    pub total: Amperes,
}

/// An edge of the flow graph, downhill.
#[derive(Debug, Clone, Copy)]
struct Edge {
    to: usize,
    amps: f64,
    branch: Option<usize>,
    diode: Option<usize>,
}

impl Network<'_> {
    /// The ways home of one load's current.
    ///
    /// What is followed is the flow that this load's current alone adds: sources answer as they do
    /// at the operating point, the other loads go on drawing what they draw. Empty when the load
    /// draws nothing in this state.
    #[must_use]
    pub fn routes(&self, point: &OperatingPoint, load: LoadId) -> Routes {
        let amps = point.load(load).amps.0;
        let circuit = &self.wiring.circuit;
        let Some(device) = self.wiring.device(Device::Load(load)) else { return Routes::default() };
        let (plus, minus) = circuit.devices[device];
        let flow = self
            .answering(point, LoadsAnswer::No, Direction::Forward)
            .and_then(|mut linear| linear.one_ampere(minus, plus));
        let Some(Response { volts, held }) = flow else { return Routes::default() };
        let slope = |at: usize| {
            let law = self.wiring.law(self.wiring.devices[at], point.state, &point.conditions);
            law.tangent(point.across[at]).slope
        };
        let edges = self
            .edges(self.homeward() * amps, &volts, &point.siemens, |at, across| slope(at) * across);
        let mut sinks = BTreeMap::new();
        for (at, end) in self.ends() {
            let (plus, minus) = circuit.devices[at];
            let into = match held.iter().find(|(device, _)| *device == at) {
                Some((_, more)) => amps * more,
                None => amps * slope(at) * (volts[minus] - volts[plus]),
            };
            self.sink(&mut sinks, at, end, into);
        }
        let start = self.vehicle().load_terminals(load).1.index();
        peel(self, &[(load, start, amps)], edges, sinks)
    }

    /// The ways home of everything that flows, from every load to every source.
    #[must_use]
    pub fn all_routes(&self, point: &OperatingPoint) -> Routes {
        let laws: Vec<_> = self
            .wiring
            .devices
            .iter()
            .map(|device| self.wiring.law(*device, point.state, &point.conditions))
            .collect();
        let edges = self.edges(self.homeward(), &point.volts, &point.siemens, |device, across| {
            laws[device].amperes(across)
        });
        let mut sinks = BTreeMap::new();
        for (at, end) in self.ends() {
            self.sink(&mut sinks, at, end, -laws[at].amperes(point.across[at]));
        }
        let vehicle = self.vehicle();
        let starts: Vec<_> = (0..vehicle.loads.len())
            .map(LoadId::at)
            .map(|id| (id, vehicle.load_terminals(id).1.index(), point.load(id).amps.0))
            .filter(|(_, _, amps)| *amps > 0.0)
            .collect();
        peel(self, &starts, edges, sinks)
    }

    /// Sign of the current that runs from a load's earthed terminal to a source's earthed one.
    fn homeward(&self) -> f64 {
        match self.vehicle().earth {
            Earth::Negative => 1.0,
            Earth::Positive => -1.0,
        }
    }

    fn ends(&self) -> Vec<(usize, RouteEnd)> {
        let devices = self.wiring.devices.iter().enumerate();
        devices
            .filter_map(|(at, device)| match device {
                Device::Battery(id) => Some((at, RouteEnd::Battery(*id))),
                Device::Regulated(id) => Some((at, RouteEnd::Source(*id))),
                Device::Input(_) | Device::Load(_) | Device::Diode(_) => None,
            })
            .collect()
    }

    fn sink(
        &self,
        sinks: &mut BTreeMap<usize, Vec<(RouteEnd, f64)>>,
        device: usize,
        end: RouteEnd,
        amps: f64,
    ) {
        let (plus, minus) = self.wiring.circuit.devices[device];
        let earthed = match self.vehicle().earth {
            Earth::Negative => minus,
            Earth::Positive => plus,
        };
        if amps > 0.0 {
            sinks.entry(earthed).or_default().push((end, amps));
        }
    }

    /// Every branch and diode as an edge in the direction in which current goes home.
    fn edges(
        &self,
        scale: f64,
        volts: &[f64],
        siemens: &[f64],
        device_amps: impl Fn(usize, f64) -> f64,
    ) -> BTreeMap<usize, Vec<Edge>> {
        let mut edges: BTreeMap<usize, Vec<Edge>> = BTreeMap::new();
        let mut add = |from: usize, to: usize, amps: f64, branch, diode| {
            let (from, to) = if amps >= 0.0 { (from, to) } else { (to, from) };
            if amps != 0.0 {
                edges.entry(from).or_default().push(Edge { to, amps: amps.abs(), branch, diode });
            }
        };
        for (at, (branch, g)) in self.wiring.branches.iter().zip(siemens).enumerate() {
            add(
                branch.from,
                branch.to,
                scale * g * (volts[branch.from] - volts[branch.to]),
                Some(at),
                None,
            );
        }
        for (at, device) in self.wiring.devices.iter().enumerate() {
            if matches!(device, Device::Diode(_)) {
                let (plus, minus) = self.wiring.circuit.devices[at];
                add(
                    plus,
                    minus,
                    scale * device_amps(at, volts[plus] - volts[minus]),
                    None,
                    Some(at),
                );
            }
        }
        edges
    }

    fn edge_pieces(&self, edge: &Edge, from: usize) -> Vec<Piece> {
        if let Some(at) = edge.branch {
            let branch = &self.wiring.branches[at];
            let mut pieces: Vec<Piece> = branch.pieces().collect();
            if branch.from != from {
                pieces.reverse();
            }
            return pieces;
        }
        match edge.diode.map(|at| self.wiring.devices[at]) {
            Some(Device::Diode(id)) => vec![Piece::Inline(id)],
            _ => Vec::new(),
        }
    }
}

/// Peels widest paths from the starts to the sinks.
fn peel(
    network: &Network<'_>,
    starts: &[(LoadId, usize, f64)],
    mut edges: BTreeMap<usize, Vec<Edge>>,
    mut sinks: BTreeMap<usize, Vec<(RouteEnd, f64)>>,
) -> Routes {
    let total: f64 = starts.iter().map(|(_, _, amps)| amps).sum();
    let least = LEAST_SHARE * total;
    let mut routes = Vec::new();
    for &(load, start, amps) in starts {
        let mut left = amps;
        while left > least {
            let Some(path) = widest_path(start, &edges, &sinks, least) else { break };
            let taken = path.width.min(left);
            let mut pieces = Vec::new();
            for &(node, at) in &path.steps {
                if let Some(edge) = edges.get_mut(&node).and_then(|list| list.get_mut(at)) {
                    pieces.extend(network.edge_pieces(edge, node));
                    edge.amps -= taken;
                }
            }
            if let Some((_, sink)) =
                sinks.get_mut(&path.end).and_then(|list| list.get_mut(path.sink))
            {
                *sink -= taken;
            }
            left -= taken;
            routes.push(Route {
                load,
                pieces,
                end: path.source,
                amps: Amperes(taken),
                share: Ratio(taken / total),
            });
        }
    }
    routes.sort_by(|a, b| b.amps.0.total_cmp(&a.amps.0));
    Routes { routes, total: Amperes(total) }
}

struct Path {
    steps: Vec<(usize, usize)>,
    width: f64,
    end: usize,
    sink: usize,
    source: RouteEnd,
}

/// The path whose narrowest edge is widest, by growing a tree from the start (Dijkstra's method
/// with widths in place of lengths).
fn widest_path(
    start: usize,
    edges: &BTreeMap<usize, Vec<Edge>>,
    sinks: &BTreeMap<usize, Vec<(RouteEnd, f64)>>,
    least: f64,
) -> Option<Path> {
    let mut width = BTreeMap::from([(start, f64::INFINITY)]);
    let mut came: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    let mut front = std::collections::BinaryHeap::from([(Width(f64::INFINITY), start)]);
    let mut done = std::collections::BTreeSet::new();
    let mut best: Option<(f64, usize, usize, RouteEnd)> = None;
    while let Some((Width(reach), node)) = front.pop() {
        if best.is_some_and(|(found, ..)| found >= reach) {
            break;
        }
        if !done.insert(node) {
            continue;
        }
        for (at, (end, amps)) in sinks.get(&node).into_iter().flatten().enumerate() {
            let through = reach.min(*amps);
            if through > least && best.is_none_or(|(found, ..)| through > found) {
                best = Some((through, node, at, *end));
            }
        }
        for (at, edge) in edges.get(&node).into_iter().flatten().enumerate() {
            let through = reach.min(edge.amps);
            if through > least && width.get(&edge.to).is_none_or(|known| through > *known) {
                width.insert(edge.to, through);
                came.insert(edge.to, (node, at));
                front.push((Width(through), edge.to));
            }
        }
    }
    let (width, end, sink, source) = best?;
    let mut steps = Vec::new();
    let mut node = end;
    while node != start {
        let step = *came.get(&node)?;
        steps.push(step);
        node = step.0;
    }
    steps.reverse();
    Some(Path { steps, width, end, sink, source })
}

/// A width that can be ordered; widths here are never not-a-number.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Width(f64);

impl Eq for Width {}

impl PartialOrd for Width {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Width {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}
