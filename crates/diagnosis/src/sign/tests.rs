//! A sign that nobody wrote down accuses nobody, and what cannot be is not weighed.

use model::{Measured, Probe, StateId, Told, Vehicle};
use network::Network;
use units::Ohms;

use super::{Doubt, Heeded};
use crate::fleet::{all, named, shows, told};
use crate::{Session, SuspectKind};

fn state(vehicle: &Vehicle, name: &str) -> StateId {
    vehicle.state_named(name).expect("a state of the file")
}

fn probe(vehicle: &Vehicle, name: &str) -> Probe {
    let lug = vehicle.joints.iter().find(|joint| joint.id == name);
    lug.map_or_else(
        || Probe::Point(vehicle.point_named(name).expect("a point of the file")),
        |joint| Probe::Lug(joint.this),
    )
}

fn volts(vehicle: &Vehicle, red: &str, black: &str) -> Measured {
    Measured::Volts { high: probe(vehicle, red), low: probe(vehicle, black) }
}

#[test]
fn a_minus_left_off_at_a_point_or_a_lug_is_asked_about_and_accuses_nobody() {
    for (name, red, black) in [
        ("camper-van", "main/-", "block/front"),
        ("camper-van", "main-negative.from", "main-negative.to"),
        ("front-engine", "main/-", "body/left-front"),
        ("front-engine", "main/-", "main-negative.to"),
        ("rescue-ambulance", "main/-", "block/front"),
    ] {
        let vehicle = named(name);
        let mut session = Session::new(&vehicle);
        let at = (state(&vehicle, "cranking"), volts(&vehicle, red, black));
        let sound = session.sound_shows(at.0, at.1).expect("joined");
        assert!(sound < -0.01, "{name} {red}: {sound}");
        let Heeded { seen, questions } = session.heed(&[told(at, -sound, false, 1)], None);
        assert_eq!(questions.len(), 1, "{name} {red}");
        assert_eq!((questions[0].number, questions[0].doubt), (1, Doubt::Minus));
        assert!(seen[0].value < 0.0, "{name} {red}: weighed as the current flows");
        let diagnosis = session.diagnose(&seen, None);
        let before = session.diagnose(&[], None);
        let now = diagnosis.nothing_bad;
        assert!(now > before.nothing_bad - 0.05, "{name} {red}: {now}");
        // But for what the file itself states as bad.
        let stated =
            |kind| before.suspects.iter().any(|own| own.kind == kind && own.probability > 0.5);
        let mut accused = diagnosis.suspects.iter().filter(|own| !stated(own.kind));
        assert!(accused.all(|own| own.probability < 0.2), "{name} {red}");
        assert_eq!(diagnosis.in_doubt(), None);
        // With its sign told, be it minus or plus, nobody is asked.
        for value in [sound, -sound] {
            let Heeded { seen, questions } = session.heed(&[told(at, value, true, 1)], None);
            assert!(questions.is_empty(), "{name} {red}");
            assert!((seen[0].value - value).abs() < 1e-12, "{name} {red}");
        }
    }
}

#[test]
fn a_bad_joint_read_without_the_minus_is_accused_and_no_path_that_nobody_drew() {
    let vehicle = named("camper-van");
    let mut real = vehicle.clone();
    let bad = vehicle.joints.iter().find(|own| own.id == "main-negative.to").expect("there").this;
    real.joints[bad.index()].resistance = Ohms(3e-3);
    let cranking = state(&vehicle, "cranking");
    let solved = Network::new(&real).operating_point(cranking);
    let at = (cranking, volts(&vehicle, "main/-", "block/front"));
    let value = shows(&real, &solved, at.1).expect("joined");
    assert!(value < -0.4, "{value}");
    let mut session = Session::new(&vehicle);
    let Heeded { seen, questions } = session.heed(&[told(at, -value, false, 1)], None);
    assert_eq!(questions[0].doubt, Doubt::Minus);
    let diagnosis = session.diagnose(&seen, None);
    let suspected = |own: &SuspectKind| match own {
        SuspectKind::Joint(id) => vehicle.joint(*id).id.starts_with("main-negative"),
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => {
            vehicle.conductor(*id).id == "main-negative"
        }
        _ => false,
    };
    let there: f64 = diagnosis
        .suspects
        .iter()
        .filter(|own| suspected(&own.kind))
        .map(|own| own.probability)
        .sum();
    assert!(there > 0.7, "{there}: {:?}", diagnosis.suspects.first());
    let path = |own: &SuspectKind| matches!(own, SuspectKind::ExtraPath { .. });
    assert!(diagnosis.suspects.iter().all(|own| !path(&own.kind) || own.probability < 0.1));
}

/// A joint opened, and a voltage against a battery's minus that it turned round.
fn turned_round(vehicle: &Vehicle) -> Option<(Vehicle, StateId, Measured, f64)> {
    let session = Session::new(vehicle);
    let home = Probe::Point(vehicle.batteries[0].negative);
    for joint in &vehicle.joints {
        let mut real = vehicle.clone();
        real.joints[joint.this.index()].resistance = Ohms(10.0);
        let solved = Network::new(&real).operating_points();
        for at in (0..vehicle.states.len()).map(StateId::at) {
            for point in (0..vehicle.points.len()).map(model::PointId::at) {
                let measured = Measured::Volts { high: Probe::Point(point), low: home };
                let Some(sound) = session.sound_shows(at, measured) else { continue };
                let Some(shown) = shows(&real, &solved[at.index()], measured) else { continue };
                if sound < -0.01 && shown > 0.2 {
                    return Some((real, at, measured, shown));
                }
            }
        }
    }
    None
}

#[test]
fn a_current_that_a_fault_has_turned_round_is_not_taken_for_a_minus_left_off() {
    let found = all().into_iter().find_map(|(name, vehicle)| {
        let found = turned_round(&vehicle)?;
        Some((name, vehicle, found))
    });
    let (name, vehicle, (real, at, measured, shown)) = found.expect("some fault turns one round");
    let mut session = Session::new(&vehicle);
    let home = Probe::Point(vehicle.batteries[0].negative);
    let solved = Network::new(&real).operating_point(at);
    // What else was read, its signs told: the metal round about.
    let metal = vehicle.structures.iter().flat_map(|own| own.points.clone());
    let mut readings: Vec<_> = metal
        .map(|point| Measured::Volts { high: Probe::Point(point), low: home })
        .filter(|other| *other != measured)
        .filter_map(|other| Some((other, shows(&real, &solved, other)?)))
        .zip(1..)
        .map(|((other, value), number)| told((at, other), value, true, number))
        .collect();
    readings.push(told((at, measured), shown, false, 99));
    let Heeded { questions, .. } = session.heed(&readings, None);
    assert!(
        !questions.iter().any(|own| own.number == 99 && own.doubt == Doubt::Minus),
        "{name}: {questions:?}"
    );
    // The same with the leads the other way round and the minus written down: it is believed.
    let Measured::Volts { high, low } = measured else { panic!("volts") };
    let turned = Measured::Volts { high: low, low: high };
    readings.pop();
    readings.push(told((at, turned), -shown, true, 99));
    let Heeded { seen, questions } = session.heed(&readings, None);
    assert!(seen.iter().any(|own| own.number == 99), "{name}: {questions:?}");
}

#[test]
fn more_than_the_sources_give_is_asked_about_and_never_weighed() {
    for (name, vehicle) in all() {
        let mut session = Session::new(&vehicle);
        let battery = &vehicle.batteries[0];
        let posts = Measured::Volts {
            high: Probe::Point(battery.positive),
            low: Probe::Point(battery.negative),
        };
        let clamp = Measured::Amps { conductor: vehicle.conductors[0].this };
        for (measured, value) in [
            (posts, 1e5),
            (posts, 900.0),
            (posts, -900.0),
            (posts, 1.6 * vehicle.nominal.0.max(24.0) * 4.0),
            (clamp, 1e6),
            (clamp, -1e6),
        ] {
            let at = (StateId::at(0), measured);
            let Heeded { seen, questions } = session.heed(&[told(at, value, true, 7)], None);
            assert!(seen.is_empty(), "{name}: {value} is weighed");
            assert!(matches!(questions[0].doubt, Doubt::Beyond(_)), "{name}: {questions:?}");
            assert_eq!((questions[0].number, questions[0].value), (7, value));
        }
        // What an alternator without its regulator makes of a battery is a reading.
        let runs = |state: &StateId| vehicle.regulated.iter().any(|own| own.runs_in(*state));
        for state in (0..vehicle.states.len()).map(StateId::at).filter(runs) {
            let high = told((state, posts), 1.4 * battery.nominal.0, true, 1);
            assert_eq!(session.heed(&[high], None).seen.len(), 1, "{name}");
        }
    }
}

#[test]
fn four_times_six_volts_are_not_weighed_in_a_twelve_volt_vehicle_and_are_in_one_of_twice_twelve() {
    let over = |vehicle: &Vehicle, red: &str, black: &str, value: f64| {
        let at = (state(vehicle, "running"), volts(vehicle, red, black));
        Session::new(vehicle).heed(&[told(at, value, true, 1)], None).seen.len()
    };
    assert_eq!(over(&named("camper-van"), "main/+", "main/-", 24.6), 0);
    assert_eq!(over(&named("plant"), "upper/+", "lower/-", 24.6), 1);
    assert_eq!(over(&named("plant"), "upper/+", "lower/-", 28.9), 1);
}

#[test]
fn a_minus_over_a_battery_whose_plus_was_named_is_not_weighed() {
    for (name, vehicle) in all() {
        let mut session = Session::new(&vehicle);
        for battery in &vehicle.batteries {
            let ends = [battery.positive, battery.negative].map(Probe::Point);
            let over = Measured::Volts { high: ends[0], low: ends[1] };
            let value = 0.91 * battery.nominal.0;
            let at = (StateId::at(0), over);
            let crossed = session.heed(&[told(at, -value, true, 1)], None);
            assert!(crossed.seen.is_empty(), "{name}");
            assert!(matches!(crossed.questions[0].doubt, Doubt::Reversed(_)), "{name}");
            // The same with the places told as the leads were.
            let at = (StateId::at(0), Measured::Volts { high: ends[1], low: ends[0] });
            let right = session.heed(&[told(at, -value, true, 1)], None);
            assert!(right.questions.is_empty() && right.seen.len() == 1, "{name}");
            let left_off = session.heed(&[told(at, value, false, 1)], None);
            assert_eq!(left_off.questions[0].doubt, Doubt::Minus, "{name}");
            assert!((left_off.seen[0].value + value).abs() < 1e-12, "{name}");
        }
    }
}

#[test]
fn a_minus_where_the_plus_of_a_supply_was_named_is_asked_about() {
    let vehicle = named("front-engine");
    let at = (state(&vehicle, "cranking"), volts(&vehicle, "starter/+", "block/front"));
    let heeded = Session::new(&vehicle).heed(&[told(at, -10.4, true, 1)], None);
    assert!(heeded.seen.is_empty());
    assert_eq!(heeded.questions[0].doubt, Doubt::Crossed);
}

#[test]
fn leads_that_changed_places_turn_the_value_and_nothing_else() {
    let range = Told::Between(0.1, 0.3).turned();
    assert_eq!(range, Told::Between(-0.3, -0.1));
    assert_eq!(range.turned(), Told::Between(0.1, 0.3));
    assert_eq!(Told::Change(1).turned(), Told::Change(1));
}

/// States in which nothing but batteries gives anything, and the others.
fn alone(vehicle: &Vehicle) -> (Vec<StateId>, Vec<StateId>) {
    let states = (0..vehicle.states.len()).map(StateId::at);
    states.partition(|state| !vehicle.regulated.iter().any(|own| own.runs_in(*state)))
}

#[test]
fn volts_that_only_a_charging_source_makes_are_asked_about_where_nothing_charges() {
    let mut tried = 0;
    for (name, vehicle) in all() {
        let mut session = Session::new(&vehicle);
        let (alone, fed) = alone(&vehicle);
        for battery in &vehicle.batteries {
            let posts = [battery.positive, battery.negative].map(Probe::Point);
            let over = Measured::Volts { high: posts[0], low: posts[1] };
            let mut doubt = |state: StateId, share: f64| {
                let reading = told((state, over), share * battery.nominal.0, true, 1);
                let Heeded { seen, questions } = session.heed(&[reading], None);
                assert_eq!(seen.is_empty(), !questions.is_empty(), "{name} {share}");
                questions.first().map(|own| own.doubt)
            };
            for share in [1.15, 1.2, 1.3, 1.45] {
                for state in &alone {
                    let found = doubt(*state, share);
                    let beyond = matches!(found, Some(Doubt::BeyondBatteries(_)));
                    assert!(beyond, "{name} {share}: {found:?}");
                    tried += 1;
                }
                for state in &fed {
                    assert_eq!(doubt(*state, share), None, "{name} {share}");
                }
            }
            // A charged battery, and one with some surface charge left.
            for share in [0.7, 1.0, 1.05, 1.08] {
                for state in &alone {
                    assert_eq!(doubt(*state, share), None, "{name} {share}");
                }
            }
        }
    }
    assert!(tried > 50, "{tried}");
}

#[test]
fn a_loss_beyond_the_batteries_or_a_point_outside_their_posts_is_asked_about() {
    for name in ["front-engine", "plant", "small-boat"] {
        let vehicle = named(name);
        let mut session = Session::new(&vehicle);
        let (alone, _) = alone(&vehicle);
        let metal = Probe::Point(vehicle.structures[0].points[0]);
        let lowest = vehicle.batteries.last().expect("one").negative;
        let loss = Measured::Volts { high: metal, low: Probe::Point(lowest) };
        for state in alone {
            for share in [-2.0, -1.3, 1.3, 2.0] {
                let reading = told((state, loss), share * vehicle.nominal.0, true, 1);
                assert!(session.heed(&[reading], None).seen.is_empty(), "{name} {share}");
            }
        }
    }
}

#[test]
fn a_minus_where_the_current_can_only_make_a_plus_is_asked_about_and_accuses_nobody() {
    let mut tried = 0;
    for (name, red, black) in [
        ("front-engine", "main/+", "starter/+"),
        ("front-engine", "block/front", "main/-"),
        ("front-engine", "starter/-", "main/-"),
        ("plant", "upper/+", "starter/+"),
        ("rear-battery", "starter/-", "main/-"),
    ] {
        let vehicle = named(name);
        if vehicle.point_named(red).is_none() || vehicle.point_named(black).is_none() {
            continue;
        }
        let at = (state(&vehicle, "cranking"), volts(&vehicle, red, black));
        let mut session = Session::new(&vehicle);
        let sound = session.sound_shows(at.0, at.1).expect("joined");
        for value in [-0.7 * sound, -sound, -3.0 * sound, -0.9] {
            let Heeded { seen, questions } = session.heed(&[told(at, value, true, 1)], None);
            assert!(seen.is_empty(), "{name} {red} to {black} {value}: sound {sound}");
            assert_eq!(questions[0].doubt, Doubt::Against, "{name} {red} to {black} {value}");
            tried += 1;
        }
        // With a plus nobody is asked.
        assert!(session.heed(&[told(at, 3.0 * sound, true, 1)], None).questions.is_empty());
    }
    assert!(tried >= 12, "{tried}");
}
