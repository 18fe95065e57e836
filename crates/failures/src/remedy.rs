//! The cheapest change after which a failure does no more damage, tried by solving again.

use catalogue::METRIC_ALLOWANCE;
use model::{Conductor, ConductorId, Piece, Place, PointId, StateId, Vehicle};
use network::{Convergence, Failed, Network, OperatingPoint, duty};
use physics::conductor::ANNEALED_COPPER;
use units::{Metres, Ohms, Ratio, SquareMetres};

use crate::analysis::Analysis;
use crate::fault::Fault;
use crate::finding::Finding;
use crate::judge::Judge;
use crate::survey::weighed;

/// Sizes that are stocked everywhere (IEC 60228), in mm².
const SIZES: [f64; 9] = [6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0];
/// Two clean lugs (the catalogue's typical bolted lug, unconfirmed).
const TWO_LUGS: Ohms = Ohms(0.2e-3);
/// A way between two places is longer than the straight line, by this share and this much slack.
const WAY: (f64, Metres) = (1.3, Metres(0.2));
/// A way between places that the file does not give.
const UNKNOWN_WAY: Metres = Metres(1.0);
/// Work on a strap that is new, and on one that is replaced, in the worth of a kilogram of copper.
const WORK: (f64, f64) = (1.0, 0.6);
const COPPER_DENSITY: f64 = 8960.0;

/// What is done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// A strap beside the one that failed, between the same two bodies, on studs of its own.
    Parallel {
        /// One end.
        from: PointId,
        /// The other.
        to: PointId,
        /// Section.
        area: SquareMetres,
        /// Length.
        length: Metres,
    },
    /// A second main ground, from the battery's post to where the largest load returns.
    SecondGround {
        /// The battery's post.
        from: PointId,
        /// The metal.
        to: PointId,
        /// Section.
        area: SquareMetres,
        /// Length.
        length: Metres,
    },
    /// A thicker conductor in the place of the one that would burn.
    Larger {
        /// The conductor.
        conductor: ConductorId,
        /// Its new section.
        area: SquareMetres,
    },
}

/// A change and what the failure still does after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// The failure.
    pub fault: Fault,
    /// The state in which it does most harm.
    pub state: StateId,
    /// What is done.
    pub change: Change,
    /// Harm without it.
    pub harm_before: f64,
    /// Harm with it.
    pub harm_after: f64,
    /// True when no conductor, path or joint is damaged any more.
    pub no_damage: bool,
    /// What still goes wrong.
    pub left: Vec<Finding>,
    cost: f64,
}

impl Analysis<'_> {
    /// The cheapest change that takes all damage away; where none does, the one that takes most.
    ///
    /// Tried are a strap beside a failed conductor, a second main ground, and a larger conductor for
    /// the one that burns, each in stocked sizes. Each is held to what a ground has to bear
    /// ([`network::duty`]): a way that would not bear alone what the ways beside it carry is not offered.
    /// Nothing when the failure damages nothing or nothing helps.
    #[must_use]
    pub fn remedy(&mut self, fault: Fault, state: StateId) -> Option<Remedy> {
        let vehicle = self.vehicle;
        let judge = self.judge(state)?.for_duty();
        let failed = fault.failed();
        let after = self.network.failed_point(&judge.base, &failed);
        let (findings, harm_before) = weighed(vehicle, judge.judge(&after, &failed));
        if !damages(&findings) {
            return None;
        }
        let trial = Trial { judge: &judge, fault, harm_before };
        let mut tried = Vec::new();
        for way in ways(vehicle, fault, &judge) {
            tried.extend(self.straps(&trial, &way));
        }
        for finding in &findings {
            let Finding::Conductor { conductor, .. } = *finding else { continue };
            tried.extend(self.larger(&trial, conductor));
        }
        let better = |a: &Remedy, b: &Remedy| {
            (!a.no_damage).cmp(&!b.no_damage).then(if a.no_damage {
                units::larger_first(b.cost, a.cost)
            } else {
                units::larger_first(b.harm_after, a.harm_after)
                    .then(units::larger_first(b.cost, a.cost))
            })
        };
        tried.into_iter().min_by(better).filter(|best| best.harm_after < 0.9 * best.harm_before)
    }

    /// Straps along a way, from the thinnest that helps to the first that takes all damage away.
    fn straps(&self, trial: &Trial<'_>, way: &Way) -> Vec<Remedy> {
        // A strap lies between other points, so the network is laid out anew.
        let mut network = Network::with_extra_paths(self.vehicle, &[(way.from, way.to)]);
        let base = network.operating_point(trial.judge.state());
        let mut tried = Vec::new();
        if base.convergence != Convergence::Reached {
            return tried;
        }
        for area in SIZES.map(SquareMetres::from_mm2) {
            if !self.bears_alone(way, area) {
                continue;
            }
            let Some(remedy) = way.tried(&mut network, &base, trial, area) else { continue };
            let enough = remedy.no_damage;
            tried.push(remedy);
            if enough {
                break;
            }
        }
        tried
    }

    /// Whether a new strap bears in every state what each way beside it carries.
    fn bears_alone(&self, way: &Way, area: SquareMetres) -> bool {
        let vehicle = self.vehicle;
        let beside = duty::beside(vehicle, way.from, way.to);
        self.judges.iter().all(|judge| {
            let amps = duty::most(&beside, &judge.base);
            duty::new_cable_bears(vehicle, judge.state(), area, per_metre(area), amps)
        })
    }

    fn larger(&mut self, trial: &Trial<'_>, conductor: ConductorId) -> Option<Remedy> {
        let vehicle = self.vehicle;
        let Trial { judge, fault, .. } = *trial;
        let own = vehicle.conductor(conductor);
        let (bearing, old, length) = (judge.bearings[conductor.index()]?, own.area?, own.length?);
        let points = [own.from, own.to].map(|joint| vehicle.joint(joint).point);
        let mut beside = duty::beside(vehicle, points[0], points[1]);
        beside.retain(|other| vehicle.conductor(*other).from != own.from);
        let alone = duty::most(&beside, &judge.base);
        let mut last = None;
        for area in SIZES.map(SquareMetres::from_mm2).into_iter().filter(|area| *area > old * 1.05)
        {
            let mut failed = fault.failed();
            let thicker = judge.with(conductor, bearing.resized(Ratio(area / old)));
            failed.worn.push((Piece::Conductor(conductor), Ratio(old / area)));
            let after = self.network.failed_point(&judge.base, &failed);
            let left = thicker.judge(&after, &fault.failed());
            let through = after.pieces[conductor.index()].amps.abs().max(alone);
            let bears = thicker.bearings[conductor.index()].is_some_and(|own| {
                !own.endurance(through * duty::judged().in_hand.0, Ratio(1.0)).passes_limit()
            });
            if after.convergence != Convergence::Reached || !bears {
                continue;
            }
            let cost = WORK.1 + copper(area, length);
            let remedy = trial.remedy(Change::Larger { conductor, area }, left, cost);
            let enough = remedy.no_damage;
            last = Some(remedy);
            if enough {
                break;
            }
        }
        last
    }
}

/// What each change is tried against.
struct Trial<'a> {
    judge: &'a Judge<'a>,
    fault: Fault,
    harm_before: f64,
}

impl Trial<'_> {
    /// A change with what still goes wrong after it.
    fn remedy(&self, change: Change, left: Vec<Finding>, cost: f64) -> Remedy {
        let Trial { judge, fault, harm_before } = *self;
        let (left, harm_after) = weighed(judge.vehicle, left);
        Remedy {
            fault,
            state: judge.state(),
            change,
            harm_before,
            harm_after,
            no_damage: !damages(&left),
            left,
            cost,
        }
    }
}

/// Where a strap could go.
struct Way {
    from: PointId,
    to: PointId,
    length: Metres,
    parallel: bool,
}

/// Resistance of a metre of copper cable.
fn per_metre(area: SquareMetres) -> Ohms {
    Ohms(METRIC_ALLOWANCE * ANNEALED_COPPER.0 / area.0)
}

fn ways(vehicle: &Vehicle, fault: Fault, judge: &Judge<'_>) -> Vec<Way> {
    let mut ways = Vec::new();
    if let Some(Piece::Conductor(id)) = fault.piece() {
        let Conductor { from, to, length, .. } = vehicle.conductor(id);
        let (from, to) = (vehicle.joint(*from).point, vehicle.joint(*to).point);
        let length = length.unwrap_or_else(|| way(vehicle, from, to));
        ways.push(Way { from, to, length, parallel: true });
    }
    // The battery that gives most, and the metal to which the largest load returns.
    let most = (0..vehicle.batteries.len()).map(model::BatteryId::at).max_by(|a, b| {
        units::larger_first(judge.base.battery(*b).amps.0, judge.base.battery(*a).amps.0)
    });
    let load = (0..vehicle.loads.len())
        .map(model::LoadId::at)
        .filter(|id| vehicle.load(*id).case.is_some())
        .max_by(|a, b| units::larger_first(judge.base.load(*b).amps.0, judge.base.load(*a).amps.0));
    if let (Some(battery), Some(case)) = (most, load.and_then(|id| vehicle.load(id).case)) {
        let (from, to) = (vehicle.battery_terminals(battery).1, vehicle.joint(case).point);
        let known = ways.iter().any(|way| (way.from, way.to) == (from, to));
        if from != to && !known {
            ways.push(Way { from, to, length: way(vehicle, from, to), parallel: false });
        }
    }
    // A point of ours inside a body of metal has no bolt.
    ways.retain(|way| {
        [way.from, way.to].iter().all(|end| !vehicle.point(*end).access.out_of_reach)
    });
    ways
}

fn way(vehicle: &Vehicle, from: PointId, to: PointId) -> Metres {
    let place = |id: PointId| vehicle.point(id).place;
    match (place(from), place(to)) {
        (Some(Place { forward, left }), Some(other)) => {
            let straight = (forward - other.forward).0.hypot((left - other.left).0);
            Metres(straight) * WAY.0 + WAY.1
        }
        _ => UNKNOWN_WAY,
    }
}

impl Way {
    fn tried(
        &self,
        network: &mut Network<'_>,
        base: &OperatingPoint,
        trial: &Trial<'_>,
        area: SquareMetres,
    ) -> Option<Remedy> {
        let Trial { judge, fault, .. } = *trial;
        let (from, to, length) = (self.from, self.to, self.length);
        let ohms = per_metre(area) * length.0 + TWO_LUGS;
        let failed = Failed { extra: vec![Some(ohms)], ..fault.failed() };
        let after = network.failed_point(base, &failed);
        if after.convergence != Convergence::Reached {
            return None;
        }
        let volts = match (after.point(from), after.point(to)) {
            (Some(from), Some(to)) => (from - to).abs(),
            _ => units::Volts::ZERO,
        };
        // A strap that burns itself is no remedy.
        let (vehicle, state) = (judge.vehicle, judge.state());
        if !duty::new_cable_bears(vehicle, state, area, per_metre(area), volts / ohms) {
            return None;
        }
        let change = if self.parallel {
            Change::Parallel { from, to, area, length }
        } else {
            Change::SecondGround { from, to, area, length }
        };
        let cost = WORK.0 + copper(area, length);
        Some(trial.remedy(change, judge.judge(&after, &failed), cost))
    }
}

/// Kilograms of copper.
fn copper(area: SquareMetres, length: Metres) -> f64 {
    COPPER_DENSITY * area.0 * length.0
}

fn damages(findings: &[Finding]) -> bool {
    findings.iter().any(|finding| match finding {
        Finding::Conductor { endurance, .. } => endurance.passes_limit(),
        Finding::Path { .. } | Finding::Unsettled => true,
        Finding::Joint { contact, .. } => *contact == crate::finding::Contact::Melts,
        Finding::Load { .. } | Finding::Fuse { .. } | Finding::Battery { .. } => false,
    })
}
