//! Every vehicle of the project, and what a meter shows in it, for tests.

use model::{Measured, Piece, Probe, Reading, StateId, Told, Vehicle};
use network::OperatingPoint;

use crate::Observation;

const FILES: [(&str, &str); 9] = [
    ("camper-van", include_str!("../../../layouts/camper-van.toml")),
    ("front-engine", include_str!("../../../layouts/front-engine.toml")),
    ("plant", include_str!("../../../layouts/plant.toml")),
    ("rear-battery", include_str!("../../../layouts/rear-battery.toml")),
    ("small-boat", include_str!("../../../layouts/small-boat.toml")),
    ("two-batteries", include_str!("../../../layouts/two-batteries.toml")),
    ("harbour-workboat", include_str!("../../../examples/harbour-workboat.toml")),
    ("rescue-ambulance", include_str!("../../../examples/rescue-ambulance.toml")),
    ("utility-cart", include_str!("../../../examples/utility-cart.toml")),
];

/// All layouts and examples by their names.
pub(crate) fn all() -> Vec<(&'static str, Vehicle)> {
    FILES.map(|(name, text)| (name, read(text))).to_vec()
}

pub(crate) fn named(wanted: &str) -> Vehicle {
    let (_, text) = FILES.iter().find(|(name, _)| *name == wanted).expect("one of them");
    read(text)
}

fn read(text: &str) -> Vehicle {
    file::read(text.as_bytes()).vehicle.expect("without errors")
}

/// What stands between the probes, or flows in the clamp, counted from the conductor's beginning.
pub(crate) fn shows(real: &Vehicle, at: &OperatingPoint, measured: Measured) -> Option<f64> {
    let probe = |own: Probe| at.probe(real, own).map(|volts| volts.0);
    match measured {
        Measured::Volts { high, low } => Some(probe(high)? - probe(low)?),
        Measured::Amps { conductor } => Some(at.piece(real, Piece::Conductor(conductor)).amps.0),
        _ => None,
    }
}

pub(crate) fn observation(
    (state, measured): (StateId, Measured),
    value: f64,
    number: u32,
) -> Observation {
    Observation { number, state, measured, value, sigma: 0.006 * value.abs() + 0.002 }
}

/// A reading as a person writes it down, with the sign or without it.
pub(crate) fn told(
    (state, measured): (StateId, Measured),
    value: f64,
    signed: bool,
    number: u32,
) -> Reading {
    let accuracy = match measured {
        Measured::Amps { .. } => model::Accuracy::some_clamp(units::Amperes(value)),
        _ => model::Accuracy::some_voltmeter(units::Volts(value)),
    };
    Reading {
        number,
        state: Some(state),
        measured,
        told: Told::Value(value),
        signed,
        accuracy,
        time: None,
        note: None,
    }
}
