//! Which taught limit a reading is commonly held against: the test that its two places make.

use catalogue::{Catalogue, Circuit, DropLimit, Part};
use model::{
    AlternatorMode, BatteryId, InlineKind, JointId, JointOf, LoadId, LoadKind, Measured, PointId,
    PointOwner, Probe, RegulatedId, RegulatedKind, StateId, Vehicle,
};
use units::{Amperes, Volts};

use crate::observation::Observation;

/// The default limit for a voltage measured in a state, if its two places are those of a test that
/// is taught and the catalogue has a limit for this nominal voltage.
///
/// A taught limit is no law and says nothing about the current that flowed; it is shown beside the
/// reading and has no part in the diagnosis.
#[must_use]
pub fn taught_limit(
    vehicle: &Vehicle,
    state: StateId,
    measured: Measured,
) -> Option<&'static DropLimit> {
    let Measured::Volts { high, low } = measured else { return None };
    let (circuit, part) = test_of(vehicle, state, high, low)?;
    Catalogue::standard()
        .limits
        .iter()
        .filter(|row| row.default && row.is_for(vehicle.nominal))
        .find(|row| row.circuit == circuit && row.part == part)
}

/// A reading beside the limit that is taught for it.
#[derive(Debug, Clone, Copy)]
pub struct Beside {
    /// The catalogue's row.
    pub limit: &'static DropLimit,
    /// What it allows in this vehicle.
    pub allowed: Volts,
    /// More than the limit, by more than the meter's own uncertainty.
    pub above: bool,
}

/// The limit of a reading; nothing for one that is no taught test.
#[must_use]
pub fn beside(vehicle: &Vehicle, own: &Observation) -> Option<Beside> {
    let limit = taught_limit(vehicle, own.state, own.measured)?;
    // Defaults do not follow the current (a test of the catalogue says so).
    let allowed = limit.limit.allowed(Amperes::ZERO, vehicle.nominal);
    let above = own.value.abs() - 2.0 * own.sigma > allowed.0;
    Some(Beside { limit, allowed, above })
}

/// True for a reading that is above what is taught for it. A limit of no volts at all is exceeded by
/// everything that carries current: it says nothing.
#[must_use]
pub(crate) fn above_taught(vehicle: &Vehicle, own: &Observation) -> bool {
    beside(vehicle, own).is_some_and(|own| own.above && own.allowed > Volts::ZERO)
}

/// The circuit and part that two places lie across. From a battery's post to what is fed, or to where
/// its current goes home, is a whole side, also where that side is a single cable.
fn test_of(vehicle: &Vehicle, state: StateId, a: Probe, b: Probe) -> Option<(Circuit, Part)> {
    let cranking =
        vehicle.loads.iter().any(|load| load.kind == LoadKind::Starter && load.is_on_in(state));
    let charging = vehicle.state(state).alternators != AlternatorMode::Off;
    let circuit = match (cranking, charging) {
        (true, _) => Circuit::Starter,
        (false, true) => Circuit::Charging,
        (false, false) => Circuit::Running,
    };
    // The ground of electronics is held to the same limit whether the alternator charges or not.
    let circuits: &[Circuit] = match circuit {
        Circuit::Charging => &[Circuit::Charging, Circuit::Running],
        _ => &[circuit],
    };
    let side = circuits.iter().find_map(|circuit| match (a, b) {
        (Probe::Point(a), Probe::Point(b)) => {
            Some((*circuit, one_side(vehicle, state, *circuit, a, b)?))
        }
        _ => None,
    });
    side.or_else(|| one_part(vehicle, a, b).map(|part| (circuit, part)))
}

/// A device that a test is about: where it is fed, where its current leaves, where its case sits.
struct Tested {
    fed: PointId,
    home: PointId,
    case: Option<PointId>,
}

fn tested(vehicle: &Vehicle, state: StateId, circuit: Circuit) -> Vec<Tested> {
    let wanted = |kind: LoadKind| match circuit {
        Circuit::Starter => kind == LoadKind::Starter,
        // Taught for the grounds of electronics alone.
        Circuit::Running => kind.is_reference() || kind == LoadKind::Electronics,
        Circuit::Charging | Circuit::Control | Circuit::Bonding => false,
    };
    let loads = vehicle
        .loads
        .iter()
        .enumerate()
        .filter(|(_, load)| wanted(load.kind) && load.is_on_in(state))
        .map(|(at, load)| {
            let (fed, home) = vehicle.load_terminals(LoadId::at(at));
            Tested { fed, home, case: load.case.map(|case| vehicle.joint(case).point) }
        });
    let alternators = vehicle
        .regulated
        .iter()
        .enumerate()
        .filter(|(_, own)| circuit == Circuit::Charging && own.kind == RegulatedKind::Alternator)
        .map(|(at, _)| {
            let id = RegulatedId::at(at);
            let (fed, home) = vehicle.regulated_terminals(id);
            let of = JointOf::SourceCase(id);
            let case = vehicle.joints.iter().find(|joint| joint.of == of).map(|joint| joint.point);
            Tested { fed, home, case }
        });
    loads.chain(alternators).collect()
}

/// The whole feed side or the whole ground side between two points.
fn one_side(
    vehicle: &Vehicle,
    state: StateId,
    circuit: Circuit,
    a: PointId,
    b: PointId,
) -> Option<Part> {
    let posts: Vec<(PointId, PointId)> = (0..vehicle.batteries.len())
        .map(|at| vehicle.battery_terminals(BatteryId::at(at)))
        .collect();
    let all = tested(vehicle, state, circuit);
    [(a, b), (b, a)].into_iter().find_map(|(post, end)| {
        let feed = posts.iter().any(|own| own.0 == post) && all.iter().any(|own| own.fed == end);
        let home = posts.iter().any(|own| own.1 == post)
            && all.iter().any(|own| {
                own.home == end || own.case.is_some_and(|case| same_metal(vehicle, case, end))
            });
        match (feed, home) {
            (true, _) => Some(Part::Feed),
            (false, true) => Some(Part::Return),
            (false, false) => None,
        }
    })
}

/// One joint, one cable or one switch between the two places.
fn one_part(vehicle: &Vehicle, a: Probe, b: Probe) -> Option<Part> {
    let across_joint = |lug: Probe, metal: Probe| match (lug, metal) {
        (Probe::Lug(joint) | Probe::Strand(joint), Probe::Point(point)) => {
            vehicle.joint(joint).point == point
        }
        (Probe::Strand(joint), Probe::Lug(lug)) => joint == lug,
        _ => false,
    };
    if across_joint(a, b) || across_joint(b, a) {
        return Some(Part::Connection);
    }
    let cable = vehicle.conductors.iter().any(|conductor| {
        let ends = [conductor.from, conductor.to];
        let is = |probe: Probe, end: JointId| {
            [Probe::Lug(end), Probe::Strand(end), Probe::Point(vehicle.joint(end).point)]
                .contains(&probe)
        };
        (is(a, ends[0]) && is(b, ends[1])) || (is(a, ends[1]) && is(b, ends[0]))
    });
    if cable {
        return Some(Part::Cable);
    }
    let switch = vehicle.inlines.iter().any(|part| {
        let ends = [Probe::Point(part.from), Probe::Point(part.to)];
        matches!(part.kind, InlineKind::Switch { .. }) && (ends == [a, b] || ends == [b, a])
    });
    switch.then_some(Part::Switch)
}

/// True for one point, or for two of one body of metal: a starter's case is touched on the block
/// beside it.
fn same_metal(vehicle: &Vehicle, a: PointId, b: PointId) -> bool {
    let body = |point: PointId| match vehicle.point(point).owner {
        PointOwner::Structure(id) => Some(id),
        PointOwner::Free | PointOwner::Positive | PointOwner::Negative => None,
    };
    a == b || (body(a).is_some() && body(a) == body(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::JointId;

    const FILE: &str = include_str!("../../../examples/rescue-ambulance.toml");

    fn check(state: &str, high: &str, low: &str, expected: Option<(&str, f64)>) {
        let vehicle = file::read(FILE.as_bytes()).vehicle.expect("the example is sound");
        let probe = |name: &str| {
            let lug = vehicle.joints.iter().position(|joint| joint.id == name);
            lug.map_or_else(
                || Probe::Point(vehicle.point_named(name).expect("in the file")),
                |at| Probe::Lug(JointId::at(at)),
            )
        };
        let state = vehicle.state_named(state).expect("in the file");
        for (high, low) in [(high, low), (low, high)] {
            let measured = Measured::Volts { high: probe(high), low: probe(low) };
            let found = taught_limit(&vehicle, state, measured);
            let found = found.map(|row| {
                let allowed = row.limit.allowed(units::Amperes(0.0), vehicle.nominal);
                (row.rule_set.as_str(), allowed.0)
            });
            assert_eq!(found, expected, "{high} to {low}");
        }
    }

    #[test]
    fn a_starters_sides_have_the_limits_of_army_manuals() {
        check("cranking", "block/front", "main/-", Some(("TM 5-3820-256-24-4", 0.2)));
        check("cranking", "starter/+", "main/+", Some(("TM 10-3930-671-24", 0.4)));
        check("cranking", "main-positive.to", "main/+", Some(("NAVEDTRA 14050", 0.2)));
        check("cranking", "main-negative.to", "block/front", Some(("NAVEDTRA 14050", 0.0)));
    }

    #[test]
    fn a_joint_has_another_limit_while_the_alternator_charges_and_without_it() {
        check("running", "main-negative.to", "block/front", Some(("NAVEDTRA 14273", 0.1)));
        check("key-on", "main-negative.to", "block/front", Some(("common practice", 0.1)));
        check("running", "alternator/+", "main/+", Some(("NAVEDTRA 14273", 0.7)));
    }

    #[test]
    fn a_frame_while_cranking_has_no_limit_that_is_taught() {
        check("cranking", "frame/front", "main/-", None);
        check("cranking", "main/+", "main/-", None);
    }
}
