//! What can be had while measuring: who is there, which states, what is already open.

use model::{AccessGroup, LoadKind, Place, PointId, StateId, Vehicle};
use units::Seconds;

use crate::judged;
use crate::observation::Observation;

/// What can be had while measuring. The default is two people, every state, all covers on.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Practice {
    /// One person: what is cranked is read where both probes are within reach of each other.
    pub alone: bool,
    /// States that cannot be had, such as cranking an engine that must not turn.
    pub without: Vec<StateId>,
    /// Names of the access groups that are already open.
    pub open: Vec<String>,
}

/// Minutes for one reading by one person, probes at hand.
pub(crate) fn one_reading_minutes() -> f64 {
    judged::readings().one_reading.0 / 60.0
}

impl Practice {
    /// With the covers open behind which something was measured already.
    pub(crate) fn after(&self, vehicle: &Vehicle, observations: &[Observation]) -> Self {
        let mut open = self.open.clone();
        let touched = observations.iter().flat_map(|own| points_of(vehicle, own.measured));
        open.extend(touched.filter_map(|point| vehicle.point(point).access.group.clone()));
        open.sort_unstable();
        open.dedup();
        Self { open, ..self.clone() }
    }

    /// Minutes of holding these probes in a state; nothing when it cannot be had.
    ///
    /// A cover behind which both lie comes off once.
    pub(crate) fn minutes(
        &self,
        vehicle: &Vehicle,
        state: StateId,
        points: &[PointId],
    ) -> Option<f64> {
        if self.without.contains(&state) {
            return None;
        }
        let cranking =
            vehicle.loads.iter().any(|load| load.kind == LoadKind::Starter && load.is_on_in(state));
        let far = points
            .split_first()
            .is_some_and(|(first, rest)| rest.iter().any(|other| far(vehicle, *first, *other)));
        if self.alone && cranking && far {
            return None;
        }
        let mut minutes = one_reading_minutes();
        for (at, point) in points.iter().enumerate() {
            let access = &vehicle.point(*point).access;
            if access.out_of_reach {
                return None;
            }
            if !points[..at].contains(point) {
                minutes += access.time.0 / 60.0;
            }
        }
        for cover in self.covers_before(vehicle, points) {
            minutes += cover.time.0 / 60.0;
        }
        let judged = judged::readings();
        let more = |is: bool, time: Seconds| if is { time.0 / 60.0 } else { 0.0 };
        Some(minutes + more(cranking, judged.cranking_more) + more(far, judged.long_lead_more))
    }

    /// The covers that are still on before some points.
    fn covers_before<'v>(
        &self,
        vehicle: &'v Vehicle,
        points: &[PointId],
    ) -> impl Iterator<Item = &'v AccessGroup> {
        let behind = |group: &AccessGroup, point: &PointId| {
            vehicle.point(*point).access.group.as_ref() == Some(&group.id)
        };
        vehicle.access_groups.iter().filter(move |group| {
            !self.open.contains(&group.id) && points.iter().any(|point| behind(group, point))
        })
    }
}

/// True when a meter's own leads do not reach from one point to the other; false where a place is
/// not told.
fn far(vehicle: &Vehicle, one: PointId, other: PointId) -> bool {
    match (vehicle.point(one).place, vehicle.point(other).place) {
        (Some(a), Some(b)) => apart(a, b) > judged::readings().leads_reach.0,
        _ => false,
    }
}

fn apart(a: Place, b: Place) -> f64 {
    (a.forward - b.forward).0.hypot((a.left - b.left).0)
}

fn points_of(vehicle: &Vehicle, measured: model::Measured) -> Vec<PointId> {
    let at = |probe: model::Probe| vehicle.touches(probe);
    match measured {
        model::Measured::Volts { high, low } => vec![at(high), at(low)],
        _ => Vec::new(),
    }
}
