//! What the file itself says is wrong, ways home that lie in parallel, and when nothing is cleared.

use model::{JointId, Measured, Probe, Vehicle};
use network::Network;

use crate::{Hold, Observation, Session, Side, SuspectKind};

/// A tractor with two ways home from its engine, the second of which the file may not be sure of.
fn tractor(strap: &str, joint: &str) -> Vehicle {
    let text = format!(
        r#"
format = 1
[vehicle]
name = "Orchard tractor"
nominal = "12 V"
[structures.engine]
resistance = "20 µΩ"
points.front = {{}}
points.starter = {{}}
[structures.frame]
resistance = "0.1 mΩ"
points.front = {{}}
points.rear = {{}}
[batteries.acid]
capacity = "88 Ah"
[conductors.plus]
from = "acid/+"
to = "starter/+"
size = "50 mm²"
length = "0.9 m"
[conductors.engine-lead]
from = "acid/-"
to = "engine/front"
size = "50 mm²"
length = "0.7 m"
[conductors.frame-lead]
from = "acid/-"
to = "frame/rear"
size = "25 mm²"
length = "0.5 m"
[conductors.strap]
from = "engine/front"
to = "frame/front"
size = "25 mm²"
length = "0.3 m"
{strap}
[loads.starter]
kind = "starter"
draws = "220 A"
on = ["cranking"]
case = "engine/starter"
[loads.lamp]
kind = "lamp"
draws = "60 W"
on = ["running"]
feed = {{ from = "acid/+", size = "2.5 mm²", length = "2 m", fuse = "10 A" }}
return = {{ to = {joint}, size = "2.5 mm²", length = "0.6 m" }}
"#
    );
    let read = file::read(text.as_bytes());
    read.vehicle.unwrap_or_else(|| panic!("{:?}", read.problems))
}

const CLEAN: &str = r#"{ point = "frame/front", joint = "bolted lug" }"#;
const BAD: &str = r#"{ point = "frame/front", joint = "bolted lug", resistance = "55 mΩ" }"#;

fn volts(vehicle: &Vehicle, state: &str, high: &str, low: &str, value: f64) -> Observation {
    let at = |name: &str| Probe::Point(vehicle.point_named(name).expect("in the file"));
    Observation {
        number: 1,
        state: vehicle.state_named(state).expect("in the file"),
        measured: Measured::Volts { high: at(high), low: at(low) },
        value,
        sigma: 0.002 + 0.006 * value.abs(),
    }
}

fn shown(vehicle: &Vehicle, state: &str, high: &str, low: &str) -> Observation {
    let own = volts(vehicle, state, high, low, 0.0);
    let solved = Network::new(vehicle).operating_point(own.state);
    let at = |name: &str| solved.point(vehicle.point_named(name).expect("there")).expect("there").0;
    volts(vehicle, state, high, low, at(high) - at(low))
}

fn joint(vehicle: &Vehicle, name: &str) -> SuspectKind {
    let at = vehicle.joints.iter().position(|own| own.id == name).expect("in the file");
    SuspectKind::Joint(JointId::at(at))
}

fn probability(found: &crate::Diagnosis, kind: SuspectKind) -> f64 {
    let own = found.suspects.iter().find(|own| own.kind == kind);
    own.map_or(0.0, |own| own.probability)
}

#[test]
fn a_joint_that_the_file_states_as_bad_is_bad_before_any_reading_and_after_one_that_fits() {
    let vehicle = tractor("", BAD);
    let bad = joint(&vehicle, "lamp.return.to");
    let mut session = Session::new(&vehicle);
    let before = session.diagnose(&[], None);
    assert!((probability(&before, bad) - 0.95).abs() < 0.02, "{}", probability(&before, bad));
    let fits = shown(&vehicle, "running", "lamp/-", "acid/-");
    let after = session.diagnose(&[fits], None);
    assert!(probability(&after, bad) > 0.99 && after.nothing_bad < 0.01, "{:?}", after.suspects[0]);
    let elsewhere = shown(&vehicle, "running", "frame/front", "acid/-");
    assert!(session.diagnose(&[elsewhere], None).nothing_bad < 0.1);
}

#[test]
fn a_joint_that_was_stated_as_bad_and_reads_as_clean_was_mended_since() {
    let vehicle = tractor("", BAD);
    let bad = joint(&vehicle, "lamp.return.to");
    let mended = shown(&tractor("", CLEAN), "running", "lamp/-", "acid/-");
    let found = Session::new(&vehicle).diagnose(&[mended], None);
    assert!(probability(&found, bad) < 0.2, "{}", probability(&found, bad));
    assert!(found.nothing_bad > 0.7, "{}", found.nothing_bad);
}

#[test]
fn repairs_and_diagnosis_speak_of_the_same_bad_joint() {
    let vehicle = tractor("", BAD);
    let SuspectKind::Joint(bad) = joint(&vehicle, "lamp.return.to") else { panic!("a joint") };
    let mut session = Session::new(&vehicle);
    let found = session.diagnose(&[], None);
    let first = session.repairs(&found, None).into_iter().next().expect("a step");
    let at = match first.action {
        crate::Action::Clean(id) | crate::Action::ReplaceEnd(id) => id == bad,
        crate::Action::Replace(id) => vehicle.conductor(id).to == bad,
        _ => false,
    };
    assert!(at, "{:?}", first.action);
}

#[test]
fn what_a_file_allows_a_joint_or_says_of_its_chance_is_not_stated_as_bad() {
    for more in [r#", likely = ["5 mΩ", "80 mΩ"]"#, r#", suspicion = "3 %""#] {
        let joint = BAD.replace(" }", &format!("{more} }}"));
        let vehicle = tractor("", &joint);
        let found = Session::new(&vehicle).diagnose(&[], None);
        assert!(found.nothing_bad > 0.5, "{more}: {}", found.nothing_bad);
    }
}

#[test]
fn both_of_two_parallel_ways_home_are_always_among_the_explanations() {
    let vehicle = tractor("", CLEAN);
    let mut session = Session::new(&vehicle);
    // Of what is measured here nothing asks for a second fault.
    let quiet = shown(&vehicle, "cranking", "acid/+", "acid/-");
    let found = session.diagnose(&[quiet], None);
    let of = |kind: &SuspectKind| match kind {
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => vehicle.conductor(*id).id.clone(),
        SuspectKind::Joint(id) => {
            vehicle.joint(*id).id.split('.').next().unwrap_or_default().to_owned()
        }
        _ => String::new(),
    };
    for second in ["strap", "frame-lead"] {
        let both = found.explanations.iter().any(|own| {
            let names: Vec<String> = own.faults.iter().map(of).collect();
            names.len() == 2
                && names.contains(&"engine-lead".to_owned())
                && names.contains(&second.to_owned())
        });
        assert!(both, "engine-lead and {second}");
    }
}

#[test]
fn volts_that_only_both_ways_home_together_can_lose_blame_both() {
    let vehicle = tractor(r#"missing = "20 %""#, CLEAN);
    let lost = volts(&vehicle, "cranking", "engine/front", "acid/-", 3.0);
    let found = Session::new(&vehicle).diagnose(&[lost], None);
    let strap = vehicle.conductors.iter().find(|own| own.id == "strap").expect("there").this;
    assert!(probability(&found, SuspectKind::Open(strap)) > 0.5, "{:?}", found.suspects);
    assert!(found.take_again[0].1 < 0.3, "{:?}", found.take_again);
    let lead: f64 = ["engine-lead.from", "engine-lead.to"]
        .map(|name| probability(&found, joint(&vehicle, name)))
        .iter()
        .sum();
    assert!(lead > 0.5, "{:?}", found.suspects);
}

#[test]
fn a_way_home_that_nobody_saw_is_told_until_a_clamp_has_seen_it() {
    let vehicle = tractor(r#"missing = "20 %""#, CLEAN);
    let strap = vehicle.conductors.iter().find(|own| own.id == "strap").expect("there").this;
    let unseen = Hold::Unseen { conductor: strap };
    let mut session = Session::new(&vehicle);
    let quiet = shown(&vehicle, "cranking", "acid/+", "acid/-");
    let found = session.diagnose(&[quiet], None);
    assert!(session.holds(&found, &[quiet], None).contains(&unseen));
    let state = quiet.state;
    let flows = Network::new(&vehicle).operating_point(state);
    let amps = flows.pieces[strap.index()].amps.0;
    let measured = Measured::Amps { conductor: strap };
    let clamped = Observation { number: 2, state, measured, value: amps, sigma: 1.0 };
    let seen = [quiet, clamped];
    let found = session.diagnose(&seen, None);
    assert!(!session.holds(&found, &seen, None).contains(&unseen), "{amps}");
    // One that is drawn without a doubt was seen.
    let sure = tractor("", CLEAN);
    let mut session = Session::new(&sure);
    let found = session.diagnose(&[quiet], None);
    assert_eq!(session.holds(&found, &[quiet], None), []);
}

#[test]
fn a_reading_above_what_is_taught_keeps_its_side_from_being_cleared() {
    let vehicle = tractor("", CLEAN);
    let mut session = Session::new(&vehicle);
    let starter = vehicle.load_named("starter");
    let above = volts(&vehicle, "cranking", "engine/starter", "acid/-", 0.3);
    let found = session.diagnose(&[above], None);
    let holds = session.holds(&found, &[above], starter);
    let of_return = Hold::AboveTaught { number: 1, side: Some(Side::Return) };
    assert!(holds.contains(&of_return), "{holds:?}");
    assert!(of_return.keeps(Side::Return) && !of_return.keeps(Side::Feed));
    let within = volts(&vehicle, "cranking", "engine/starter", "acid/-", 0.1);
    let found = session.diagnose(&[within], None);
    assert_eq!(session.holds(&found, &[within], starter), []);
}
