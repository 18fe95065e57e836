//! What holds for every vehicle, fault and reading that trials draw.

use model::{Measured, Piece, PointId, Probe, StateId};
use units::Ohms;

use crate::dice::Dice;
use crate::fault::{self, LEAST_COST};
use crate::meter;
use crate::vehicle::{self, JOINTS, SPREAD, Subject};

fn subjects(number: u64) -> Vec<(Subject, Dice)> {
    (0..number)
        .map(|number| {
            let mut dice = Dice::new(7, "laws", number);
            let subject = vehicle::draw(&mut dice).expect("a vehicle is drawn");
            (subject, dice)
        })
        .collect()
}

#[test]
fn most_layouts_read_without_an_error_and_every_vehicle_without_a_warning_of_a_short_or_an_island()
{
    let mut dice = Dice::new(3, "layouts", 0);
    for _ in 0..200 {
        let text = crate::layout::text(&mut dice);
        let reading = file::read(text.as_bytes());
        let told: Vec<&str> =
            reading.problems.iter().map(|problem| problem.what.as_str()).collect();
        assert!(told.is_empty(), "{told:?}\n{text}");
    }
}

#[test]
fn a_vehicle_has_from_50_to_150_joints_and_from_8_to_30_loads_and_is_solved_in_every_state() {
    for (subject, _) in subjects(60) {
        assert!((JOINTS.0..=JOINTS.1).contains(&subject.known.joints.len()));
        assert!((8..=30).contains(&subject.known.loads.len()));
        assert!((1..=2).contains(&subject.known.batteries.len()));
        assert_eq!(subject.points.len(), subject.known.states.len());
        for point in &subject.points {
            assert!(point.balance.error.0.abs() < 1e-6);
        }
    }
}

#[test]
fn the_real_vehicle_differs_from_its_file_in_every_joint_and_load_and_none_of_its_joints_is_bad() {
    for (subject, _) in subjects(20) {
        let expected = vehicle::solve(&subject.known).expect("it is solved");
        for (known, real) in subject.known.joints.iter().zip(&subject.real.joints) {
            assert_ne!(known.resistance, real.resistance, "{}", known.id);
            assert!(real.resistance < vehicle::clean_below(&subject.known, &expected, known.this));
            assert!(real.resistance < known.kind.bad_low, "{}", known.id);
        }
        for (known, real) in subject.known.loads.iter().zip(&subject.real.loads) {
            assert_ne!(known.law, real.law, "{}", known.id);
        }
        assert_eq!(subject.known.points, subject.real.points);
    }
}

#[test]
fn clean_joints_spread_by_a_factor_of_two() {
    let mut logs: Vec<f64> = Vec::new();
    for (subject, _) in subjects(30) {
        let pairs = subject.known.joints.iter().zip(&subject.real.joints);
        logs.extend(pairs.map(|(known, real)| (real.resistance / known.resistance).ln()));
    }
    let number = logs.len() as f64;
    let mean = logs.iter().sum::<f64>() / number;
    let deviation = (logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / number).sqrt();
    // Drawing again above the bad range takes a little off the upper end.
    assert!((-0.12..=0.02).contains(&mean), "{mean}");
    let told = SPREAD.joint.ln();
    assert!((0.85 * told..=1.02 * told).contains(&deviation), "{deviation}");
}

#[test]
fn a_hidden_fault_costs_its_load_at_least_150_millivolts_and_the_complaint_is_about_that_load() {
    for (subject, mut dice) in subjects(20) {
        let all = fault::all_joints(&subject.known);
        let faulty = fault::joints(&all, 1, &subject, &mut dice).expect("some joint can be bad");
        let fault = faulty.faults[0];
        assert!(fault.cost >= LEAST_COST);
        assert_eq!(faulty.complaint, Some(fault.hurts));
        let (load, state) = fault.hurts;
        let before = subject.points[state.index()].load(load).volts;
        let after = faulty.points[state.index()].load(load).volts;
        assert_eq!(before - after, fault.cost);
        let changed = (subject.real.joints.iter().zip(&faulty.real.joints))
            .filter(|(before, after)| before != after)
            .count();
        assert_eq!(changed, 1);
    }
}

#[test]
fn each_of_two_faults_costs_some_load_enough_by_itself() {
    for (subject, mut dice) in subjects(10) {
        let all = fault::all_joints(&subject.known);
        let faulty = fault::joints(&all, 2, &subject, &mut dice).expect("two joints can be bad");
        assert_eq!(faulty.faults.len(), 2);
        assert_ne!(faulty.faults[0].joint, faulty.faults[1].joint);
        for fault in &faulty.faults {
            let mut alone = subject.real.clone();
            alone.joints[fault.joint.index()].resistance = fault.resistance;
            let points = vehicle::solve(&alone).expect("it is solved");
            let worst = fault::worst_loss(&alone, &subject.points, &points).expect("a loss");
            assert!(worst.2 >= LEAST_COST);
        }
    }
}

#[test]
fn the_starter_feed_is_shared_and_a_headlamp_terminal_is_not() {
    let mut shared_feeds = 0;
    for (subject, _) in subjects(20) {
        let shared = fault::shared_joints(&subject.known);
        let is_shared = |id: &str| shared.iter().any(|joint| subject.known.joint(*joint).id == id);
        assert!(is_shared("engine-bus-feed.to") && is_shared("cabin-feed.from"));
        assert!(!is_shared("headlamp-left.feed.to"));
        shared_feeds += shared.len();
    }
    assert!(shared_feeds >= 20 * 6, "{shared_feeds}");
}

#[test]
fn an_undrawn_path_joins_two_structures_and_keeps_the_numbers_of_joints_and_conductors() {
    for (subject, mut dice) in subjects(10) {
        let (faulty, path) = fault::undrawn_path(&subject, &mut dice).expect("two structures");
        assert!(path.resistance <= Ohms(5e-3));
        assert_ne!(subject.known.point(path.from).owner, subject.known.point(path.to).owner);
        assert_eq!(subject.real.conductors, faulty.real.conductors);
        assert_eq!(subject.real.joints, faulty.real.joints);
    }
}

/// Every voltage from one point to the first battery's negative post, and every current.
fn everything(subject: &Subject) -> Vec<(StateId, Measured)> {
    let low = Probe::Point(subject.known.batteries[0].negative);
    let mut all = Vec::new();
    for state in (0..subject.known.states.len()).map(StateId::at) {
        for at in 0..subject.known.points.len() {
            all.push((state, Measured::Volts { high: Probe::Point(PointId::at(at)), low }));
        }
        for joint in &subject.known.joints {
            all.push((state, Measured::Volts { high: Probe::Lug(joint.this), low }));
        }
        for conductor in &subject.known.conductors {
            all.push((state, Measured::Amps { conductor: conductor.this }));
        }
    }
    all
}

#[test]
fn a_meter_never_misses_the_truth_by_more_than_it_promises() {
    let mut number = 0;
    for (subject, mut dice) in subjects(10) {
        for (state, measured) in everything(&subject) {
            let Some(truth) = meter::truth(&subject.real, &subject.points, state, measured) else {
                continue;
            };
            let (shown, accuracy) = meter::shows(measured, truth, &mut dice);
            // A count in a billion for the rounding of numbers.
            let limit = accuracy.limit(shown) + 1e-9 * accuracy.resolution;
            assert!((shown - truth).abs() <= limit, "{shown} for {truth}");
            let counts = shown / accuracy.resolution;
            assert!((counts - counts.round()).abs() < 1e-6);
            number += 1;
        }
    }
    assert!(number > 5_000, "{number}");
}

#[test]
fn errors_of_the_meter_fill_its_limits_to_both_sides() {
    let mut dice = Dice::new(1, "errors", 0);
    let measured =
        Measured::Volts { high: Probe::Point(PointId::at(0)), low: Probe::Point(PointId::at(1)) };
    let errors: Vec<f64> = (0..4_000)
        .map(|_| {
            let (shown, accuracy) = meter::shows(measured, 0.5, &mut dice);
            (shown - 0.5) / accuracy.limit(0.5)
        })
        .collect();
    assert!(errors.iter().any(|error| *error > 0.85) && errors.iter().any(|error| *error < -0.85));
    let mean = errors.iter().sum::<f64>() / 4_000.0;
    assert!(mean.abs() < 0.04, "{mean}");
}

#[test]
fn over_a_joint_a_meter_reads_its_current_times_its_resistance() {
    for (subject, _) in subjects(10) {
        for (at, point) in subject.points.iter().enumerate() {
            for joint in &subject.real.joints {
                let measured = Measured::Volts {
                    high: Probe::Point(joint.point),
                    low: Probe::Lug(joint.this),
                };
                let Some(read) =
                    meter::truth(&subject.real, &subject.points, StateId::at(at), measured)
                else {
                    continue;
                };
                let amps = point.piece(&subject.real, Piece::Joint(joint.this)).amps.0;
                let outwards = match joint.of {
                    model::JointOf::From(_) => amps,
                    _ => -amps,
                };
                let expected = outwards * joint.resistance.0;
                assert!((read - expected).abs() < 1e-9 + 1e-6 * expected.abs(), "{}", joint.id);
            }
        }
    }
}

#[test]
fn from_lug_to_lug_a_meter_reads_the_conductor_alone() {
    for (subject, _) in subjects(10) {
        for (at, point) in subject.points.iter().enumerate() {
            for conductor in &subject.real.conductors {
                let measured = Measured::Volts {
                    high: Probe::Lug(conductor.from),
                    low: Probe::Lug(conductor.to),
                };
                let Some(read) =
                    meter::truth(&subject.real, &subject.points, StateId::at(at), measured)
                else {
                    continue;
                };
                let piece = point.piece(&subject.real, Piece::Conductor(conductor.this));
                let expected = piece.amps.0 * piece.resistance.0;
                assert!((read - expected).abs() < 1e-9 + 1e-6 * expected.abs(), "{}", conductor.id);
            }
        }
    }
}

#[test]
fn a_slip_moves_a_reading_far_outside_the_limits_of_the_meter() {
    let mut seen = std::collections::BTreeSet::new();
    for (subject, mut dice) in subjects(10) {
        for (state, measured) in everything(&subject).into_iter().step_by(23) {
            let real = (&subject.real, subject.points.as_slice());
            let Some((reading, slip)) = meter::slipped(real, 1, state, measured, &mut dice) else {
                continue;
            };
            let truth = meter::truth(real.0, real.1, state, measured).expect("it was read");
            let model::Told::Value(shown) = reading.told else { panic!("a value") };
            assert!((shown - truth).abs() >= meter::LEAST_SLIP * reading.accuracy.limit(shown));
            seen.insert(slip);
        }
    }
    assert_eq!(seen.len(), 3);
}

#[test]
fn the_same_seed_gives_the_same_vehicle_and_another_number_another() {
    let text = |number| {
        let mut dice = Dice::new(5, "single", number);
        vehicle::draw(&mut dice).expect("a vehicle").text
    };
    assert_eq!(text(1), text(1));
    assert_ne!(text(1), text(2));
}
