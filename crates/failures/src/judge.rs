//! Holding an operating point after a failure against the one before it.

use endurance::Bearing;
use model::graph::Parts;
use model::{
    BatteryId, ConductorId, Conducts, IncidentalId, InlineId, JointId, LoadId, Piece, PointId,
    StateId, Vehicle,
};
use network::{Convergence, Failed, LoadStatus, OperatingPoint};
use units::{Amperes, Ratio, Volts, Watts};

use crate::finding::Finding;
use crate::fuses;
use crate::joint_heat::JointHeat;

/// A change of current below this share and these amperes makes nothing new.
const LEAST_CHANGE: (f64, Amperes) = (0.02, Amperes(0.5));

/// Below this share of what it had, a load without a minimum is dead.
const DEAD: f64 = 0.5;
/// Of a battery that gives less than this nobody asks whether its share is fair.
pub(crate) const LEAST_BATTERY_AMPS: Amperes = Amperes(20.0);
/// A battery's share is unfair when it is this many times that of its capacity.
pub(crate) const UNFAIR: f64 = 1.5;
/// A conductor is told of when its limit would be passed within so many times the state's duration.
const NEARLY: f64 = 3.0;
/// A fuse above so many times its marked current is told of.
const OVER_RATING: f64 = 1.1;

/// What everything bears in one state, and how it stood before the failure.
#[derive(Debug, Clone)]
pub struct Judge<'v> {
    pub(crate) vehicle: &'v Vehicle,
    pub(crate) base: OperatingPoint,
    /// What each conductor bears, where its size and length are known.
    pub bearings: Vec<Option<Bearing>>,
    /// For each joint how hot its heat makes it, where its kind is known.
    heats: Vec<Option<JointHeat>>,
    /// Batteries in parallel share a number.
    banks: Vec<usize>,
}

impl<'v> Judge<'v> {
    /// For the state of an operating point with nothing failed.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle, base: OperatingPoint) -> Self {
        let bearings = (0..vehicle.conductors.len())
            .map(|at| Bearing::new(vehicle, ConductorId::at(at), &base))
            .collect();
        let lasts = vehicle.state(base.state).duration;
        let heats = (0..vehicle.joints.len())
            .map(|at| JointHeat::new(vehicle, JointId::at(at), &base, lasts))
            .collect();
        let banks = banks(vehicle, base.state);
        Self { vehicle, base, bearings, heats, banks }
    }

    /// The state.
    #[must_use]
    pub fn state(&self) -> StateId {
        self.base.state
    }

    /// The same with another make of one conductor.
    #[must_use]
    pub(crate) fn with(&self, conductor: ConductorId, bearing: Bearing) -> Self {
        let mut other = self.clone();
        other.bearings[conductor.index()] = Some(bearing);
        other
    }

    /// The same with every conductor held to what a ground has to bear.
    #[must_use]
    pub(crate) fn for_duty(&self) -> Self {
        let mut other = self.clone();
        let state = self.state();
        for (at, own) in other.bearings.iter_mut().enumerate() {
            *own = own.map(|own| own.for_duty(self.vehicle, ConductorId::at(at), state));
        }
        other
    }

    /// What is wrong before anything fails.
    #[must_use]
    pub fn already(&self) -> Vec<Finding> {
        let nothing = Failed::default();
        self.findings(&self.base, &nothing, None)
    }

    /// What a failure makes wrong that was not, or makes clearly worse.
    #[must_use]
    pub fn judge(&self, after: &OperatingPoint, failed: &Failed) -> Vec<Finding> {
        self.findings(after, failed, Some(&self.base))
    }

    fn findings(
        &self,
        after: &OperatingPoint,
        failed: &Failed,
        before: Option<&OperatingPoint>,
    ) -> Vec<Finding> {
        if after.convergence != Convergence::Reached {
            return vec![Finding::Unsettled];
        }
        let held = Held { judge: self, after, before, failed };
        let mut findings = held.loads();
        findings.extend(held.conductors());
        findings.extend(held.paths());
        findings.extend(held.joints());
        findings.extend(held.fuses());
        findings.extend(held.batteries());
        findings
    }

    /// The batteries in parallel with one, itself included.
    pub(crate) fn bank(&self, at: usize) -> Vec<BatteryId> {
        let all = self.banks.iter().enumerate();
        all.filter(|(_, bank)| **bank == self.banks[at]).map(|(at, _)| BatteryId::at(at)).collect()
    }

    /// What hangs together in the state by all that conducts.
    fn conducting(&self) -> Parts {
        self.vehicle.parts(|piece| self.vehicle.conducts(piece, self.state()) != Conducts::Not)
    }

    /// True when both terminals of a load hang together with a battery's or another source's.
    fn fed(&self, joined: &mut Parts, load: LoadId) -> bool {
        let vehicle = self.vehicle;
        let batteries = vehicle.batteries.iter().flat_map(|own| [own.positive, own.negative]);
        let sources = vehicle.regulated.iter().flat_map(|own| [own.positive, own.negative]);
        let posts: Vec<PointId> = batteries.chain(sources).collect();
        let (live, earthed) = vehicle.load_terminals(load);
        [live, earthed]
            .into_iter()
            .all(|own| posts.iter().any(|post| joined.joined(post.index(), own.index())))
    }

    /// How hot its heat makes a joint.
    pub(crate) fn heat(&self, joint: JointId) -> Option<JointHeat> {
        self.heats[joint.index()]
    }

    /// A battery's part of what its own kind gives, and of the capacity; nothing alone.
    fn share(&self, point: &OperatingPoint, at: usize) -> Option<(Ratio, Ratio, Amperes)> {
        let giving = |id: BatteryId| point.battery(id).amps.max(Amperes::ZERO);
        let alike = self.bank(at);
        if alike.len() < 2 {
            return None;
        }
        let all: Amperes = alike.iter().map(|id| giving(*id)).sum();
        let capacity: f64 = alike.iter().map(|id| self.vehicle.battery(*id).capacity.0).sum();
        let own = giving(BatteryId::at(at));
        (all > Amperes::ZERO).then(|| {
            let fair = self.vehicle.batteries[at].capacity.0 / capacity;
            (Ratio(own / all), Ratio(fair), own)
        })
    }
}

/// An operating point after a failure, held against the one before it where there is one.
struct Held<'h> {
    judge: &'h Judge<'h>,
    after: &'h OperatingPoint,
    before: Option<&'h OperatingPoint>,
    failed: &'h Failed,
}

impl Held<'_> {
    /// The current of a piece now, and before: nothing without a before.
    fn amps(&self, piece: Piece) -> (Amperes, Amperes) {
        let slot = self.judge.vehicle.piece_slot(piece);
        let amps = |point: &OperatingPoint| point.pieces[slot].amps.abs();
        (amps(self.after), self.before.map_or(Amperes::ZERO, amps))
    }

    /// How many times its resistance a piece has by its wear, where it is worn.
    fn worn(&self, piece: Piece) -> Option<Ratio> {
        self.failed.worn.iter().find(|(own, _)| *own == piece).map(|own| own.1)
    }

    fn loads(&self) -> Vec<Finding> {
        let mut joined = self.judge.conducting();
        let on = self.after.loads.iter().enumerate();
        let on = on.filter(|(_, point)| point.status != LoadStatus::Off);
        // What an open switch parts from every source has not failed, and cannot.
        let on = on.filter(|(at, _)| self.judge.fed(&mut joined, LoadId::at(*at)));
        let found = on.filter_map(|(at, point)| {
            let (load, status, volts) = (LoadId::at(at), point.status, point.volts);
            let was = self.before.map(|before| before.load(load));
            let usual = was.map_or(self.judge.vehicle.nominal, |was| was.volts);
            let dead = status == LoadStatus::Dead || volts < usual * DEAD;
            let short = status != LoadStatus::Fed;
            let new = short && was.is_none_or(|was| was.status != status);
            let died = dead && was.is_some_and(|was| was.volts > Volts(1.0));
            (new || died).then_some(Finding::Load { load, status, volts, dead })
        });
        found.collect()
    }

    fn conductors(&self) -> Vec<Finding> {
        let known = self.judge.bearings.iter().enumerate();
        let found = known.filter_map(|(at, bearing)| {
            let (bearing, conductor) = (bearing.as_ref()?, ConductorId::at(at));
            let piece = Piece::Conductor(conductor);
            let ((amps, before), worn) = (self.amps(piece), self.worn(piece));
            let times = worn.unwrap_or(Ratio(1.0));
            if !bearing.may_pass(amps, times) || (worn.is_none() && !more(amps, before)) {
                return None;
            }
            let endurance = bearing.endurance(amps, times);
            let near = endurance
                .limit_after
                .is_some_and(|time| endurance.lasts.is_none_or(|lasts| time <= lasts * NEARLY));
            near.then_some(Finding::Conductor { conductor, before, endurance })
        });
        found.collect()
    }

    fn paths(&self) -> Vec<Finding> {
        let all = self.judge.vehicle.incidentals.iter().enumerate();
        let found = all.filter_map(|(at, incidental)| {
            let (path, damage) = (IncidentalId::at(at), incidental.damage?);
            let (amps, was) = self.amps(Piece::Incidental(path));
            (amps > damage && more(amps, was)).then_some(Finding::Path { path, amps, damage })
        });
        found.collect()
    }

    fn joints(&self) -> Vec<Finding> {
        let known = self.judge.heats.iter().enumerate();
        let found = known.filter_map(|(at, heat)| {
            let (heat, joint) = (heat.as_ref()?, JointId::at(at));
            let slot = self.judge.vehicle.piece_slot(Piece::Joint(joint));
            let watts = |point: &OperatingPoint| {
                heat.beyond(point.pieces[slot].amps, point.pieces[slot].volts)
            };
            let point = &self.after.pieces[slot];
            let contact = heat.contact(point.amps, point.volts)?;
            let was = self.before.map_or(Watts::ZERO, watts);
            let worse = watts(self.after) > was * (1.0 + LEAST_CHANGE.0);
            (worse || self.worn(Piece::Joint(joint)).is_some()).then(|| Finding::Joint {
                joint,
                volts: point.volts.abs(),
                watts: point.watts,
                reaches: heat.reaches(point.amps, point.volts),
                contact,
            })
        });
        found.collect()
    }

    fn fuses(&self) -> Vec<Finding> {
        let state = self.judge.vehicle.state(self.judge.state());
        // What plugs take before they are warm, a fuse has to let pass: it is told where it may not.
        let brief = state.duration.filter(|_| state.first_moment);
        let parts = self.judge.vehicle.inlines.iter().enumerate();
        let found = parts.filter_map(|(at, part)| {
            let (fuse, rating) = (InlineId::at(at), fuses::rating(part)?);
            let (amps, was) = self.amps(Piece::Inline(fuse));
            let opening = fuses::opening(part, amps);
            let latest = opening.and_then(|own| own.latest);
            let opens = brief.is_none_or(|lasts| latest.is_some_and(|latest| latest <= lasts));
            // With nothing failed, what flows for hours is held to what a fuse is chosen for.
            let for_hours = self.before.is_none() && state.duration.is_none();
            let held = if for_hours { fuses::held_share().0 } else { OVER_RATING };
            let over = amps > rating * held && more(amps, was);
            (over && opens).then_some(Finding::Fuse { fuse, amps, rating, opening })
        });
        found.collect()
    }

    /// Batteries in parallel share by their resistances and those of their cables; in series all
    /// carry the same, and nothing is unfair.
    fn batteries(&self) -> Vec<Finding> {
        let found = (0..self.judge.vehicle.batteries.len()).filter_map(|at| {
            let (share, fair, amps) = self.judge.share(self.after, at)?;
            let ratio = share.0 / fair.0;
            let was = self.before.and_then(|before| self.judge.share(before, at));
            let was = was.map_or(1.0, |(share, fair, _)| share.0 / fair.0);
            let unfair = amps > LEAST_BATTERY_AMPS && ratio > UNFAIR && ratio > 1.2 * was;
            unfair.then_some(Finding::Battery { battery: BatteryId::at(at), share, fair })
        });
        found.collect()
    }
}

/// A number for each battery; those whose posts hang together on both sides by wires, fuses and
/// closed switches have the same.
fn banks(vehicle: &Vehicle, state: StateId) -> Vec<usize> {
    let roots = vehicle.parts(|piece| {
        // Metal that was never meant to carry current makes no bank.
        let meant = !matches!(piece, Piece::Joint(_) | Piece::Incidental(_));
        meant && vehicle.conducts(piece, state) == Conducts::BothWays
    });
    let roots = roots.roots();
    let posts: Vec<(usize, usize)> = vehicle
        .batteries
        .iter()
        .map(|own| (roots[own.positive.index()], roots[own.negative.index()]))
        .collect();
    posts.iter().map(|own| posts.iter().position(|other| other == own).unwrap_or(0)).collect()
}

/// True when a current has clearly grown.
pub(crate) fn more(amps: Amperes, was: Amperes) -> bool {
    amps > was * (1.0 + LEAST_CHANGE.0) + LEAST_CHANGE.1
}
