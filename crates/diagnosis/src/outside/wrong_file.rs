//! A file with a mistake in it, and a sound vehicle: which assumption is named as at odds.

use model::{LoadLaw, Piece, Vehicle};
use units::Volts;

use super::cases::{Asked, DEMO, measured, reading};
use super::read;
use crate::agreement::{Assumption, CONTRADICTION};
use crate::{Diagnosis, Observation, Session};

fn diagnosed(asked: &[Asked], truth_of: impl Fn(&mut Vehicle)) -> (Vehicle, Diagnosis) {
    let vehicle = read(DEMO);
    let mut truth = vehicle.clone();
    truth_of(&mut truth);
    let observations: Vec<Observation> = asked
        .iter()
        .zip(1..)
        .map(|((state, high, low), number)| {
            let state = vehicle.state_named(state).expect("in the file");
            reading(&truth, state, measured(&vehicle, high, low), number)
        })
        .collect();
    let diagnosis = Session::new(&vehicle).diagnose(&observations, None);
    (vehicle, diagnosis)
}

fn assert_at_odds(diagnosis: &Diagnosis, expected: Assumption, factor: std::ops::Range<f64>) {
    let agreement = &diagnosis.agreement;
    let filed = agreement.as_filed.expect("there are readings");
    assert!(filed.p_value < CONTRADICTION, "{agreement:?}");
    let first = agreement.at_odds.first().expect("something is at odds");
    assert_eq!(first.assumption, expected, "{agreement:?}");
    let found = if expected.in_volts() { first.by } else { first.by.exp() };
    assert!(factor.contains(&found), "{found}, {agreement:?}");
}

/// Both lugs, both joints and the current of the main negative while cranking.
const ALONG_MAIN_NEGATIVE: [Asked; 4] = [
    ("cranking", "main-negative.to", "main-negative.from"),
    ("cranking", "block/front", "main-negative.to"),
    ("cranking", "main-negative.from", "main/-"),
    ("cranking", "~", "main-negative"),
];

fn conductor(vehicle: &Vehicle, name: &str) -> Assumption {
    Assumption::Resistance(vehicle.piece_named(name).expect("in the file"))
}

fn scale(truth: &mut Vehicle, name: &str, factor: f64) {
    let Some(Piece::Conductor(id)) = truth.piece_named(name) else { panic!("{name}") };
    let own = &mut truth.conductors[id.index()];
    own.resistance_at_20 = own.resistance_at_20 * factor;
}

#[test]
fn a_cable_thinner_than_its_file_says_is_named() {
    // 25 mm² where the file says 70 mm².
    let (vehicle, diagnosis) =
        diagnosed(&ALONG_MAIN_NEGATIVE, |truth| scale(truth, "main-negative", 70.0 / 25.0));
    assert_at_odds(&diagnosis, conductor(&vehicle, "main-negative"), 2.2..3.0);
}

#[test]
fn a_cable_thicker_than_its_file_says_contradicts_every_explanation() {
    // 120 mm² where the file says 70 mm²: no fault lowers a resistance.
    let mut asked = ALONG_MAIN_NEGATIVE.to_vec();
    asked.extend(ALONG_MAIN_NEGATIVE);
    let (vehicle, diagnosis) =
        diagnosed(&asked, |truth| scale(truth, "main-negative", 70.0 / 120.0));
    assert_at_odds(&diagnosis, conductor(&vehicle, "main-negative"), 0.5..0.75);
    assert!(diagnosis.agreement.contradicts(), "{:?}", diagnosis.agreement);
}

#[test]
fn a_cable_longer_than_its_file_says_is_named() {
    // 8 m where the file says 3.9 m.
    let asked = [
        ("night-call", "saloon-return.from", "saloon-return.to"),
        ("night-call", "~", "saloon-return"),
        ("night-call", "saloon-negative", "saloon-return.from"),
    ];
    let (vehicle, diagnosis) = diagnosed(&asked, |truth| scale(truth, "saloon-return", 8.0 / 3.9));
    assert_at_odds(&diagnosis, conductor(&vehicle, "saloon-return"), 1.6..2.2);
}

#[test]
fn a_load_that_draws_otherwise_than_its_file_says_is_named() {
    for factor in [0.4, 2.5] {
        let asked = [
            ("night-call", "~", "headlamp-left.feed"),
            ("night-call", "headlamp-left/+", "headlamp-left/-"),
        ];
        let (vehicle, diagnosis) = diagnosed(&asked, |truth| {
            let id = truth.load_named("headlamp-left").expect("in the file");
            let LoadLaw::Power { amps, .. } = &mut truth.loads[id.index()].law else {
                panic!("a lamp")
            };
            *amps = *amps * factor;
        });
        let load = vehicle.load_named("headlamp-left").expect("in the file");
        assert_at_odds(&diagnosis, Assumption::Draw(load), 0.7 * factor..1.3 * factor);
    }
}

#[test]
fn a_battery_charged_otherwise_than_its_file_says_is_named() {
    let (vehicle, diagnosis) =
        diagnosed(&[("resting", "main/+", "main/-"), ("key-on", "main/+", "main/-")], |truth| {
            for open in &mut truth.batteries[0].open_circuit {
                *open -= Volts(0.8);
            }
        });
    assert!(!vehicle.batteries.is_empty());
    let main = Assumption::BatteryVolts(model::BatteryId::at(0));
    assert_at_odds(&diagnosis, main, -0.9..-0.6);
}

#[test]
fn a_vehicle_that_is_as_its_file_says_contradicts_nothing() {
    let mut asked = ALONG_MAIN_NEGATIVE.to_vec();
    asked.push(("cranking", "main/+", "main/-"));
    asked.push(("key-on", "main/+", "main/-"));
    let (_, diagnosis) = diagnosed(&asked, |_| ());
    let agreement = &diagnosis.agreement;
    assert!(!agreement.as_filed.expect("readings").contradicts(), "{agreement:?}");
    assert!(!agreement.contradicts() && agreement.at_odds.is_empty(), "{agreement:?}");
}
