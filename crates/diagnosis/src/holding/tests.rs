//! No hands at a running engine without need, and nothing set up anew without need.

use model::{Engine, JointId, Measured, Vehicle};
use network::Network;
use units::Ohms;

use crate::fleet::{all, named, observation, shows};
use crate::observation::alike;
use crate::proposal::as_much;
use crate::{Observation, Proposal, Session, Why};

/// A few joints of each vehicle, the same in every run: a step through the list that hits all kinds.
fn faults(vehicle: &Vehicle) -> Vec<Vehicle> {
    let number = vehicle.joints.len();
    let picked = [3, 17].map(|step| (step * 7919) % number);
    let with = |at: usize| {
        let mut real = vehicle.clone();
        let joint = &mut real.joints[JointId::at(at).index()];
        joint.resistance = Ohms((joint.resistance.0 * 30.0).max(2e-3));
        real
    };
    picked.map(with).to_vec()
}

fn none_runs_without_need(name: &str, vehicle: &Vehicle, proposals: &[Proposal]) {
    let runs = |own: &Proposal| vehicle.engine_in(own.state) == Engine::Runs;
    let still = proposals.iter().filter(|own| !runs(own)).map(|own| own.gain).fold(0.0, f64::max);
    for own in proposals.iter().filter(|own| runs(own)) {
        if own.why != Some(Why::Again) {
            assert!(still < as_much() * own.gain, "{name}: {still} against {own:?}");
        }
        assert!(own.why.is_some(), "{name}: {own:?}");
    }
}

#[test]
fn no_reading_is_asked_for_at_a_running_engine_where_one_without_it_tells_as_much() {
    for (name, vehicle) in all() {
        let mut session = Session::new(&vehicle);
        for real in faults(&vehicle) {
            let solved = Network::new(&real).operating_points();
            let mut seen: Vec<Observation> = Vec::new();
            for number in 1..=2 {
                let diagnosis = session.diagnose(&seen, None);
                let proposals = session.next(&diagnosis, &seen, None);
                none_runs_without_need(name, &vehicle, &proposals);
                let Some(first) = proposals.first() else { break };
                let at = (first.state, first.measured);
                let Some(value) = shows(&real, &solved[at.0.index()], at.1) else { break };
                seen.push(observation(at, value, number));
            }
        }
    }
}

#[test]
fn a_sound_vehicle_shows_no_minus_to_any_reading_that_is_proposed_or_planned() {
    for (name, vehicle) in all() {
        let mut session = Session::new(&vehicle);
        let diagnosis = session.diagnose(&[], None);
        let mut proposals = session.next(&diagnosis, &[], None);
        proposals.extend(session.survey(20));
        assert!(proposals.len() > 20, "{name}");
        for own in proposals {
            assert!(own.sound >= 0.0, "{name}: {own:?}");
            let counted = session.sound_shows(own.state, own.measured).expect("joined");
            let shown = match own.measured {
                Measured::Amps { conductor } => {
                    let (from, to) = vehicle.conductor_ends(conductor);
                    let towards = own.towards.expect("an arrow");
                    assert!(towards == from || towards == to);
                    if towards == from { -counted } else { counted }
                }
                _ => counted,
            };
            assert!((shown - own.sound).abs() < 1e-9, "{name}: {own:?}");
        }
    }
}

#[test]
fn a_plan_goes_to_a_running_engine_only_where_that_shows_more() {
    for (name, vehicle) in all() {
        let plan = Session::new(&vehicle).survey(20);
        let runs = |own: &&Proposal| vehicle.engine_in(own.state) == Engine::Runs;
        for own in plan.iter().filter(runs) {
            assert!(
                matches!(own.why, Some(Why::TellsMore(share)) if share < as_much()),
                "{name}: {own:?}"
            );
        }
        for (at, own) in plan.iter().enumerate() {
            let again = plan[..at].iter().any(|other| {
                other.state == own.state && alike(other.measured, own.measured).is_some()
            });
            assert!(!again, "{name}: {own:?} is planned twice");
        }
    }
}

#[test]
fn the_next_reading_stays_in_the_state_that_is_set_up_and_tells_the_ends_of_a_cable_apart() {
    let vehicle = named("front-engine");
    let mut real = vehicle.clone();
    let bad = vehicle.joints.iter().find(|own| own.id == "starter-cable.to").expect("there").this;
    real.joints[bad.index()].resistance = Ohms(3e-3);
    let cranking = vehicle.state_named("cranking").expect("there");
    let solved = Network::new(&real).operating_point(cranking);
    let probe = |name: &str| model::Probe::Point(vehicle.point_named(name).expect("there"));
    let measured = Measured::Volts { high: probe("main/+"), low: probe("starter/+") };
    let value = shows(&real, &solved, measured).expect("joined");
    let seen = [observation((cranking, measured), value, 1)];
    let mut session = Session::new(&vehicle);
    let diagnosis = session.diagnose(&seen, None);
    let next = session.next(&diagnosis, &seen, None);
    let first = next.first().expect("one");
    assert_eq!(first.state, cranking, "{first:?}");
    // The sentence that tells the ends apart names the same reading.
    let set = diagnosis.sets.iter().find(|set| set.contains(&bad)).expect("not told apart").clone();
    assert!(set.len() > 1, "{set:?}");
    let apart = session.separating(&diagnosis, &set, &seen, (None, Some(first))).expect("one");
    assert_eq!(apart.state, first.state);
    assert!(alike(apart.measured, first.measured).is_some(), "{apart:?} against {first:?}");
}

#[test]
fn what_shows_only_while_the_engine_runs_is_looked_for_while_it_runs() {
    let vehicle = named("front-engine");
    let running = vehicle.state_named("running").expect("there");
    let only = vehicle.loads.iter().position(|load| {
        load.is_on_in(running)
            && load.on.iter().all(|state| vehicle.engine_in(*state) == Engine::Runs)
    });
    let at = only.expect("a load that is on only then");
    let complaint = crate::Complaint { load: model::LoadId::at(at), state: running };
    let mut session = Session::new(&vehicle);
    let diagnosis = session.diagnose(&[], Some(complaint));
    let next = session.next(&diagnosis, &[], Some(complaint));
    let first = next.first().expect("one");
    assert_eq!((first.state, first.why), (running, Some(Why::OnlyThen)));
}
