//! What holds for repairs of any vehicle, and what they are held against.

use model::{JointId, Piece, StateId, Vehicle};
use network::Network;
use proptest::prelude::*;
use units::{Metres, Money, Ohms, Seconds, Volts};

use super::case::{Case, clean};
use super::*;
use crate::Session;
use crate::explanation::Explanation;
use crate::hypothesis::sound;

/// One resistive load on a body that two straps and a rail join to the battery.
fn vehicle(ohms: &[f64; 8], joint: &[f64; 3]) -> Vehicle {
    let text = format!(
        r#"
format = 1
[vehicle]
name = "one load"
nominal = "12 V"
states = ["running"]
[access.bonnet]
time = "5 min"
[batteries.main]
voltage = "12.6 V"
resistance = "5 mΩ"
at = ["0 m", "0 m"]
access = "bonnet"
[structures.body]
between = [{{ from = "a", to = "b", resistance = "{} mΩ" }}, {{ from = "b", to = "c", resistance = "{} mΩ" }}]
[structures.body.points]
a = {{ at = ["0.5 m", "0 m"], access = "bonnet" }}
b = {{ at = ["1 m", "0 m"], reach = "2 min" }}
c = {{ at = ["1.5 m", "0 m"] }}
[structures.frame]
resistance = "{} mΩ"
[structures.frame.points]
a = {{ at = ["0.5 m", "1 m"], access = "bonnet" }}
c = {{ at = ["1.5 m", "1 m"] }}
[conductors.first]
from = {{ point = "main/-", joint = "post clamp", resistance = "{} mΩ" }}
to = {{ point = "body/a", joint = "bolted lug", resistance = "{} mΩ" }}
resistance = "{} mΩ"
[conductors.second]
from = "main/-"
to = {{ point = "frame/a", joint = "bolted lug", resistance = "{} mΩ" }}
size = "16 mm²"
length = "0.7 m"
[conductors.third]
from = "frame/c"
to = "body/b"
resistance = "{} mΩ"
[loads.heater]
kind = "resistive"
draws = "{} Ω"
on = ["running"]
feed = {{ from = "main/+", size = "6 mm²", length = "2 m" }}
return = {{ to = "body/c", resistance = "{} mΩ" }}
[states.running]
alternators = "off"
"#,
        ohms[0], ohms[1], ohms[2], joint[0], joint[1], ohms[3], joint[2], ohms[4], ohms[5], ohms[6],
    );
    let reading = file::read(text.as_bytes());
    reading.vehicle.unwrap_or_else(|| panic!("{:?}", reading.problems))
}

fn joint(vehicle: &Vehicle, name: &str) -> JointId {
    JointId::at(vehicle.joints.iter().position(|own| own.id == name).expect("in the file"))
}

/// A diagnosis of two explanations: one joint so many times its resistance, or another.
fn diagnosis(session: &mut Session<'_>, faults: &[(&str, f64, f64)]) -> Diagnosis {
    let vehicle = session.vehicle();
    let mut diagnosis = session.diagnose(&[], None);
    diagnosis.explanations = faults
        .iter()
        .map(|(name, times, weight)| {
            let belief = sound(&session.estimator.forward);
            let mut unknowns = belief.mean.clone();
            unknowns[vehicle.piece_slot(Piece::Joint(joint(vehicle, name)))] = times.ln();
            let faults = Vec::new();
            Explanation {
                faults,
                weight: *weight,
                odds: 0.0,
                belief,
                unknowns,
                fit: None,
                without: None,
                idle: false,
                bystander: None,
            }
        })
        .collect();
    diagnosis
}

/// The heater's volts in a vehicle that is laid out and solved anew.
fn solved(vehicle: &Vehicle) -> Volts {
    let state = StateId::at(0);
    let point = Network::new(vehicle).operating_point(state);
    let load = vehicle.load(LoadId::at(0));
    point.point(load.positive).expect("joined") - point.point(load.negative).expect("joined")
}

/// What the action makes of the vehicle itself.
fn done(vehicle: &Vehicle, action: Action) -> Vehicle {
    let mut changed = vehicle.clone();
    let cleaned = |changed: &mut Vehicle, id: JointId| {
        let typical = vehicle.joint(id).kind.clean_typical;
        let own = &mut changed.joints[id.index()].resistance;
        *own = own.min(typical);
    };
    match action {
        Action::Clean(id) | Action::ReplaceEnd(id) => cleaned(&mut changed, id),
        Action::CleanBoth(id) | Action::Replace(id) | Action::Enlarge { conductor: id, .. } => {
            cleaned(&mut changed, vehicle.conductor(id).from);
            cleaned(&mut changed, vehicle.conductor(id).to);
            if let Action::Enlarge { ohms, .. } = action {
                changed.conductors[id.index()].resistance_at_20 = ohms;
            }
        }
        Action::Add { from, to, size, length, .. } => {
            let (from, to) = (&vehicle.point(from).id, &vehicle.point(to).id);
            let text = format!("{from},{to},{size},{} m", length.0);
            file::edit::add_conductor(&mut changed, &text).expect("two points and a size");
        }
    }
    changed
}

/// Conductors warm a little more or less after a change; a session keeps those of the file.
const WARMTH: f64 = 0.03;

/// The same, made too small for its load: larger and added conductors are worth a look.
fn made_too_small() -> Vehicle {
    let mut vehicle = vehicle(&[0.4, 0.5, 0.8, 1.5, 4.0, 0.8, 3.0, 0.0], &[0.3, 0.4, 0.5]);
    vehicle.loads[0].minimum = Some(Volts(12.59));
    vehicle
}

#[test]
fn larger_and_added_conductors_are_left_where_no_load_falls_short() {
    let faults = [("first.to", 60.0, 1.0)];
    let design = |own: &Repair| matches!(own.action, Action::Enlarge { .. } | Action::Add { .. });
    let short = made_too_small();
    let mut session = Session::new(&short);
    let found = diagnosis(&mut session, &faults);
    assert!(session.repairs(&found, None).iter().any(design));
    let mut enough = made_too_small();
    enough.loads[0].minimum = Some(Volts(9.0));
    let mut session = Session::new(&enough);
    let repairs = session.repairs(&found, None);
    assert!(!repairs.iter().any(design), "{repairs:?}");
    assert_eq!(repairs[0].action, Action::Clean(joint(&enough, "first.to")));
}

#[test]
fn an_added_conductor_bears_alone_what_lies_beside_it() {
    let written = made_too_small();
    let mut session = Session::new(&written);
    let diagnosis = diagnosis(&mut session, &[("first.to", 60.0, 1.0)]);
    for own in session.repairs(&diagnosis, None) {
        let Action::Add { from, to, size, ohms, .. } = own.action else { continue };
        for end in [from, to] {
            assert!(!written.point(end).access.out_of_reach, "{own:?}");
        }
        let units::WireSize::Area(area) = size else { panic!("{size:?}") };
        for (state, amps) in straps::carried_alone(&written, from, to, ohms) {
            // A little less than what the table of sizes says is on the safe side.
            let per_metre = Ohms(1.7241e-8 / area.0);
            assert!(network::duty::new_cable_bears(&written, state, area, per_metre, amps));
        }
    }
}

#[test]
fn an_expected_gain_is_the_weighted_mean_of_the_gains_of_vehicles_solved_anew() {
    let written = made_too_small();
    let faults = [("first.to", 60.0, 0.7), ("heater.return.to", 40.0, 0.3)];
    let mut session = Session::new(&written);
    let diagnosis = diagnosis(&mut session, &faults);
    let repairs = session.repairs(&diagnosis, None);
    let kinds = |wanted: fn(&Action) -> bool| repairs.iter().any(|own| wanted(&own.action));
    assert!(kinds(|own| matches!(own, Action::Clean(_))));
    assert!(kinds(|own| matches!(own, Action::ReplaceEnd(_))));
    assert!(kinds(|own| matches!(own, Action::Enlarge { .. })));
    assert!(kinds(|own| matches!(own, Action::Add { .. })));
    for own in &repairs {
        let (mut gain, mut helps) = (Volts::ZERO, 0.0);
        for (name, times, weight) in faults {
            let mut faulty = written.clone();
            let at = joint(&written, name).index();
            faulty.joints[at].resistance = faulty.joints[at].resistance * times;
            let gained = solved(&done(&faulty, own.action)) - solved(&faulty);
            let crimp = if matches!(own.action, Action::Clean(_)) {
                judged::repairs().in_the_crimp.0
            } else {
                0.0
            };
            gain += gained * (weight * (1.0 - crimp));
            if gained.0 > judged::faults().bad_drop_12_v.0 / judged::repairs().helps_from_parts.0 {
                helps += weight * (1.0 - crimp);
            }
        }
        let bound = WARMTH * gain.0.abs() + 2e-4;
        assert!((own.best.volts - gain).0.abs() < bound, "{own:?}: {gain:?}");
        assert!((own.helps - helps).abs() < 1e-9, "{own:?}: {helps}");
    }
    for pair in repairs.windows(2) {
        assert!(pair[0].per_minute() >= pair[1].per_minute());
    }
}

#[test]
fn a_second_step_gains_what_is_left_and_opens_the_bonnet_no_more() {
    let written = made_too_small();
    let mut session = Session::new(&written);
    let diagnosis = diagnosis(&mut session, &[("first.to", 60.0, 1.0)]);
    let repairs = session.repairs(&diagnosis, None);
    let second = session.then(&diagnosis, None, &repairs).expect("something is left");
    let (first, second_alone) = (
        repairs[0].action,
        repairs.iter().find(|own| own.action == second.action).expect("one of them"),
    );
    assert_eq!(
        second.time + repairs[0].time,
        work_time(&written, &[first, second.action]),
        "{second:?}"
    );
    assert!(second.time <= second_alone.time && second.price <= second_alone.price);
    let mut faulty = written.clone();
    let at = joint(&written, "first.to").index();
    faulty.joints[at].resistance = faulty.joints[at].resistance * 60.0;
    // With both done for certain, no more can be gained than the two vehicles differ by.
    let both = solved(&done(&done(&faulty, first), second.action)) - solved(&faulty);
    let sum = repairs[0].best.volts + second.best.volts;
    assert!(sum.0 <= both.0 + WARMTH * both.0 + 2e-4, "{sum:?} {both:?}");
}

#[test]
fn what_is_in_the_way_comes_off_once() {
    let written = vehicle(&[0.4, 0.5, 0.8, 1.5, 4.0, 0.8, 3.0, 0.0], &[0.3, 0.4, 0.5]);
    let clean = |name: &str| Action::Clean(joint(&written, name));
    let takes = |actions: &[Action]| work_time(&written, actions);
    let minutes = |number: f64| Seconds(60.0 * number);
    assert_eq!(takes(&[clean("first.to")]), minutes(15.0 + 5.0));
    assert_eq!(takes(&[clean("third.to")]), minutes(15.0 + 2.0));
    // Battery post and body are both behind the bonnet.
    assert_eq!(takes(&[clean("first.from"), clean("first.to")]), minutes(2.0 * 15.0 + 5.0));
    let id = match written.joint(joint(&written, "first.to")).of {
        model::JointOf::To(id) => id,
        other => panic!("{other:?}"),
    };
    assert_eq!(takes(&[Action::Replace(id)]), minutes(40.0 + 5.0));
}

#[test]
fn a_price_is_work_and_parts() {
    let mut written = vehicle(&[0.4, 0.5, 0.8, 1.5, 4.0, 0.8, 3.0, 0.0], &[0.3, 0.4, 0.5]);
    written.workshop = model::Workshop {
        lug: Money(4.0),
        joint: Money(1.0),
        cable: Money(0.2),
        fixings: Money(3.0),
        ..model::Workshop::usual("EUR", Money(60.0))
    };
    let id = joint(&written, "second.to");
    // Twenty minutes at one euro a minute, and what the joint uses up.
    assert_eq!(price(&written, Action::Clean(id)), Money(21.0));
    assert_eq!(price(&written, Action::ReplaceEnd(id)), Money(30.0 + 5.0));
    let add = Action::Add {
        from: written.point_named("body/b").expect("a point"),
        to: written.point_named("body/c").expect("a point"),
        size: units::WireSize::parse("25 mm²").expect("a size"),
        length: Metres(0.5),
        ohms: Ohms(1e-3),
        amps: units::Amperes(1.0),
    };
    assert_eq!(work_time(&written, &[add]), Seconds(47.0 * 60.0));
    // Half a metre of 25 mm², two ends, fixings.
    assert!((price(&written, add).0 - (47.0 + 2.5 + 10.0 + 3.0)).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Rayleigh's law: with one load on one source, nothing that lowers a resistance of feed or
    /// return takes volts from it. With several loads it does not hold: whoever gains draws more.
    #[test]
    fn no_step_takes_volts_from_the_only_resistive_load(
        ohms in prop::array::uniform8(0.05..20.0_f64),
        joints in prop::array::uniform3(0.05..30.0_f64),
        times in 1.0..200.0_f64,
    ) {
        let mut ohms = ohms;
        ohms[5] += 0.3;
        let written = vehicle(&ohms, &joints);
        let mut session = Session::new(&written);
        let diagnosis = diagnosis(&mut session, &[("first.to", times, 0.6), ("second.to", times, 0.4)]);
        let before: Vec<Volts> = {
            let cases = Case::of(&mut session.estimator.forward, &diagnosis, &[StateId::at(0)]);
            cases.iter().map(|own| session.estimator.forward.load_volts(&own.guess, StateId::at(0), LoadId::at(0)).expect("solved")).collect()
        };
        let before = before[0] * 0.6 + before[1] * 0.4;
        for own in session.repairs(&diagnosis, None) {
            prop_assert!(own.best.volts.0 > -1e-9, "{own:?}");
            prop_assert!((own.best.after - own.best.volts - before).0.abs() < 1e-6, "{own:?} {before:?}");
            prop_assert!((0.0..=1.0 + 1e-12).contains(&own.helps), "{own:?}");
        }
        for at in 0..written.joints.len() {
            prop_assert!(clean(&written, JointId::at(at)) <= 0.0);
        }
    }
}

#[test]
fn whoever_gains_may_take_a_little_from_another() {
    // The counter-example to the law above: two loads on one battery.
    let text = r#"
format = 1
[vehicle]
name = "two loads"
nominal = "12 V"
states = ["running"]
[batteries.main]
voltage = "12.6 V"
resistance = "50 mΩ"
[states.running]
alternators = "off"
[loads.one]
kind = "resistive"
draws = "0.5 Ω"
on = ["running"]
feed = { from = "main/+", size = "6 mm²", length = "1 m" }
return = { to = { point = "main/-", resistance = "300 mΩ" }, size = "6 mm²", length = "1 m" }
[loads.two]
kind = "resistive"
draws = "0.5 Ω"
on = ["running"]
feed = { from = "main/+", size = "6 mm²", length = "1 m" }
return = { to = "main/-", size = "6 mm²", length = "1 m" }
"#;
    let written = file::read(text.as_bytes()).vehicle.expect("a sound file");
    let mut session = Session::new(&written);
    let diagnosis = session.diagnose(&[], None);
    let repairs = session.repairs(&diagnosis, None);
    let first = &repairs[0];
    assert_eq!(first.best.consumer.id(&written), "one");
    let last = first.gains.last().expect("two loads change");
    assert!(last.volts.0 < -0.01 && last.consumer.id(&written) == "two", "{first:?}");
}
