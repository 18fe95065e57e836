//! The example's readings are those of a vehicle with two things hidden in it, and they give them away.

use file::edit::{add_conductor, set_resistance};
use model::{Measured, Piece, Told, Vehicle};
use network::Network;
use units::Ohms;

const FILE: &str = include_str!("../../../examples/rescue-ambulance.toml");
const READINGS: &str = include_str!("../../../examples/rescue-ambulance.readings.toml");

fn written() -> Vehicle {
    file::read(FILE.as_bytes()).vehicle.expect("the example is sound")
}

/// The vehicle of the file with what the comment of its readings says was hidden in it.
fn truth() -> Vehicle {
    let mut truth = written();
    set_resistance(&mut truth, "main-negative.to=1.8mΩ").expect("a joint of the file");
    let bracket = add_conductor(&mut truth, "block/gearbox,frame/engine-mount,16mm2,0.3m");
    let bracket = bracket.expect("two points of the file");
    truth.conductors[bracket.index()].resistance_at_20 = Ohms(0.8e-3);
    // Steel beside the engine, not cable: taken as cold.
    truth.conductors[bracket.index()].temperature_coefficient = units::PerKelvin::ZERO;
    truth
}

/// To the last digit of the meter that the file describes: 1 mV up to 6 V, 10 mV above, 0.1 A.
fn displayed(measured: Measured, value: f64) -> f64 {
    let steps = match measured {
        Measured::Amps { .. } => 10.0,
        _ if value.abs() <= 6.0 => 1000.0,
        _ => 100.0,
    };
    (value * steps).round() / steps
}

#[test]
fn every_reading_of_the_example_is_what_its_meter_shows_in_the_vehicle_with_the_hidden_faults() {
    let vehicle = written();
    let truth = truth();
    let readings = readings::read(READINGS.as_bytes(), &vehicle);
    assert_eq!((readings.problems.len(), readings.readings.len()), (0, 11));
    let mut wrong = Vec::new();
    for reading in &readings.readings {
        let state = reading.state.expect("told");
        let point = Network::new(&truth).operating_point(state);
        let value = match reading.measured {
            Measured::Volts { high, low } => {
                let at = |probe| point.probe(&truth, probe).expect("joined").0;
                at(high) - at(low)
            }
            Measured::Amps { conductor } => point.piece(&truth, Piece::Conductor(conductor)).amps.0,
            other => panic!("{other:?}"),
        };
        let shown = displayed(reading.measured, value);
        match reading.told {
            Told::Value(told) if (told - shown).abs() < 1e-9 => {}
            Told::Between(low, high) if low <= value && value <= high && high - low < 0.0101 => {}
            told => wrong.push(format!("reading {}: {shown}, not {told:?}", reading.number)),
        }
    }
    assert!(wrong.is_empty(), "the meters show\n{}", wrong.join("\n"));
}

#[test]
fn both_hidden_things_are_found_and_the_sound_joint_beside_is_cleared() {
    let vehicle = written();
    let seen =
        diagnosis::observations(&vehicle, &readings::read(READINGS.as_bytes(), &vehicle).readings);
    let complaint = diagnosis::Complaint {
        load: vehicle.load_named("starter").expect("in the file"),
        state: vehicle.state_named("cranking").expect("in the file"),
    };
    let mut session = diagnosis::Session::new(&vehicle);
    let diagnosis = session.diagnose(&seen, Some(complaint));
    let account = session.account(&diagnosis, &seen);
    let [joint, path, stated] = account.as_slice() else { panic!("{account:#?}") };

    let name = |id: model::JointId| vehicle.joint(id).id.as_str();
    assert!(
        matches!(joint.suspect.kind, diagnosis::SuspectKind::Joint(id) if name(id) == "main-negative.to")
    );
    let ohms = joint.suspect.ohms.expect("a resistance");
    assert!((ohms.0 / 1.8e-3 - 1.0).abs() < 0.05, "{ohms:?}");
    let telling = joint.telling.as_ref().expect("a reading over the stretch");
    let current = Network::new(&truth()).operating_point(complaint.state);
    let main = vehicle.piece_named("main-negative").expect("in the file");
    let current = current.piece(&truth(), main).amps.0.abs();
    assert!((telling.amps.0 / current - 1.0).abs() < 0.02, "{telling:?} {current}");
    let rivals: Vec<(&str, usize)> =
        joint.rivals.iter().map(|(id, against)| (name(*id), against.len())).collect();
    assert!(
        matches!(rivals.as_slice(), [("main-negative.from", 1..)]),
        "the other end is cleared by a reading: {rivals:?}"
    );

    let diagnosis::SuspectKind::ExtraPath { from, to } = path.suspect.kind else {
        panic!("{path:?}")
    };
    let body = |id| vehicle.point(id).id.split('/').next().expect("a body");
    assert_eq!([body(from), body(to)], ["block", "frame"]);
    // The bracket and its two clean faces.
    let ohms = path.suspect.ohms.expect("a resistance");
    assert!((ohms.0 / 1.0e-3 - 1.0).abs() < 0.15, "{ohms:?}");
    assert!(!path.without.is_empty());
    // Behind what the readings found: what the file itself says is bad.
    assert!(
        matches!(stated.suspect.kind, diagnosis::SuspectKind::Joint(id) if name(id) == "block-frame.to")
    );
}
