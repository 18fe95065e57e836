//! As many faults as there are, and what was not read of.

use model::{JointId, Measured, Piece, Probe, Vehicle};
use network::Network;
use units::Ohms;

use crate::fleet::{named, observation, shows};
use crate::{Complaint, Diagnosis, Observation, Session, SuspectKind};

fn joint(vehicle: &Vehicle, name: &str) -> JointId {
    vehicle.joints.iter().find(|own| own.id == name).expect("there").this
}

/// The vehicle with these joints at so many ohms, and what is lost over the cable of each in this state.
fn measured(vehicle: &Vehicle, state: &str, bad: &[(&str, f64)]) -> Vec<Observation> {
    let mut real = vehicle.clone();
    for (name, ohms) in bad {
        real.joints[joint(vehicle, name).index()].resistance = Ohms(*ohms);
    }
    let state = vehicle.state_named(state).expect("there");
    let solved = Network::new(&real).operating_point(state);
    let mut seen = Vec::new();
    for (name, _) in bad {
        // At the lug, so that nothing is left open between the two ends and the strands.
        let id = joint(vehicle, name);
        let point = vehicle.joint(id).point;
        let over = Measured::Volts { high: Probe::Lug(id), low: Probe::Point(point) };
        let number = u32::try_from(seen.len() + 1).expect("few");
        let value = shows(&real, &solved, over).expect("joined");
        seen.push(observation((state, over), value, number));
    }
    seen
}

fn chance(found: &Diagnosis, kind: SuspectKind) -> f64 {
    found.suspects.iter().find(|own| own.kind == kind).map_or(0.0, |own| own.probability)
}

#[test]
fn three_bad_joints_that_were_each_measured_are_all_named_first() {
    let vehicle = named("front-engine");
    let bad = [("main-negative.to", 14e-3), ("starter-cable.to", 11e-3), ("starter.case", 9e-3)];
    let seen = measured(&vehicle, "cranking", &bad);
    let found = Session::new(&vehicle).diagnose(&seen, None);
    for (name, _) in bad {
        let kind = SuspectKind::Joint(joint(&vehicle, name));
        assert!(chance(&found, kind) > 0.9, "{name}: {:?}", &found.suspects[..4]);
        assert!(found.suspects[..3].iter().any(|own| own.kind == kind), "{name}");
    }
}

#[test]
fn a_joint_of_which_nothing_was_read_keeps_its_chance_when_another_is_found() {
    let vehicle = named("front-engine");
    let nothing = Session::new(&vehicle).diagnose(&[], None);
    let seen = measured(&vehicle, "cranking", &[("starter-cable.to", 5e-3)]);
    let found = Session::new(&vehicle).diagnose(&seen, None);
    assert!(chance(&found, SuspectKind::Joint(joint(&vehicle, "starter-cable.to"))) > 0.9);
    // What carries nothing while cranking was not touched by the reading.
    let state = vehicle.state_named("cranking").expect("there");
    let solved = Network::new(&vehicle).operating_point(state);
    let mut unread = 0;
    for own in &vehicle.joints {
        let amps = solved.piece(&vehicle, Piece::Joint(own.this)).amps.0.abs();
        let before = nothing.joints[own.this.index()].bad;
        if amps > 1e-6 || before < 1e-4 {
            continue;
        }
        unread += 1;
        let after = found.joints[own.this.index()].bad;
        // Before any reading two faults at once were left out of the sum.
        assert!((0.7..2.0).contains(&(after / before)), "{}: {before} then {after}", own.id);
    }
    assert!(unread > 3, "{unread}");
}

#[test]
fn with_one_fault_found_what_another_load_loses_is_measured_next() {
    let vehicle = named("front-engine");
    let seen = measured(&vehicle, "cranking", &[("starter-cable.to", 5e-3)]);
    let id = vehicle.load_named("blower").expect("there");
    let load = vehicle.load(id);
    let complaint = Complaint { load: id, state: load.on[0] };
    let mut session = Session::new(&vehicle);
    let found = session.diagnose(&seen, Some(complaint));
    let next = session.next(&found, &seen, Some(complaint));
    let Measured::Volts { high, low } = next.first().expect("one").measured else {
        panic!("{next:?}")
    };
    let ends = [load.positive, load.negative].map(Probe::Point);
    assert!(ends.contains(&high) || ends.contains(&low), "{:?}", next[0]);
}
