//! Estimation against what others computed: textbooks, SciPy, samplers, plain summing.
//!
//! Small vehicles are made here so that a textbook's circuit can be laid out as one.

#![expect(clippy::print_stdout, reason = "how well things agree is shown with --nocapture")]

mod brute_force;
mod cases;
mod described;
mod posterior;
mod recorded;
mod scipy;
mod textbook;
mod wrong_file;

use model::{ConductorId, Measured, Probe, StateId, Vehicle};
use units::{Ohms, PerKelvin, Volts};

use crate::Observation;
use crate::fit::{Belief, variance};

/// A vehicle file that must be without an error.
fn read(text: &str) -> Vehicle {
    let reading = file::read(text.as_bytes());
    let problems = reading.problems;
    reading.vehicle.unwrap_or_else(|| panic!("{problems:?}"))
}

/// Next to nothing, in ohms: where a textbook draws a line.
const LINE: Ohms = Ohms(1e-7);

/// A circuit of batteries and plain resistors, taken for a vehicle: between two points a conductor
/// of some ohms, all joints and batteries without resistance.
fn circuit(points: &[&str], conductors: &[(&str, &str, &str, f64)], batteries: &[&str]) -> Vehicle {
    use std::fmt::Write;
    let mut text =
        "format = 1\n[vehicle]\nname = \"a textbook's circuit\"\nnominal = \"12 V\"\nstates = [\"resting\"]\n"
            .to_owned();
    for battery in batteries {
        let _ = write!(text, "[batteries.{battery}]\ncapacity = \"60 Ah\"\n");
    }
    for point in points {
        let _ = writeln!(text, "[points.{point}]");
    }
    for (name, from, _, _) in conductors {
        // A file may not join the posts of a battery by metal, as textbooks do: every conductor ends
        // at a point of its own first.
        let _ = write!(
            text,
            "[points.end-{name}]\n[conductors.{name}]\nfrom = \"{from}\"\nto = \"end-{name}\"\nsize = \"10 mm²\"\nlength = \"1 m\"\n"
        );
    }
    let mut vehicle = read(&text);
    for (at, (_, _, to, ohms)) in conductors.iter().enumerate() {
        let point = vehicle.point_named(to).expect("in the file");
        let end = vehicle.conductors[at].to;
        vehicle.joints[end.index()].point = point;
        vehicle.conductors[at].resistance_at_20 = Ohms(*ohms);
        vehicle.conductors[at].temperature_coefficient = PerKelvin(0.0);
    }
    for joint in &mut vehicle.joints {
        joint.resistance = LINE;
    }
    for battery in &mut vehicle.batteries {
        battery.resistance = LINE;
        battery.plates.polarisation = Volts::ZERO;
        for charge in &mut battery.charge_resistance {
            *charge = LINE;
        }
    }
    vehicle
}

/// Where a voltmeter's leads are put.
fn volts(vehicle: &Vehicle, high: &str, low: &str) -> Measured {
    let probe = |name: &str| Probe::Point(vehicle.point_named(name).expect("in the file"));
    Measured::Volts { high: probe(high), low: probe(low) }
}

/// The conductor under an ammeter.
fn amps(vehicle: &Vehicle, conductor: &str) -> Measured {
    let at = vehicle.conductors.iter().position(|own| own.id == conductor).expect("in the file");
    Measured::Amps { conductor: ConductorId::at(at) }
}

/// A reading whose variance, the model's share of it included, is exactly what a textbook says.
fn with_variance(number: u32, measured: Measured, value: f64, wanted: f64) -> Observation {
    let exact = Observation { number, state: StateId::at(0), measured, value, sigma: 0.0 };
    let sigma = (wanted - variance(&exact)).sqrt();
    assert!(sigma.is_finite(), "the model is less sure than {wanted}");
    Observation { sigma, ..exact }
}

/// Everything known as it is in the file, but for some unknowns of which nothing is known.
fn knowing_all_but(len: usize, unknown: &[usize], spread: f64) -> Belief {
    let mut belief = Belief { mean: vec![0.0; len], spread: vec![1e-9; len], present: Vec::new() };
    for at in unknown {
        belief.spread[*at] = spread;
    }
    belief
}
