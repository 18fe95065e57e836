//! Dead shorts: the current that flows when a live point touches the vehicle's metal.
//!
//! All loads are off, since under a short they take next to nothing; sources are what the state has
//! running, an alternator with its limit; conductors are as warm as the air. The network is solved
//! again with the short in it, nonlinear sources included.

use std::collections::BTreeMap;

use model::{LoadId, Piece, PointId, PointOwner, StateId, Vehicle};
use network::{Deviations, Network, OperatingPoint, Trial};
use units::{Amperes, Ohms, Volts};

use crate::graph::Graph;

/// Resistance of a dead short: far below everything else in a vehicle.
pub const DEAD: Ohms = Ohms(1e-6);

/// Where a live point touches home.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Touch {
    /// The metal through which most current flows.
    Strongest,
    /// The metal through which least flows.
    Weakest,
    /// The other terminal of this load: a short inside it.
    Inside(LoadId),
    /// This piece of metal, whichever it is.
    Metal(PointId),
}

/// A short between two points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// The live point.
    pub at: PointId,
    /// How it touches home.
    pub touch: Touch,
    /// What it touches.
    pub home: PointId,
}

/// A fault in a state, solved.
#[derive(Debug, Clone)]
pub struct Short {
    /// Current through the fault itself.
    pub total: Amperes,
    /// Voltage between the two points before the fault.
    pub open_volts: Volts,
    trial: Trial,
}

/// A vehicle laid out with the faults that may be asked about.
#[derive(Debug)]
pub struct Shorts<'v> {
    network: Network<'v>,
    faults: Vec<Fault>,
    at: BTreeMap<(PointId, Touch), usize>,
    bases: Vec<Option<OperatingPoint>>,
}

/// The vehicle with every load switched off.
#[must_use]
pub fn without_loads(vehicle: &Vehicle) -> Vehicle {
    let mut quiet = vehicle.clone();
    for load in &mut quiet.loads {
        load.on.clear();
    }
    quiet
}

impl<'v> Shorts<'v> {
    /// Lays out a vehicle [without loads](without_loads) for shorts at these live points: to the metal
    /// that carries most and least, and inside loads. From those in `everywhere` every other piece of
    /// metal is touched too.
    #[must_use]
    pub fn new(quiet: &'v Vehicle, points: &[PointId], everywhere: &[PointId]) -> Self {
        let metal = metal(quiet);
        let ranked = ranked(quiet, &metal);
        let mut faults = Vec::new();
        if let (Some(strongest), Some(weakest)) = (ranked.first(), ranked.last()) {
            for &at in points {
                faults.push(Fault { at, touch: Touch::Strongest, home: *strongest });
                if weakest != strongest {
                    faults.push(Fault { at, touch: Touch::Weakest, home: *weakest });
                }
                let others = ranked.iter().skip(1).take(ranked.len().saturating_sub(2));
                let others = others.filter(|_| everywhere.contains(&at));
                faults.extend(others.map(|home| Fault {
                    at,
                    touch: Touch::Metal(*home),
                    home: *home,
                }));
            }
        }
        for id in (0..quiet.loads.len()).map(LoadId::at) {
            let (live, home) = quiet.load_terminals(id);
            if points.contains(&live) {
                faults.push(Fault { at: live, touch: Touch::Inside(id), home });
            }
        }
        let paths: Vec<(PointId, PointId)> =
            faults.iter().map(|fault| (fault.at, fault.home)).collect();
        let at = faults.iter().enumerate().map(|(at, fault)| ((fault.at, fault.touch), at));
        let at = at.collect();
        let bases = vec![None; quiet.states.len()];
        Self { network: Network::with_extra_paths(quiet, &paths), faults, at, bases }
    }

    /// Every fault.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// The fault at a point.
    #[must_use]
    pub fn fault(&self, at: PointId, touch: Touch) -> Option<Fault> {
        self.at.get(&(at, touch)).map(|at| self.faults[*at])
    }

    /// Solves a fault in a state through a resistance, [`DEAD`] for a dead short. Nothing when no
    /// operating point is found.
    pub fn solve(&mut self, state: StateId, fault: Fault, through: Ohms) -> Option<Short> {
        let at = *self.at.get(&(fault.at, fault.touch))?;
        let base = match self.bases[state.index()].take() {
            Some(base) => base,
            None => self.network.operating_point(state),
        };
        let mut deviations = Deviations::none(self.network.vehicle(), self.faults.len());
        deviations.extra[at] = Some(through);
        let trial = self.network.trial(&base, &deviations, None);
        let open = base.all_volts();
        let open_volts = (open[fault.at.index()] - open[fault.home.index()]).abs();
        self.bases[state.index()] = Some(base);
        let trial = trial?;
        let across = self.network.trial_point(&trial, fault.at)
            - self.network.trial_point(&trial, fault.home);
        Some(Short { total: (across / through).abs(), open_volts, trial })
    }

    /// Current through a piece during a fault, without its direction.
    #[must_use]
    pub fn amps(&self, short: &Short, piece: Piece) -> Amperes {
        self.network.trial_amps(&short.trial, piece).abs()
    }
}

/// Points at which a live wire can touch home: metal of structures that hang together with the
/// earthed post of a battery, or those posts where there is none.
fn metal(vehicle: &Vehicle) -> Vec<PointId> {
    let Some(home) = home(vehicle) else { return Vec::new() };
    let graph = Graph::new(vehicle, StateId(0));
    let on_metal = |at: &PointId| {
        matches!(vehicle.point(*at).owner, PointOwner::Structure(_)) && graph.joined(*at, home)
    };
    let found: Vec<PointId> = (0..vehicle.points.len()).map(PointId::at).filter(on_metal).collect();
    if found.is_empty() { vec![home] } else { found }
}

/// The terminal to which current comes home, and that of the source behind it.
pub(crate) fn home(vehicle: &Vehicle) -> Option<PointId> {
    if vehicle.batteries.is_empty() {
        vehicle.regulated.first()?;
        return Some(vehicle.regulated_terminals(model::RegulatedId(0)).1);
    }
    Some(vehicle.battery_terminals(model::BatteryId(0)).1)
}

/// The metal by the current of a short from the first battery, the most first.
fn ranked(vehicle: &Vehicle, metal: &[PointId]) -> Vec<PointId> {
    if metal.len() < 2 || vehicle.batteries.is_empty() {
        return metal.to_vec();
    }
    let live = vehicle.battery_terminals(model::BatteryId(0)).0;
    let paths: Vec<(PointId, PointId)> = metal.iter().map(|home| (live, *home)).collect();
    let mut network = Network::with_extra_paths(vehicle, &paths);
    let base = network.operating_point(StateId(0));
    let mut all: Vec<(f64, PointId)> = Vec::new();
    for (at, &home) in metal.iter().enumerate() {
        let mut deviations = Deviations::none(vehicle, paths.len());
        deviations.extra[at] = Some(DEAD);
        let amps = network.trial(&base, &deviations, None).map_or(0.0, |trial| {
            let across = network.trial_point(&trial, live) - network.trial_point(&trial, home);
            (across / DEAD).0.abs()
        });
        all.push((amps, home));
    }
    all.sort_by(|a, b| units::larger_first(a.0, b.0).then(a.1.cmp(&b.1)));
    all.into_iter().map(|(_, home)| home).collect()
}
