//! What readings files say about a small vehicle whose paths can be followed by eye.

use model::{
    Accuracy, ConductorId, JointId, LoadId, Measured, PointId, Probe, Reading, Told, Vehicle,
};

use super::{Complaint, Line, Readings, Side, Worthless, one_line, read};

mod lines;
mod nothing_proved;
mod refusals;
mod files;
mod laws;
mod every_word;
mod no_state;
mod devices;

const VEHICLE: &str = r#"
format = 1
[vehicle]
name = "test bench"
nominal = "12 V"
states = ["resting", "preheat", "cranking", "running"]
[structures.block]
resistance = "40 µΩ"
points = { front = {}, rear = {} }
[structures.body]
resistance = "0.2 mΩ"
points = { left = {}, right = {} }
[batteries.main]
capacity = "95 Ah"
[alternators.alternator]
output = "100 A"
lead = { to = "hot-stud", size = "16 mm²", length = "1 m" }
case = "block/front"
[points.hot-stud]
[conductors.main-positive]
from = "main/+"
to = "hot-stud"
size = "50 mm²"
length = "1 m"
[conductors.main-negative]
from = "main/-"
to = "block/front"
size = "50 mm²"
length = "1 m"
[conductors.body-strap]
from = "main/-"
to = "body/left"
size = "16 mm²"
length = "0.4 m"
[switches]
solenoid = { from = "hot-stud", to = "starter/+", closed = ["cranking"] }
[loads.starter]
kind = "starter"
draws = "300 A"
on = ["cranking"]
case = "block/rear"
[loads.engine-module]
kind = "module"
draws = "10 A"
on = ["preheat", "cranking", "running"]
feed = { from = "hot-stud", size = "4 mm²", length = "2 m" }
return = { to = "body/right", size = "4 mm²", length = "1 m" }
[loads.plugs]
kind = "preheat plug"
draws = "40 A"
on = ["preheat"]
feed = { from = "hot-stud", size = "10 mm²", length = "1 m" }
case = "block/rear"
[[work]]
on = "main-negative.to"
what = "cleaned"
date = "2025-10-20"
[[work]]
on = "main-negative.to"
what = "opened again"
date = "2026-02-01"
"#;

pub(super) fn vehicle() -> Vehicle {
    let read = file::read(VEHICLE.as_bytes());
    read.vehicle.unwrap_or_else(|| panic!("{:?}", read.problems))
}

fn point(vehicle: &Vehicle, name: &str) -> Probe {
    Probe::Point(point_id(vehicle, name))
}

fn point_id(vehicle: &Vehicle, name: &str) -> PointId {
    vehicle.point_named(name).unwrap_or_else(|| panic!("{name}"))
}

fn joint(vehicle: &Vehicle, name: &str) -> JointId {
    let at = vehicle.joints.iter().position(|joint| joint.id == name);
    JointId::at(at.unwrap_or_else(|| panic!("{name}")))
}

fn conductor(vehicle: &Vehicle, name: &str) -> ConductorId {
    let at = vehicle.conductors.iter().position(|conductor| conductor.id == name);
    ConductorId::at(at.unwrap_or_else(|| panic!("{name}")))
}

fn load(vehicle: &Vehicle, name: &str) -> LoadId {
    vehicle.load_named(name).unwrap_or_else(|| panic!("{name}"))
}

fn volts(vehicle: &Vehicle, high: &str, low: &str) -> Measured {
    Measured::Volts { high: point(vehicle, high), low: point(vehicle, low) }
}

fn reading(text: &str, vehicle: &Vehicle) -> Reading {
    match one_line(text, vehicle, 1) {
        Ok(Line::Reading { reading, .. }) => *reading,
        other => panic!("{text}: {other:?}"),
    }
}

fn worthless(text: &str, vehicle: &Vehicle) -> Worthless {
    match one_line(text, vehicle, 1) {
        Ok(Line::Worthless(worthless)) => worthless,
        other => panic!("{text}: {other:?}"),
    }
}

/// The text at fault, the code, and the whole message.
fn problem<'t>(text: &'t str, vehicle: &Vehicle) -> (&'t str, &'static str, String) {
    match one_line(text, vehicle, 1) {
        Err(problem) => {
            let what = format!("{}; {}; {:?}", problem.what, problem.expected, problem.hint);
            (&text[problem.place], problem.code.word(), what)
        }
        other => panic!("{text}: {other:?}"),
    }
}

fn warned(text: &str, vehicle: &Vehicle) -> Vec<&'static str> {
    match one_line(text, vehicle, 1) {
        Ok(Line::Reading { warnings, .. }) => {
            warnings.iter().map(|warning| warning.code.word()).collect()
        }
        other => panic!("{text}: {other:?}"),
    }
}

fn codes(readings: &Readings) -> Vec<&'static str> {
    readings.problems.iter().map(|problem| problem.code.word()).collect()
}
