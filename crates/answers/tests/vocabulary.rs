//! What a real vehicle has and several plain pieces stand for: each against numbers computed by hand.

#[path = "vocabulary/boats_and_relays.rs"]
mod boats_and_relays;
#[path = "vocabulary/studs_and_plugs.rs"]
mod studs_and_plugs;

use model::{Piece, StateId, Vehicle};
use network::{Convergence, Network, OperatingPoint};
use units::Ohms;

/// The vehicle of a file, and the codes of what `check` says of it.
fn read(text: &str) -> (Vehicle, Vec<String>) {
    let reading = file::read(text.as_bytes());
    let codes = reading.problems.iter().map(|own| own.code.word().to_owned()).collect();
    let told: Vec<&str> = reading.problems.iter().map(|own| own.what.as_str()).collect();
    (reading.vehicle.unwrap_or_else(|| panic!("{told:?}")), codes)
}

/// What `check` says of a file, code and words.
fn told(text: &str) -> Vec<(String, String)> {
    let problems = file::read(text.as_bytes()).problems;
    problems.into_iter().map(|own| (own.code.word().to_owned(), own.what)).collect()
}

/// The same file with the metal at the other pole.
fn turned(text: &str) -> String {
    text.replace("earth = \"negative\"", "earth = \"positive\"")
        .replace("/+", "/?")
        .replace("/-", "/+")
        .replace("/?", "/-")
}

fn solved(vehicle: &Vehicle, state: &str) -> OperatingPoint {
    let state = vehicle.state_named(state).expect("a state");
    solved_in(vehicle, state)
}

fn solved_in(vehicle: &Vehicle, state: StateId) -> OperatingPoint {
    let point = Network::new(vehicle).operating_point(state);
    assert_eq!(point.convergence, Convergence::Reached);
    point
}

fn piece(vehicle: &Vehicle, name: &str) -> Piece {
    vehicle.piece_named(name).unwrap_or_else(|| panic!("no piece `{name}`"))
}

fn amps(vehicle: &Vehicle, point: &OperatingPoint, name: &str) -> f64 {
    point.piece(vehicle, piece(vehicle, name)).amps.0.abs()
}

fn lost(vehicle: &Vehicle, point: &OperatingPoint, name: &str) -> f64 {
    point.piece(vehicle, piece(vehicle, name)).volts.0.abs()
}

fn between(vehicle: &Vehicle, point: &OperatingPoint, a: &str, b: &str) -> f64 {
    let at = |name: &str| {
        let id = vehicle.point_named(name).unwrap_or_else(|| panic!("no point `{name}`"));
        point.point(id).expect("joined").0
    };
    at(a) - at(b)
}

fn ohms(vehicle: &Vehicle, name: &str) -> Ohms {
    vehicle.piece_resistance(piece(vehicle, name))
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() <= 1e-7 * wanted.abs().max(1e-3), "{found} for {wanted}");
}
