//! The readings that can be taken in a state, with the minutes each takes.

use model::{ConductorId, Measured, Piece, PointId, PointOwner, Probe, StateId, Vehicle};
use network::OperatingPoint;

use crate::forward::Forward;
use crate::hypothesis::is_metal;
use crate::judged;
use crate::practice::Practice;

/// Readings that can be taken in a state, with the minutes each takes.
pub(crate) fn questions(
    forward: &Forward<'_>,
    state: StateId,
    practice: &Practice,
) -> Vec<(Measured, f64)> {
    let vehicle = forward.vehicle();
    let Some(point) = forward.points[state.index()].as_ref() else { return Vec::new() };
    let mut questions = Questions { vehicle, practice, state, point, found: Vec::new() };
    questions.against_posts();
    questions.over_loads();
    questions.over_conductors();
    questions.round_conductors();
    questions.found
}

struct Questions<'a> {
    vehicle: &'a Vehicle,
    practice: &'a Practice,
    state: StateId,
    point: &'a OperatingPoint,
    found: Vec<(Measured, f64)>,
}

impl Questions<'_> {
    fn took(&self, points: &[PointId]) -> Option<f64> {
        self.practice.minutes(self.vehicle, self.state, points)
    }

    /// Volts between two probes that are held at these points, with minutes for what else they take.
    fn ask(&mut self, high: Probe, low: Probe, points: [PointId; 2], extra: f64) {
        if high != low
            && let Some(minutes) = self.took(&points)
        {
            self.found.push((Measured::Volts { high, low }, minutes + extra));
        }
    }

    fn ask_between(&mut self, high: PointId, low: PointId) {
        self.ask(Probe::Point(high), Probe::Point(low), [high, low], 0.0);
    }

    /// Between the posts of batteries and everything.
    fn against_posts(&mut self) {
        let vehicle = self.vehicle;
        for (at, place) in vehicle.points.iter().enumerate() {
            let id = PointId::at(at);
            if self.point.point(id).is_none() {
                continue;
            }
            for battery in &vehicle.batteries {
                self.ask_between(id, battery.negative);
                if !is_metal(vehicle, id) && !matches!(place.owner, PointOwner::Negative) {
                    self.ask_between(battery.positive, id);
                }
            }
        }
    }

    fn over_loads(&mut self) {
        let (vehicle, state) = (self.vehicle, self.state);
        for load in vehicle.loads.iter().filter(|load| load.is_on_in(state)) {
            self.ask_between(load.positive, load.negative);
        }
    }

    /// Over conductors and their joints, where enough flows.
    fn over_conductors(&mut self) {
        let vehicle = self.vehicle;
        for (at, conductor) in vehicle.conductors.iter().enumerate() {
            if self.amps(ConductorId::at(at)) < 0.3 {
                continue;
            }
            let ends = [conductor.from, conductor.to].map(|joint| vehicle.joint(joint).point);
            self.ask_between(ends[0], ends[1]);
            for (joint, end) in [(conductor.from, ends[0]), (conductor.to, ends[1])] {
                let more = judged::readings().lug_more.0 / 60.0;
                self.ask(Probe::Lug(joint), Probe::Point(end), [end, end], more);
                if vehicle.crimp_at(joint).is_some() {
                    self.ask(Probe::Strand(joint), Probe::Lug(joint), [end, end], more);
                }
            }
        }
    }

    /// A clamp round each conductor in which enough flows.
    fn round_conductors(&mut self) {
        let vehicle = self.vehicle;
        for (at, conductor) in vehicle.conductors.iter().enumerate() {
            let id = ConductorId::at(at);
            let ends = [conductor.from, conductor.to].map(|joint| vehicle.joint(joint).point);
            // A clamp goes round anywhere, so that the nearer end counts.
            let minutes = ends.iter().filter_map(|end| self.took(&[*end])).min_by(f64::total_cmp);
            if let Some(minutes) = minutes.filter(|_| self.amps(id) > 2.0) {
                self.found.push((Measured::Amps { conductor: id }, minutes));
            }
        }
    }

    fn amps(&self, id: ConductorId) -> f64 {
        self.point.piece(self.vehicle, Piece::Conductor(id)).amps.0.abs()
    }
}
