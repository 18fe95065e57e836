//! Diagnosis on the example: a hidden fault, what readings say, and laws that hold for any of them.

use model::{JointId, Measured, PointId, Probe, Vehicle};
use network::Network;
use proptest::prelude::*;
use units::Ohms;

use crate::{Change, Clue, Complaint, Observation, Practice, Session, SuspectKind};

const FILE: &str = include_str!("../../../examples/rescue-ambulance.toml");

/// The example without what its file states as bad.
fn vehicle() -> Vehicle {
    let vehicle = read(FILE);
    let mut sound = vehicle.clone();
    for joint in sound.joints.iter_mut().filter(|own| crate::prior::stated_bad(own)) {
        joint.stated = false;
    }
    assert_ne!(sound, vehicle);
    sound
}

fn read(text: &str) -> Vehicle {
    file::read(text.as_bytes()).vehicle.expect("it is read")
}

fn joint(vehicle: &Vehicle, name: &str) -> JointId {
    JointId::at(vehicle.joints.iter().position(|joint| joint.id == name).expect("in the file"))
}

fn point(vehicle: &Vehicle, name: &str) -> PointId {
    vehicle.point_named(name).expect("in the file")
}

fn complaint(vehicle: &Vehicle) -> Complaint {
    Complaint {
        load: vehicle.load_named("starter").expect("in the file"),
        state: vehicle.state_named("cranking").expect("in the file"),
    }
}

/// What a good meter shows in this vehicle.
fn reading(truth: &Vehicle, state: model::StateId, measured: Measured, number: u32) -> Observation {
    let solved = Network::new(truth).operating_point(state);
    let probe = |own: Probe| solved.probe(truth, own).expect("joined").0;
    let value = match measured {
        Measured::Volts { high, low } => probe(high) - probe(low),
        Measured::Amps { conductor } => solved.pieces[conductor.index()].amps.0,
        _ => panic!("not asked here"),
    };
    Observation { number, state, measured, value, sigma: 0.006 * value.abs() + 0.002 }
}

#[test]
fn readings_chosen_step_by_step_find_the_bad_joint_of_the_example() {
    let vehicle = vehicle();
    let mut truth = vehicle.clone();
    let bad = joint(&vehicle, "main-negative.to");
    truth.joints[bad.index()].resistance = Ohms(2e-3);
    let complaint = Some(complaint(&vehicle));
    let mut session = Session::new(&vehicle);
    let mut observations: Vec<Observation> = Vec::new();
    for number in 1..=10 {
        let diagnosis = session.diagnose(&observations, complaint);
        if diagnosis.surer_than(0.95) {
            break;
        }
        let Some(best) = session.next(&diagnosis, &observations, complaint).into_iter().next()
        else {
            break;
        };
        observations.push(reading(&truth, best.state, best.measured, number));
    }
    let diagnosis = session.diagnose(&observations, complaint);
    assert!(
        diagnosis.sets.first().is_some_and(|set| set.contains(&bad)),
        "{:?}",
        diagnosis.suspects.first()
    );
    let belief = diagnosis.joints[bad.index()];
    assert!(
        belief.low < Ohms(2e-3) && Ohms(2e-3) < belief.high || diagnosis.sets[0].len() > 1,
        "{belief:?}"
    );
}

#[test]
fn a_sound_vehicle_is_cleared_by_its_readings() {
    let vehicle = vehicle();
    let cranking = complaint(&vehicle).state;
    let post = Probe::Point(vehicle.batteries[0].negative);
    let mut session = Session::new(&vehicle);
    let observations: Vec<Observation> =
        ["block/front", "block/rear", "frame/middle", "body/left-front"]
            .into_iter()
            .zip(1..)
            .map(|(name, number)| {
                let measured =
                    Measured::Volts { high: Probe::Point(point(&vehicle, name)), low: post };
                reading(&vehicle, cranking, measured, number)
            })
            .collect();
    let before = session.diagnose(&[], None).nothing_bad;
    let diagnosis = session.diagnose(&observations, None);
    assert!(diagnosis.nothing_bad > before, "{} {before}", diagnosis.nothing_bad);
    let first = &diagnosis.suspects[0];
    assert!(first.probability < 0.05, "{first:?}");
}

#[test]
fn without_readings_and_complaint_every_suspect_keeps_its_first_chance() {
    let vehicle = vehicle();
    let diagnosis = Session::new(&vehicle).diagnose(&[], None);
    let ratio = |name: &str| {
        let id = joint(&vehicle, name);
        let found = diagnosis.joints[id.index()].bad;
        let first = crate::prior::bad_probability(&vehicle, vehicle.joint(id));
        found / (first * diagnosis.nothing_bad)
    };
    for name in ["main-negative.from", "main-negative.to", "main-body.to", "starter.case"] {
        assert!((ratio(name) - 1.0).abs() < 0.05, "{name}: {}", ratio(name));
    }
}

#[test]
fn a_slipped_decimal_is_named_as_the_reading_to_take_again() {
    let vehicle = vehicle();
    let cranking = complaint(&vehicle).state;
    let post = Probe::Point(vehicle.batteries[0].negative);
    let mut observations: Vec<Observation> = [
        "block/front",
        "block/rear",
        "block/gearbox",
        "frame/middle",
        "body/left-front",
        "body/bulkhead",
    ]
    .into_iter()
    .zip(1..)
    .map(|(name, number)| {
        let measured = Measured::Volts { high: Probe::Point(point(&vehicle, name)), low: post };
        reading(&vehicle, cranking, measured, number)
    })
    .collect();
    observations[1].value *= 10.0;
    let diagnosis = Session::new(&vehicle).diagnose(&observations, None);
    let (number, chance) = diagnosis.take_again[0];
    assert_eq!(number, 2, "{:?}", diagnosis.take_again);
    assert!(chance > 0.5, "{chance}");
}

#[test]
fn crossed_probes_are_named_as_the_reading_to_take_again_and_come_first_in_the_next_ones() {
    let vehicle = vehicle();
    let state = complaint(&vehicle).state;
    let post = Probe::Point(vehicle.batteries[0].negative);
    let mut observations: Vec<Observation> =
        ["block/front", "block/rear", "frame/middle", "body/left-front"]
            .into_iter()
            .zip(1..)
            .map(|(name, number)| {
                let measured =
                    Measured::Volts { high: Probe::Point(point(&vehicle, name)), low: post };
                reading(&vehicle, state, measured, number)
            })
            .collect();
    observations[2].value = -observations[2].value;
    let mut session = Session::new(&vehicle);
    let diagnosis = session.diagnose(&observations, None);
    assert_eq!(diagnosis.in_doubt(), Some(3), "{:?}", diagnosis.take_again);
    assert!(!diagnosis.surer_than(0.5));
    let first = session.next(&diagnosis, &observations, None).into_iter().next().expect("one");
    assert_eq!((first.state, first.measured), (state, observations[2].measured));
    // Taken again, and right this time: the doubt is settled, and still about the first.
    observations.push(reading(&vehicle, state, observations[2].measured, 5));
    let diagnosis = session.diagnose(&observations, None);
    assert_eq!(diagnosis.take_again[0].0, 3);
    assert!(diagnosis.take_again[0].1 > 0.9 && diagnosis.in_doubt().is_none());
}

#[test]
fn the_ends_of_one_cable_are_told_apart_by_a_probe_on_a_lug() {
    let vehicle = vehicle();
    let state = complaint(&vehicle).state;
    let ends = ["main-negative.from", "main-negative.to"].map(|name| joint(&vehicle, name));
    let mut truth = vehicle.clone();
    truth.joints[ends[1].index()].resistance = Ohms(2e-3);
    let measured = Measured::Volts {
        high: Probe::Point(point(&vehicle, "block/front")),
        low: Probe::Point(vehicle.batteries[0].negative),
    };
    let mut observations = vec![reading(&truth, state, measured, 1)];
    let mut session = Session::new(&vehicle);
    let diagnosis = session.diagnose(&observations, Some(complaint(&vehicle)));
    let set = diagnosis.sets.iter().find(|set| set.contains(&ends[1])).expect("in a set").clone();
    assert!(set.contains(&ends[0]), "{set:?}");
    let best =
        session.separating(&diagnosis, &ends, &observations, (None, None)).expect("a reading");
    assert!(matches!(
        best.measured,
        Measured::Volts { high, low } if [high, low].iter().any(|probe| ends.iter().any(|end| *probe == Probe::Lug(*end)))
    ));
    observations.push(reading(&truth, best.state, best.measured, 2));
    let diagnosis = session.diagnose(&observations, Some(complaint(&vehicle)));
    assert!(!diagnosis.sets.iter().any(|set| ends.iter().all(|end| set.contains(end))));
    assert!(diagnosis.joints[ends[1].index()].bad > 10.0 * diagnosis.joints[ends[0].index()].bad);
}

#[test]
fn what_cannot_be_had_is_not_proposed_and_a_cover_that_is_off_costs_nothing() {
    let vehicle = vehicle();
    let Complaint { state: cranking, .. } = complaint(&vehicle);
    let mut session = Session::new(&vehicle);
    let diagnosis = session.diagnose(&[], Some(complaint(&vehicle)));
    session.practise(Practice { without: vec![cranking], ..Practice::default() });
    let gentle = session.next(&diagnosis, &[], Some(complaint(&vehicle)));
    assert!(!gentle.is_empty() && gentle.iter().all(|own| own.state != cranking));
    session.practise(Practice::default());
    let all = session.next(&diagnosis, &[], Some(complaint(&vehicle)));
    let covered = |own: &crate::Proposal| match own.measured {
        Measured::Volts { high: Probe::Point(point), .. } => {
            vehicle.point(point).access.group.clone()
        }
        _ => None,
    };
    let (first, group) =
        all.iter().find_map(|own| Some((own, covered(own)?))).expect("one behind a cover");
    session.practise(Practice { open: vec![group], ..Practice::default() });
    let again = session.next(&diagnosis, &[], Some(complaint(&vehicle)));
    let same = |own: &&crate::Proposal| (own.state, own.measured) == (first.state, first.measured);
    let open = again.iter().find(same).expect("still proposed");
    assert!(open.time < first.time, "{:?} {:?}", open.time, first.time);
}

/// All that is thought of the joints between block and battery while the starter turns slowly.
fn return_bad(session: &mut Session<'_>, vehicle: &Vehicle) -> f64 {
    let diagnosis = session.diagnose(&[], Some(complaint(vehicle)));
    ["main-negative.from", "main-negative.to"]
        .into_iter()
        .map(|name| diagnosis.joints[joint(vehicle, name).index()].bad)
        .sum()
}

#[test]
fn a_jump_lead_that_helps_accuses_what_it_bridges_and_one_that_does_not_acquits_it() {
    let vehicle = vehicle();
    let lead = |change| Clue::JumpLead {
        from: point(&vehicle, "block/front"),
        to: vehicle.batteries[0].negative,
        load: complaint(&vehicle).load,
        state: complaint(&vehicle).state,
        change,
    };
    let told = |clues: &[Clue]| return_bad(&mut Session::with_clues(&vehicle, clues), &vehicle);
    let (before, better, same) =
        (told(&[]), told(&[lead(Change::Better)]), told(&[lead(Change::Same)]));
    // A lead has resistance too: only a joint that is very bad loses much of its loss by it.
    assert!(better > 1.4 * before, "{better} {before}");
    assert!(same < before, "{same} {before}");
}

#[test]
fn a_push_that_cures_accuses_the_joint_that_was_pushed_and_less_its_neighbours() {
    let vehicle = vehicle();
    let moved = joint(&vehicle, "main-negative.to");
    let twin = joint(&vehicle, "main-negative.from");
    let bad = |clues: &[Clue], which: JointId| {
        let mut session = Session::with_clues(&vehicle, clues);
        session.diagnose(&[], Some(complaint(&vehicle))).joints[which.index()].bad
    };
    let clue = [Clue::Moved { joint: moved, change: Change::Better }];
    assert!(bad(&clue, moved) > 5.0 * bad(&[], moved));
    assert!(bad(&clue, twin) > bad(&[], twin));
    assert!(bad(&clue, moved) / bad(&clue, twin) > bad(&[], moved) / bad(&[], twin));
    let nothing = [Clue::Moved { joint: moved, change: Change::Same }];
    assert!(bad(&nothing, moved) < bad(&[], moved));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    /// The trap of a fit that has not settled: two ends of one lead, which no reading has touched
    /// apart, must come out in the ratio of their first chances, whatever the readings.
    #[test]
    fn joints_that_no_reading_separates_come_out_in_the_ratio_of_their_chances(
        exponent in -3.2_f64..-1.8,
        name in prop_oneof![Just("main-negative.to"), Just("main-body.from"), Just("block-body.to")],
        others in proptest::collection::btree_set(0_usize..5, 1..5),
    ) {
        let vehicle = vehicle();
        let bad = joint(&vehicle, name);
        let mut truth = vehicle.clone();
        truth.joints[bad.index()].resistance = Ohms(10_f64.powf(exponent));
        let state = complaint(&vehicle).state;
        let post = Probe::Point(vehicle.batteries[0].negative);
        let places = ["block/front", "block/rear", "frame/middle", "body/left-front", "body/bulkhead"];
        let observations: Vec<Observation> = others
            .iter()
            .zip(1..)
            .map(|(at, number)| {
                let measured = Measured::Volts { high: Probe::Point(point(&vehicle, places[*at])), low: post };
                reading(&truth, state, measured, number)
            })
            .collect();
        let diagnosis = Session::new(&vehicle).diagnose(&observations, None);
        let twin = crate::hypothesis::same_conductor(&vehicle, bad).expect("a conductor has two ends");
        let chance = |id: JointId| crate::prior::bad_probability(&vehicle, vehicle.joint(id));
        // The two ends count as bad from different resistances unless they are of one kind; their
        // beliefs differ then in more than the chance.
        let alike = vehicle.joint(bad).resistance == vehicle.joint(twin).resistance;
        let (found, other) = (diagnosis.joints[bad.index()].bad, diagnosis.joints[twin.index()].bad);
        if alike && found > 0.01 {
            let expected = chance(bad) / chance(twin);
            prop_assert!((found / other / expected - 1.0).abs() < 0.1, "{found} {other} {expected}");
        }
    }
}

/// Laplace's evidence of a fit against plain summing over the fault's own unknown: on an easy case
/// the two differ by less than a third of a unit.
#[test]
fn evidence_agrees_with_summing_over_the_faults_resistance() {
    let vehicle = vehicle();
    let mut truth = vehicle.clone();
    let bad = joint(&vehicle, "main-negative.to");
    truth.joints[bad.index()].resistance = Ohms(1.5e-3);
    let state = complaint(&vehicle).state;
    let measured = Measured::Volts {
        high: Probe::Point(point(&vehicle, "block/front")),
        low: Probe::Point(vehicle.batteries[0].negative),
    };
    let observations = vec![reading(&truth, state, measured, 1)];
    let mut session = Session::new(&vehicle);
    let fault = session.estimator.prior.fault(SuspectKind::Joint(bad)).expect("it carries current");
    let whole = fault.belief(&session.estimator.prior.sound);
    let start = whole.mean.clone();
    let laplace =
        crate::fit::fit(&mut session.estimator.forward, &observations, &whole, &start, &[])
            .expect("a fit")
            .evidence;
    // Slices in which the fault's resistance is held, everything else fitted by itself.
    let (slices, reach) = (81, 5.0);
    let mut total = 0.0;
    for slice in 0..slices {
        let z = reach * (2.0 * f64::from(slice) / f64::from(slices - 1) - 1.0);
        let mut held = whole.clone();
        held.mean[fault.at] = fault.mean + z * fault.spread;
        held.spread[fault.at] = 1e-6;
        let start = held.mean.clone();
        let fit =
            crate::fit::fit(&mut session.estimator.forward, &observations, &held, &start, &[])
                .expect("a fit");
        let weight = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt() * 2.0 * reach
            / f64::from(slices - 1);
        total += weight * fit.evidence.exp();
    }
    assert!((laplace - total.ln()).abs() < 0.35, "{laplace} {}", total.ln());
}

/// What a file says of a value takes the place of the general belief.
#[test]
fn beliefs_of_the_file_take_the_place_of_general_ones() {
    let edited = FILE.replacen(
        "[conductors.main-negative]\n",
        "[conductors.main-negative]\nlikely = [\"40 µΩ\", \"4 mΩ\"]\n",
        1,
    );
    assert_ne!(edited, FILE);
    let vehicle = read(&edited);
    let Some(model::Piece::Conductor(id)) = vehicle.piece_named("main-negative") else {
        panic!("a conductor");
    };
    let piece = model::Piece::Conductor(id);
    let prior = crate::prior::piece_prior(&vehicle, piece);
    // The ends of the range are where a normal distribution has one of twenty outside.
    let written = vehicle.piece_resistance(piece).0;
    for (end, z) in [(4e-5, -1.645), (4e-3, 1.645)] {
        let at = ((end / written).ln() - prior.middle) / prior.spread;
        assert!((at - z).abs() < 1e-9, "{at}");
    }
    let mut suspected = self::vehicle();
    let bad = joint(&suspected, "main-body.to");
    suspected.joints[bad.index()].suspicion = Some(units::Ratio(0.5));
    let diagnosis = Session::new(&suspected).diagnose(&[], None);
    let odds = diagnosis.joints[bad.index()].bad / diagnosis.nothing_bad;
    assert!((odds - 1.0).abs() < 0.1, "a chance of one half is as likely as not: {odds}");
}

/// 119 points, nine states: every point against battery minus, all of it three times over.
#[test]
fn every_one_of_many_readings_is_weighed_or_said_not_to_be() {
    let vehicle = vehicle();
    let mut lines = String::new();
    for _ in 0..3 {
        for state in &vehicle.states {
            for at in vehicle.points.iter().map(|point| &point.id).filter(|id| *id != "main/-") {
                lines.push_str(&format!("{}: {at} to main/- 0.41 V\n", state.id));
            }
        }
    }
    let readings = readings::read(lines.as_bytes(), &vehicle).readings;
    let counted = crate::observations(&vehicle, &readings).len();
    let crowded = crate::crowded(&vehicle, &readings);
    assert_eq!(counted, 160);
    assert_eq!(counted + crowded.together + crowded.left_out, readings.len());
    assert_eq!(crowded.together, 2 * counted);
    assert_eq!(crate::crowded(&vehicle, &readings[..40]), crate::Crowded::default());
}

#[test]
fn before_any_reading_all_is_believed_to_be_as_in_the_file() {
    let vehicle = vehicle();
    let mut session = Session::new(&vehicle);
    let diagnosis = session.diagnose(&[], None);
    let beliefs = session.beliefs(&diagnosis);
    assert_eq!(beliefs.draws.len(), vehicle.loads.len());
    for (piece, own) in &beliefs.pieces {
        let written = vehicle.piece_resistance(*piece);
        assert!((own.median.0 / written.0).ln().abs() < 0.05, "{}", vehicle.piece_name(*piece));
        assert!(own.low < own.median && own.median < own.high);
    }
    for own in &beliefs.draws {
        assert!((own.median.0 - 1.0).abs() < 0.05, "{own:?}");
    }
    for (own, battery) in beliefs.battery_volts.iter().zip(&vehicle.batteries) {
        assert!((own.median - battery.rested).0.abs() < 0.01, "{own:?}");
        assert!(own.low < battery.rested && battery.rested < own.high, "{own:?}");
    }
    for (own, battery) in beliefs.battery_ohms.iter().zip(&vehicle.batteries) {
        assert!((own.median.0 / battery.resistance.0).ln().abs() < 0.05, "{own:?}");
    }
    for (own, source) in beliefs.held.iter().zip(&vehicle.regulated) {
        assert!((own.median - source.set_point).0.abs() < 0.02, "{own:?}");
    }
}

#[test]
fn a_clamp_round_the_starter_cable_tells_what_the_starter_draws() {
    let vehicle = vehicle();
    let at = vehicle.load_named("starter").expect("in the file").index();
    let cranking = vehicle.state_named("cranking").expect("in the file");
    let cable = vehicle.conductors.iter().position(|own| own.id == "starter-positive");
    let conductor = model::ConductorId::at(cable.expect("in the file"));
    let mut session = Session::new(&vehicle);
    let none = session.diagnose(&[], None);
    let before = session.beliefs(&none).draws[at];
    let mut clamp = reading(&vehicle, cranking, Measured::Amps { conductor }, 1);
    clamp.value *= 1.08;
    clamp.sigma = 0.005 * clamp.value;
    let told = session.diagnose(&[clamp], None);
    let after = session.beliefs(&told).draws[at];
    assert!((1.05..1.2).contains(&after.median.0), "{after:?}");
    assert!(after.high.0 - after.low.0 < 0.8 * (before.high.0 - before.low.0), "{before:?}");
}
