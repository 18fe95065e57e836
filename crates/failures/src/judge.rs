//! Holding an operating point after a failure against the one before it.

use endurance::Bearing;
use model::{
    BatteryId, ConductorId, Conducts, IncidentalId, InlineId, JointId, LoadId, Piece, StateId,
    Vehicle,
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
        let mut findings = Vec::new();
        if after.convergence != Convergence::Reached {
            findings.push(Finding::Unsettled);
            return findings;
        }
        self.loads(after, before, &mut findings);
        self.conductors(after, before, failed, &mut findings);
        self.paths(after, before, &mut findings);
        self.joints(after, before, failed, &mut findings);
        self.fuses(after, before, &mut findings);
        self.batteries(after, before, &mut findings);
        findings
    }

    fn loads(
        &self,
        after: &OperatingPoint,
        before: Option<&OperatingPoint>,
        findings: &mut Vec<Finding>,
    ) {
        for (at, point) in after.loads.iter().enumerate() {
            let load = LoadId::at(at);
            let was = before.map(|before| before.load(load));
            if point.status == LoadStatus::Off {
                continue;
            }
            let usual = was.map_or(self.vehicle.nominal, |was| was.volts);
            let dead = point.status == LoadStatus::Dead || point.volts < usual * DEAD;
            let short = point.status != LoadStatus::Fed;
            let was_short =
                was.is_some_and(|was| was.status != LoadStatus::Fed && was.status == point.status);
            if (short && !was_short) || (dead && was.is_some_and(|was| was.volts > Volts(1.0))) {
                findings.push(Finding::Load {
                    load,
                    status: point.status,
                    volts: point.volts,
                    dead,
                });
            }
        }
    }

    fn conductors(
        &self,
        after: &OperatingPoint,
        before: Option<&OperatingPoint>,
        failed: &Failed,
        findings: &mut Vec<Finding>,
    ) {
        for (at, bearing) in self.bearings.iter().enumerate() {
            let Some(bearing) = bearing else { continue };
            let piece = Piece::Conductor(ConductorId::at(at));
            let amps = after.pieces[at].amps.abs();
            let was = before.map_or(Amperes::ZERO, |before| before.pieces[at].amps.abs());
            let worn = failed.worn.iter().find(|(own, _)| *own == piece);
            let times = worn.map_or(Ratio(1.0), |(_, times)| *times);
            if !bearing.may_pass(amps, times) || (worn.is_none() && !more(amps, was)) {
                continue;
            }
            let endurance = bearing.endurance(amps, times);
            let near = endurance
                .limit_after
                .is_some_and(|time| endurance.lasts.is_none_or(|lasts| time <= lasts * NEARLY));
            if near {
                let conductor = ConductorId::at(at);
                findings.push(Finding::Conductor { conductor, before: was, endurance });
            }
        }
    }

    fn paths(
        &self,
        after: &OperatingPoint,
        before: Option<&OperatingPoint>,
        findings: &mut Vec<Finding>,
    ) {
        for (at, incidental) in self.vehicle.incidentals.iter().enumerate() {
            let path = IncidentalId::at(at);
            let slot = self.vehicle.piece_slot(Piece::Incidental(path));
            let amps = after.pieces[slot].amps.abs();
            let was = before.map_or(Amperes::ZERO, |before| before.pieces[slot].amps.abs());
            if let Some(damage) = incidental.damage
                && amps > damage
                && more(amps, was)
            {
                findings.push(Finding::Path { path, amps, damage });
            }
        }
    }

    fn joints(
        &self,
        after: &OperatingPoint,
        before: Option<&OperatingPoint>,
        failed: &Failed,
        findings: &mut Vec<Finding>,
    ) {
        for (at, heat) in self.heats.iter().enumerate() {
            let Some(heat) = heat else { continue };
            let joint = JointId::at(at);
            let slot = self.vehicle.piece_slot(Piece::Joint(joint));
            let watts = |point: &OperatingPoint| {
                let piece = &point.pieces[slot];
                heat.beyond(piece.amps, piece.volts)
            };
            let point = &after.pieces[slot];
            let Some(contact) = heat.contact(point.amps, point.volts) else { continue };
            let was = before.map_or(Watts::ZERO, watts);
            let worn = failed.worn.iter().any(|(own, _)| *own == Piece::Joint(joint));
            if worn || watts(after) > was * (1.0 + LEAST_CHANGE.0) {
                findings.push(Finding::Joint {
                    joint,
                    volts: point.volts.abs(),
                    watts: point.watts,
                    reaches: heat.reaches(point.amps, point.volts),
                    contact,
                });
            }
        }
    }

    fn fuses(
        &self,
        after: &OperatingPoint,
        before: Option<&OperatingPoint>,
        findings: &mut Vec<Finding>,
    ) {
        for (at, part) in self.vehicle.inlines.iter().enumerate() {
            let Some(rating) = fuses::rating(part) else { continue };
            let fuse = InlineId::at(at);
            let slot = self.vehicle.piece_slot(Piece::Inline(fuse));
            let amps = after.pieces[slot].amps.abs();
            let was = before.map_or(Amperes::ZERO, |before| before.pieces[slot].amps.abs());
            if amps > rating * OVER_RATING && more(amps, was) {
                let opening = fuses::opening(part, amps);
                findings.push(Finding::Fuse { fuse, amps, rating, opening });
            }
        }
    }

    /// Batteries in parallel share by their resistances and those of their cables; in series all
    /// carry the same, and nothing is unfair.
    fn batteries(
        &self,
        after: &OperatingPoint,
        before: Option<&OperatingPoint>,
        findings: &mut Vec<Finding>,
    ) {
        for at in 0..self.vehicle.batteries.len() {
            let Some((share, fair, amps)) = self.share(after, at) else { continue };
            let ratio = share.0 / fair.0;
            let was = before.and_then(|before| self.share(before, at));
            let was = was.map_or(1.0, |(share, fair, _)| share.0 / fair.0);
            if amps > LEAST_BATTERY_AMPS && ratio > UNFAIR && ratio > 1.2 * was {
                findings.push(Finding::Battery { battery: BatteryId::at(at), share, fair });
            }
        }
    }

    /// The batteries in parallel with one, itself included.
    pub(crate) fn bank(&self, at: usize) -> Vec<BatteryId> {
        let all = self.banks.iter().enumerate();
        all.filter(|(_, bank)| **bank == self.banks[at]).map(|(at, _)| BatteryId::at(at)).collect()
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
