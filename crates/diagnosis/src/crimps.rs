//! Faces, crimps and strands of one cable: what tells them apart, and the work for each.

use model::{JointId, Measured, Probe, Vehicle};
use network::Network;
use units::{Ohms, Ratio};

use crate::fleet::observation;
use crate::{Action, Diagnosis, Observation, Session, SuspectKind};

const FILE: &str = r#"
format = 1
[vehicle]
name = "Peat tipper"
nominal = "12 V"
[structures.engine]
resistance = "20 µΩ"
points.front = {}
points.starter = {}
[batteries.acid]
capacity = "88 Ah"
[conductors.plus]
from = "acid/+"
to = "starter/+"
size = "50 mm²"
length = "0.9 m"
[conductors.ground]
from = "acid/-"
to = { point = "engine/front", joint = "bolted lug" CRIMP }
size = "50 mm²"
length = "0.7 m"
[loads.starter]
kind = "starter"
draws = "220 A"
on = ["cranking"]
case = "engine/starter"
"#;

fn tipper(crimp: &str) -> Vehicle {
    let read = file::read(FILE.replace("CRIMP", crimp).as_bytes());
    read.vehicle.unwrap_or_else(|| panic!("{:?}", read.problems))
}

fn end(vehicle: &Vehicle) -> JointId {
    named(vehicle, "ground.to")
}

fn named(vehicle: &Vehicle, name: &str) -> JointId {
    vehicle.joints.iter().find(|own| own.id == name).map(|own| own.this).expect("in the file")
}

/// What a good meter shows on `truth` over the whole cable, over its face, over its crimp at the engine.
fn readings(truth: &Vehicle, over_the_crimp: bool) -> Vec<Observation> {
    let end = end(truth);
    let face = truth.joint(end).point;
    let post = Probe::Point(truth.batteries[0].negative);
    let places = [
        (Probe::Point(face), post),
        (Probe::Point(face), Probe::Lug(end)),
        (post, Probe::Lug(truth.conductors[1].from)),
        (Probe::Lug(end), Probe::Strand(end)),
    ];
    let cranking = truth.state_named("cranking").expect("a state");
    let point = Network::new(truth).operating_point(cranking);
    let volts = |probe| point.probe(truth, probe).expect("joined").0;
    let taken = places.iter().take(if over_the_crimp { 4 } else { 3 }).zip(1..);
    taken
        .map(|(&(high, low), number)| {
            let measured = Measured::Volts { high, low };
            observation((cranking, measured), volts(high) - volts(low), number)
        })
        .collect()
}

fn bad(mut vehicle: Vehicle, name: &str) -> Vehicle {
    let at = named(&vehicle, name);
    vehicle.joints[at.index()].resistance = Ohms(2.5e-3);
    vehicle
}

fn chance(diagnosis: &Diagnosis, kind: SuspectKind) -> f64 {
    diagnosis.suspects.iter().find(|own| own.kind == kind).map_or(0.0, |own| own.probability)
}

/// The vehicle with the crimps of its ground as pieces of their own.
fn apart() -> Vehicle {
    let vehicle = tipper("");
    vehicle.told_apart([vehicle.conductors[1].this]).expect("not so before")
}

#[test]
fn a_sound_crimp_adds_nothing() {
    let (whole, apart) = (tipper(""), apart());
    let cranking = whole.state_named("cranking").expect("a state");
    let one = Network::new(&whole).operating_point(cranking);
    let other = Network::new(&apart).operating_point(cranking);
    for (before, after) in one.points.iter().zip(&other.points) {
        let (Some(before), Some(after)) = (before, after) else { panic!("all hang together") };
        assert!((*before - *after).abs().0 < 1e-3, "{before:?} {after:?}");
    }
    let strand = one.probe(&whole, Probe::Strand(end(&whole)));
    assert_eq!(strand, one.probe(&whole, Probe::Lug(end(&whole))));
}

#[test]
fn a_bad_crimp_shows_from_eye_to_strand_and_not_from_boss_to_eye() {
    let truth = bad(apart(), "ground.to.crimp");
    let shown: Vec<f64> = readings(&truth, true).iter().map(|own| own.value.abs()).collect();
    assert!(shown[3] > 0.3 && shown[1] < 0.1 * shown[3], "{shown:?}");
    let vehicle = apart();
    let diagnosis = Session::new(&vehicle).diagnose(&readings(&truth, true), None);
    let found = chance(&diagnosis, SuspectKind::Joint(named(&vehicle, "ground.to.crimp")));
    assert!(found > 0.95, "{:?}", diagnosis.suspects);
}

#[test]
fn until_a_strand_is_touched_strands_and_crimps_are_one_suspect() {
    let truth = bad(apart(), "ground.to.crimp");
    let vehicle = tipper("");
    let diagnosis = Session::new(&vehicle).diagnose(&readings(&truth, false), None);
    let ground = vehicle.conductors[1].this;
    assert!(chance(&diagnosis, SuspectKind::Conductor(ground)) > 0.5, "{:?}", diagnosis.suspects);
    assert_eq!(diagnosis.suspected_inside(&vehicle), [ground]);
}

/// Whether they are told apart or not: told apart, the three share what the one had.
#[test]
fn strands_and_crimps_have_together_the_chance_that_the_cable_had() {
    let truth = bad(apart(), "ground.to.crimp");
    let (whole, apart) = (tipper(""), apart());
    let ground = whole.conductors[1].this;
    let seen = readings(&truth, false);
    let one = Session::new(&whole).diagnose(&seen, None);
    let three = Session::new(&apart).diagnose(&seen, None);
    let crimps = apart.conductor(ground).crimps.map(|own| own.expect("told apart"));
    let parts = crimps.map(|own| chance(&three, SuspectKind::Joint(own)));
    let sum = parts.iter().sum::<f64>() + chance(&three, SuspectKind::Conductor(ground));
    let before = chance(&one, SuspectKind::Conductor(ground));
    assert!((sum - before).abs() < 0.2 && parts.iter().all(|own| *own > 0.1), "{before} {sum}");
}

#[test]
fn a_suspected_cable_is_asked_from_lug_to_strand() {
    let truth = bad(apart(), "ground.to.crimp");
    let vehicle = apart();
    let seen = readings(&truth, false);
    let mut session = Session::new(&vehicle);
    let diagnosis = session.diagnose(&seen, None);
    let next = session.next(&diagnosis, &seen, None);
    let over = |own: &Measured| match *own {
        Measured::Volts { high, low } => vehicle.over_a_crimp(high, low).is_some(),
        _ => false,
    };
    assert!(next.first().is_some_and(|own| over(&own.measured)), "{next:?}");
}

#[test]
fn a_bad_face_wants_cleaning_and_a_bad_crimp_a_new_lug() {
    let vehicle = apart();
    let first = |name: &str| {
        let mut session = Session::new(&vehicle);
        let diagnosis = session.diagnose(&readings(&bad(apart(), name), true), None);
        session.repairs(&diagnosis, None).first().expect("something is bad").action
    };
    let end = end(&vehicle);
    assert_eq!(first("ground.to"), Action::Clean(end));
    assert_eq!(first("ground.to.crimp"), Action::ReplaceEnd(end));
}

#[test]
fn bad_strands_want_a_new_cable() {
    let vehicle = apart();
    let ground = vehicle.conductors[1].this;
    let mut truth = apart();
    let own = &mut truth.conductors[ground.index()];
    own.resistance_at_20 = own.resistance_at_20 * 8.0;
    let mut session = Session::new(&vehicle);
    let mut seen = readings(&truth, true);
    let from = vehicle.conductor(ground).from;
    let state = seen[0].state;
    let other = Measured::Volts { high: Probe::Strand(from), low: Probe::Lug(from) };
    seen.push(observation((state, other), 0.0, 5));
    let diagnosis = session.diagnose(&seen, None);
    let strands = chance(&diagnosis, SuspectKind::Conductor(ground));
    for crimp in vehicle.conductor(ground).crimps.into_iter().flatten() {
        let crimp = chance(&diagnosis, SuspectKind::Joint(crimp));
        assert!(strands > 0.5 && strands > 20.0 * crimp, "{:?}", diagnosis.suspects);
    }
    let repairs = session.repairs(&diagnosis, None);
    assert_eq!(repairs.first().map(|own| own.action), Some(Action::Replace(ground)));
}

#[test]
fn a_crimp_that_the_file_states_as_bad_is_bad_in_every_answer() {
    let vehicle = tipper(r#", crimp = { resistance = "2.5 mΩ" }"#);
    let crimp = named(&vehicle, "ground.to.crimp");
    let seen = readings(&vehicle, true);
    assert!(seen[3].value.abs() > 0.3, "{seen:?}");
    let diagnosis = Session::new(&vehicle).diagnose(&seen, None);
    assert!(chance(&diagnosis, SuspectKind::Joint(crimp)) > 0.9, "{:?}", diagnosis.suspects);
    let suspected = tipper(r#", crimp = { suspicion = "20 %" }"#);
    let own = suspected.joint(named(&suspected, "ground.to.crimp"));
    assert_eq!(own.suspicion, Some(Ratio(0.2)));
}
