//! Return routes: the few lines along which current comes home, all amperes accounted for.
//!
//! The flow of the solved state itself is divided: at every point each current that arrives goes on
//! in the proportions in which everything does (`flow`, Bialek 1996). So the routes of
//! all who take current add up to what each piece carries and what each source delivers, and none
//! runs against the current of a piece. Of each one's part the widest path is then peeled off, again
//! and again, until nothing is left; every peeling empties at least one piece, so they are few.

use std::collections::BTreeMap;

use model::{BatteryId, Earth, LoadId, Piece, PointId, RegulatedId};
use units::{Amperes, Ratio};

use crate::flow::{Flow, Traced, Way};
use crate::network::Network;
use crate::operating_point::OperatingPoint;
use crate::widest::{Edge, widest_path};
use crate::wiring::Device;

/// What remains when less than this share of a current is left is not followed further.
const LEAST_SHARE: f64 = 1e-8;

/// Currents below these amperes have no ways home: a device that is off leaks less.
const LEAST_CURRENT: f64 = 1e-6;

/// Where a route begins: at what takes current, or at a source that passes on what came through it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RouteStart {
    /// A load.
    Load(LoadId),
    /// A battery that is being charged.
    Charging(BatteryId),
    /// The input of a converter.
    Input(RegulatedId),
    /// A battery whose current goes to the next one in series, or home through no load.
    Battery(BatteryId),
    /// A source whose current does so.
    Source(RegulatedId),
}

/// Where a route ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RouteEnd {
    /// At a battery that delivers, on its earthed side.
    Battery(BatteryId),
    /// At an alternator, charger or converter, on its earthed side.
    Source(RegulatedId),
    /// At a load in series, through which the current goes on as that load's own.
    Load(LoadId),
    /// At a battery in series that is being charged, likewise.
    Charging(BatteryId),
    /// At the input of a converter, likewise.
    Input(RegulatedId),
}

/// One way home.
#[derive(Debug, Clone, PartialEq)]
pub struct Route {
    /// What it begins at.
    pub start: RouteStart,
    /// The point at which it begins.
    pub from: PointId,
    /// Pieces in the order in which the way home passes them.
    pub pieces: Vec<Piece>,
    /// The point at which it ends.
    pub to: PointId,
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

/// The part of a way that is a branch or a diode.
#[derive(Debug, Clone, Copy)]
enum Means {
    Branch(usize),
    Diode(usize),
}

/// The flow of a state on its way home.
struct Homeward {
    flow: Flow,
    means: Vec<Means>,
    ends: Vec<RouteEnd>,
    /// What takes current, with the node at which it lets go of it, and amperes.
    takers: Vec<(RouteStart, usize, f64)>,
    /// The same of what gives current.
    givers: Vec<(RouteStart, usize, f64)>,
}

/// One current on its way home.
struct Begun {
    start: RouteStart,
    node: usize,
    amps: f64,
    traced: Traced,
}

impl Routes {
    /// What loads, batteries being charged and converters take, without what sources pass on.
    #[must_use]
    pub fn taken(&self) -> Amperes {
        let passed_on = |start| matches!(start, RouteStart::Battery(_) | RouteStart::Source(_));
        self.routes.iter().filter(|route| !passed_on(route.start)).map(|route| route.amps).sum()
    }
}

impl Network<'_> {
    /// The ways home of one load's current, as it flows at the operating point.
    ///
    /// Empty when the load draws nothing in this state.
    #[must_use]
    pub fn routes(&self, point: &OperatingPoint, load: LoadId) -> Routes {
        self.routes_from(point, |start| start == RouteStart::Load(load))
    }

    /// The ways home of what begins at wanted places; of all that flows, from every load, battery being
    /// charged and converter input to every source, and from source to source where they stand in
    /// series. What all of them give a source adds up to what it delivers.
    #[must_use]
    pub fn routes_from(
        &self,
        point: &OperatingPoint,
        wanted: impl Fn(RouteStart) -> bool,
    ) -> Routes {
        let home = self.flow_home(point);
        let takers = home.takers.iter().filter(|(start, ..)| wanted(*start));
        let mut begun: Vec<Begun> = takers
            .map(|&(start, node, amps)| Begun {
                start,
                node,
                amps,
                traced: home.flow.trace(node, amps),
            })
            .collect();
        begun.extend(passing(&home, &wanted));
        let total = begun.iter().map(|own| own.amps).fold(0.0, |sum, amps| sum + amps);
        let mut routes = Vec::new();
        for Begun { start, node, amps, traced } in begun {
            for (amps, pieces, to, end) in self.peel(&home, node, traced, amps) {
                let (from, to) = (PointId::at(node), PointId::at(to));
                let (amps, share) = (Amperes(amps), Ratio(amps / total));
                routes.push(Route { start, from, pieces, to, end, amps, share });
            }
        }
        routes.sort_by(|a, b| b.amps.0.total_cmp(&a.amps.0));
        Routes { routes, total: Amperes(total) }
    }

    /// The solved flow, turned so that it runs from the earthed side of what takes current to the
    /// earthed side of what gives it.
    fn flow_home(&self, point: &OperatingPoint) -> Homeward {
        let sign = match self.vehicle().earth {
            Earth::Negative => 1.0,
            Earth::Positive => -1.0,
        };
        let heights: Vec<f64> = point.volts.iter().map(|volts| sign * volts).collect();
        let (mut ways, mut means) = (Vec::new(), Vec::new());
        let mut add = |from: usize, to: usize, amps: f64, what: Means| {
            let (from, to) = if sign * amps >= 0.0 { (from, to) } else { (to, from) };
            ways.push(Way { from, to, amps: amps.abs() });
            means.push(what);
        };
        for (at, (branch, g)) in self.wiring.branches.iter().zip(&point.siemens).enumerate() {
            let amps = g * (point.volts[branch.from] - point.volts[branch.to]);
            add(branch.from, branch.to, amps, Means::Branch(at));
        }
        let (mut exits, mut ends) = (Vec::new(), Vec::new());
        let (mut takers, mut givers) = (Vec::new(), Vec::new());
        for (at, device) in self.wiring.devices.iter().enumerate() {
            let (plus, minus) = self.wiring.circuit.devices[at];
            let amps = point.laws[at].amperes(point.across[at]);
            let takes = amps > 0.0;
            let (end, start) = match device {
                Device::Diode(_) => {
                    add(plus, minus, amps, Means::Diode(at));
                    continue;
                }
                Device::Battery(id) if takes => {
                    (RouteEnd::Charging(*id), RouteStart::Charging(*id))
                }
                Device::Battery(id) => (RouteEnd::Battery(*id), RouteStart::Battery(*id)),
                Device::Regulated(id) => (RouteEnd::Source(*id), RouteStart::Source(*id)),
                Device::Input(id) => (RouteEnd::Input(*id), RouteStart::Input(*id)),
                Device::Load(id) => (RouteEnd::Load(*id), RouteStart::Load(*id)),
            };
            if amps.abs() < LEAST_CURRENT {
                continue;
            }
            // Current enters the device at one terminal and leaves it at the other; turned about on a
            // vehicle with positive earth, where the way home runs against the current.
            let (enters, leaves) =
                if takes == (sign > 0.0) { (plus, minus) } else { (minus, plus) };
            exits.push((enters, amps.abs()));
            ends.push(end);
            let list = if gives(end) { &mut givers } else { &mut takers };
            list.push((start, leaves, amps.abs()));
        }
        Homeward { flow: Flow::new(&heights, ways, &exits), means, ends, takers, givers }
    }

    /// Pieces of a way in the order in which it is passed.
    fn way_pieces(&self, home: &Homeward, way: usize) -> Vec<Piece> {
        match home.means[way] {
            Means::Branch(at) => {
                let branch = &self.wiring.branches[at];
                let mut pieces: Vec<Piece> = branch.pieces().collect();
                if branch.from != home.flow.way(way).from {
                    pieces.reverse();
                }
                pieces
            }
            Means::Diode(at) => match self.wiring.devices[at] {
                Device::Diode(id) => vec![Piece::Inline(id)],
                _ => Vec::new(),
            },
        }
    }

    /// Peels widest paths off one current's part of the flow.
    fn peel(&self, home: &Homeward, start: usize, traced: Traced, amps: f64) -> Vec<Peeled> {
        let mut edges: BTreeMap<usize, Vec<Edge>> = BTreeMap::new();
        for (way, amps) in traced.ways {
            let Way { from, to, .. } = home.flow.way(way);
            edges.entry(from).or_default().push(Edge { to, amps, way });
        }
        let mut sinks: BTreeMap<usize, Vec<(RouteEnd, f64)>> = BTreeMap::new();
        for (exit, node, amps) in traced.exits {
            sinks.entry(node).or_default().push((home.ends[exit], amps));
        }
        let (mut left, least) = (amps, LEAST_SHARE * amps);
        let mut peeled = Vec::new();
        while left > least {
            let Some(path) = widest_path(start, &edges, &sinks, least) else { break };
            let taken = path.width.min(left);
            let mut pieces = Vec::new();
            for &(node, at) in &path.steps {
                if let Some(edge) = edges.get_mut(&node).and_then(|list| list.get_mut(at)) {
                    pieces.extend(self.way_pieces(home, edge.way));
                    edge.amps -= taken;
                }
            }
            if let Some((_, sink)) =
                sinks.get_mut(&path.end).and_then(|list| list.get_mut(path.sink))
            {
                *sink -= taken;
            }
            left -= taken;
            peeled.push((taken, pieces, path.end, path.source));
        }
        peeled
    }
}

/// Amperes, pieces, last point and end of one way.
type Peeled = (f64, Vec<Piece>, usize, RouteEnd);

/// What of the sources' current comes to another source, or home, through nothing that takes it: as
/// between batteries in series.
fn passing(home: &Homeward, begins: impl Fn(RouteStart) -> bool) -> Vec<Begun> {
    let wanted = |at: usize| gives(home.ends[at]);
    let parts = home.flow.parts(wanted);
    let passed = home.givers.iter().filter(|(start, ..)| begins(*start));
    passed
        .map(|&(start, node, amps)| {
            let traced = home.flow.trace_to(node, amps, wanted, |node| parts[node]);
            Begun { start, node, amps: amps * parts[node], traced }
        })
        .filter(|own| own.amps > LEAST_CURRENT)
        .collect()
}

/// True for the end at what delivers current.
fn gives(end: RouteEnd) -> bool {
    matches!(end, RouteEnd::Battery(_) | RouteEnd::Source(_))
}
