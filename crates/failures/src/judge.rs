//! Holding an operating point after a failure against the one before it.

use catalogue::{Catalogue, ContactVoltage};
use model::{
    BatteryId, ConductorId, IncidentalId, InlineId, JointId, LoadId, Piece, PointId, StateId,
    Vehicle,
};
use network::{Convergence, Failed, LoadStatus, OperatingPoint};
use units::{Amperes, Ratio, Volts};

use crate::bearing::Bearing;
use crate::finding::{Contact, Finding};
use crate::protection;

/// A change of current below this share and these amperes makes nothing new.
const LEAST_CHANGE: (f64, Amperes) = (0.02, Amperes(0.5));

/// Below this share of what it had, a load without a minimum is dead.
const DEAD: f64 = 0.5;
/// Below this share of its rated current in one state nothing is asked of a battery's share.
const LEAST_BATTERY_AMPS: Amperes = Amperes(20.0);
/// A battery's share is unfair when it is this many times that of its capacity.
const UNFAIR: f64 = 1.5;
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
    contacts: Vec<Option<&'static ContactVoltage>>,
}

impl<'v> Judge<'v> {
    /// For the state of an operating point with nothing failed.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle, base: OperatingPoint) -> Self {
        let bearings = (0..vehicle.conductors.len())
            .map(|at| Bearing::new(vehicle, ConductorId::at(at), &base))
            .collect();
        let contacts =
            vehicle.joints.iter().map(|joint| softest(joint.finish.as_deref())).collect();
        Self { vehicle, base, bearings, contacts }
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
            let dead = point.volts < usual * DEAD;
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
        for (at, contact) in self.contacts.iter().enumerate() {
            let Some(contact) = contact else { continue };
            let joint = JointId::at(at);
            let slot = self.vehicle.piece_slot(Piece::Joint(joint));
            let volts = after.pieces[slot].volts.abs();
            if volts < contact.softening || after.pieces[slot].amps.abs() < Amperes(1.0) {
                continue;
            }
            let was = before.map_or(Volts::ZERO, |before| before.pieces[slot].volts.abs());
            let worn = failed.worn.iter().any(|(own, _)| *own == Piece::Joint(joint));
            if worn || volts > was * (1.0 + LEAST_CHANGE.0) {
                let contact =
                    if volts >= contact.melting { Contact::Melts } else { Contact::Softens };
                findings.push(Finding::Joint { joint, volts, contact });
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
            let Some(rating) = protection::rating(part) else { continue };
            let fuse = InlineId::at(at);
            let slot = self.vehicle.piece_slot(Piece::Inline(fuse));
            let amps = after.pieces[slot].amps.abs();
            let was = before.map_or(Amperes::ZERO, |before| before.pieces[slot].amps.abs());
            if amps > rating * OVER_RATING && more(amps, was) {
                let opening = protection::opening(part, amps);
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

    /// A battery's part of what its own kind gives, and of the capacity; nothing alone.
    fn share(&self, point: &OperatingPoint, at: usize) -> Option<(Ratio, Ratio, Amperes)> {
        let giving = |at: usize| point.batteries[at].amps.max(Amperes::ZERO);
        let alike: Vec<usize> = (0..self.vehicle.batteries.len())
            .filter(|other| {
                let own = &self.vehicle.batteries[at];
                self.joined(point, own.positive, self.vehicle.batteries[*other].positive)
            })
            .collect();
        if alike.len() < 2 {
            return None;
        }
        let all: Amperes = alike.iter().map(|at| giving(*at)).sum();
        let capacity: f64 = alike.iter().map(|at| self.vehicle.batteries[*at].capacity.0).sum();
        let own = giving(at);
        (all > Amperes::ZERO).then(|| {
            let fair = self.vehicle.batteries[at].capacity.0 / capacity;
            (Ratio(own / all), Ratio(fair), own)
        })
    }

    /// True when two posts are at nearly one potential: joined by closed switches and cables.
    fn joined(&self, point: &OperatingPoint, a: PointId, b: PointId) -> bool {
        let near = self.vehicle.nominal * 0.1;
        matches!((point.point(a), point.point(b)), (Some(a), Some(b)) if (a - b).abs() < near)
    }
}

fn more(amps: Amperes, was: Amperes) -> bool {
    amps > was * (1.0 + LEAST_CHANGE.0) + LEAST_CHANGE.1
}

/// The contact voltages of the softest metal that a finish names; of tin, with which lugs are usually
/// plated, where it names none.
pub(crate) fn softest(finish: Option<&str>) -> Option<&'static ContactVoltage> {
    let table = &Catalogue::standard().contact_voltages;
    let words = finish.unwrap_or("tin").split(|c: char| !c.is_alphanumeric());
    words
        .filter_map(|word| table.find(word))
        .min_by(|a, b| a.softening.0.total_cmp(&b.softening.0))
        .or_else(|| table.find("tin"))
}
