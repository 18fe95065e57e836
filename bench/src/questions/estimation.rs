//! How long estimation takes beside SciPy's least squares, and how it grows with joints and readings.

use std::hint::black_box;
use std::path::Path;

use diagnosis::{Observation, Session};
use model::{ConductorId, JointId, Measured, PointId, Probe, StateId, Vehicle};
use network::{Deviations, Network};
use serde_json::Value;
use units::Ohms;

use crate::generated::vehicle_of_loads;
use crate::peers::scipy::Scipy;
use crate::table::Table;
use crate::timer::{alone, few};

/// The recorded estimation: the demo with thirty readings in three states.
const CASE: &str = "demo, bad ground called sound, 30 readings";
const RECORDED: &str = "checks/estimations.json";
/// Numbers of loads of the generated vehicles, for about 30, 60, 130, 250 and 500 joints.
const LOADS: [usize; 5] = [5, 12, 30, 60, 122];
const READINGS: [usize; 5] = [1, 3, 10, 30, 100];

pub(crate) fn measure(table: &mut Table, root: &Path, vehicle: &Vehicle, scipy: &Scipy) {
    one_fit(table, root, vehicle, scipy);
    with_joints(table);
    with_readings(table, vehicle);
}

fn one_fit(table: &mut Table, root: &Path, vehicle: &Vehicle, scipy: &Scipy) {
    let text = std::fs::read_to_string(root.join(RECORDED)).expect("recorded");
    let recorded: Value = serde_json::from_str(&text).expect("JSON");
    let cases = recorded["cases"].as_array().expect("cases");
    let case = cases.iter().find(|case| case["name"] == CASE).expect("recorded");
    let observations = observations(vehicle, case);
    let mut session = Session::new(vehicle);
    let ours = session.fits_file(&observations).expect("a fit").statistic / 2.0;
    let fit = alone(|| {
        black_box(session.fits_file(black_box(&observations)));
    });
    table.ours("demo, 30 readings, 309 unknowns: the most probable vehicle", fit, None);
    let peer = scipy.least_squares(CASE).map(|(time, theirs)| {
        assert!((ours - theirs).abs() < 1e-3, "SciPy finds {theirs}, we find {ours}");
        time
    });
    table.peer("SciPy `least_squares`, lm, dense", peer);
    let laid_out = few(|| drop(black_box(Session::new(black_box(vehicle)))));
    table.aside("… laying out for it", laid_out);
    let diagnosed = few(|| drop(black_box(session.diagnose(black_box(&observations), None))));
    table.aside("… all explanations of the same readings weighed", diagnosed);
}

/// The recorded readings as ours: nodes are points, branches conductors, unknowns pieces.
fn observations(vehicle: &Vehicle, case: &Value) -> Vec<Observation> {
    let index =
        |value: &Value| usize::try_from(value.as_u64().expect("an index")).expect("a small one");
    let probe = |lead: &Value| match lead.get("unknown") {
        Some(unknown) => Probe::Lug(JointId::at(index(unknown) - vehicle.conductors.len())),
        None => Probe::Point(PointId::at(index(&lead["node"]))),
    };
    let readings = case["readings"].as_array().expect("readings");
    readings
        .iter()
        .zip(1..)
        .map(|(own, number)| {
            let state = case["states"][index(&own["state"])]["id"].as_str().expect("a name");
            let measured = match own["measured"].get("branch") {
                Some(branch) => Measured::Amps { conductor: ConductorId::at(index(branch)) },
                None => Measured::Volts {
                    high: probe(&own["measured"][0]),
                    low: probe(&own["measured"][1]),
                },
            };
            Observation {
                number,
                state: vehicle.state_named(state).expect("in the file"),
                measured,
                value: own["value"].as_f64().expect("a number"),
                sigma: own["sigma"].as_f64().expect("a number"),
            }
        })
        .collect()
}

fn with_joints(table: &mut Table) {
    for loads in LOADS {
        let text = vehicle_of_loads(loads);
        let vehicle = file::read(text.as_bytes()).vehicle.expect("a generated vehicle is sound");
        let state = vehicle.state_named("key-on").expect("generated");
        let ways: Vec<(StateId, PointId)> = (0..10)
            .map(|at| {
                let name = format!("load{}/-", at * loads / 10);
                (state, vehicle.point_named(&name).expect("generated"))
            })
            .collect();
        let observations = read_off(&vehicle, &ways);
        timed(
            table,
            &format!("{} joints, 10 readings", vehicle.joints.len()),
            &vehicle,
            &observations,
        );
    }
}

fn with_readings(table: &mut Table, vehicle: &Vehicle) {
    let metal: Vec<PointId> =
        vehicle.structures.iter().take(3).flat_map(|own| own.points.clone()).collect();
    let states = ["cranking", "key-on", "night-call", "preheat", "idle", "running", "winching"];
    let ways: Vec<(StateId, PointId)> = states
        .iter()
        .flat_map(|state| {
            let state = vehicle.state_named(state).expect("in the example");
            metal.iter().map(move |point| (state, *point))
        })
        .collect();
    for count in READINGS {
        let observations = read_off(vehicle, &ways[..count]);
        timed(table, &format!("demo, {count} readings"), vehicle, &observations);
    }
}

fn timed(table: &mut Table, what: &str, vehicle: &Vehicle, observations: &[Observation]) {
    let mut session = Session::new(vehicle);
    let diagnosis = session.diagnose(observations, None);
    let diagnosed = few(|| drop(black_box(session.diagnose(black_box(observations), None))));
    table.ours(&format!("{what}: diagnose"), diagnosed, None);
    let asked = few(|| drop(black_box(session.next(&diagnosis, black_box(observations), None))));
    table.aside("… the next reading", asked);
}

/// What a meter shows at some points, against the first battery's negative post, when the joint of its ground is
/// bad.
fn read_off(vehicle: &Vehicle, ways: &[(StateId, PointId)]) -> Vec<Observation> {
    let post = vehicle.batteries[0].negative;
    let mut truth = vehicle.clone();
    let ground = truth.joints.iter_mut().find(|joint| joint.id == "main-negative.to");
    ground.expect("every vehicle here has one").resistance = Ohms(2e-3);
    let mut network = Network::with_extra_paths(&truth, &[]);
    let none = Deviations::none(&truth, 0);
    ways.iter()
        .zip(1..)
        .map(|((state, point), number)| {
            let measured = Measured::Volts { high: Probe::Point(*point), low: Probe::Point(post) };
            let base = network.operating_point(*state);
            let trial = network.trial(&base, &none, None).expect("solved");
            let exact = network.trial_value(&trial, measured).expect("joined");
            let sigma = 0.006 * exact.abs() + 0.002;
            let value = exact + sigma * (2.7 * f64::from(number)).sin();
            Observation { number, state: *state, measured, value, sigma }
        })
        .collect()
}
