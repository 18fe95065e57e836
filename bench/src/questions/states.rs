//! A joint has changed: how long until a state with its nonlinear loads is solved again?

use std::hint::black_box;

use model::{JointId, StateId, Vehicle};
use network::{Convergence, Network};
use units::{Ohms, Volts};

use crate::demo::busiest_joint;
use crate::table::Table;
use crate::timer::{Contender, side_by_side};

/// What the busiest joint gains.
const WORSE: Ohms = Ohms(1e-3);

pub(crate) fn measure(table: &mut Table, vehicle: &Vehicle, state: StateId) {
    hold_to_cold_solve(vehicle, state);
    let point = Network::new(vehicle).operating_point(state);
    let joint = busiest_joint(vehicle, &point);
    let worse = with_worse_joint(vehicle, joint);
    // A network borrows its vehicle, so the changed joint needs a network of its own. Its layout is
    // the same, so that the known point can be handed to it.
    let mut network = Network::new(&worse);
    let mut same = Network::new(vehicle);
    let [again, unchanged, anew] = side_by_side([
        Contender::new(|| drop(black_box(network.solve_again(black_box(&point))))),
        Contender::new(|| drop(black_box(same.solve_again(black_box(&point))))),
        Contender::new(|| {
            let mut network = Network::new(black_box(&worse));
            black_box(network.solve_again(&point));
        }),
    ]);
    let name = &vehicle.state(state).id;
    let joint = &vehicle.joint(joint).id;
    table.ours(
        &format!("demo, `{name}`: solve again with its loads, `{joint}` 1 mΩ worse"),
        again,
        Some(50e-6),
    );
    table.aside("… the same with nothing changed", unchanged);
    table.aside("… the same with the layout of the changed vehicle", anew);
}

/// Without temperature coefficients a warm solve holds nothing that a cold one would not find.
fn hold_to_cold_solve(vehicle: &Vehicle, state: StateId) {
    let mut vehicle = vehicle.clone();
    for conductor in &mut vehicle.conductors {
        conductor.temperature_coefficient.0 = 0.0;
    }
    let point = Network::new(&vehicle).operating_point(state);
    let worse = with_worse_joint(&vehicle, busiest_joint(&vehicle, &point));
    let mut network = Network::new(&worse);
    let warm = network.solve_again(&point).expect("an operating point");
    let cold = network.operating_point(state);
    assert_eq!(cold.convergence, Convergence::Reached);
    let mut moved = Volts::ZERO;
    for ((warm, cold), before) in warm.iter().zip(&cold.loads).zip(&point.loads) {
        assert!((warm.0 - cold.volts.0).abs() < 1e-9, "{warm:?} is not {:?}", cold.volts);
        moved = Volts(moved.0.max((warm.0 - before.volts.0).abs()));
    }
    assert!(moved > Volts(1e-3), "the change can be seen");
}

fn with_worse_joint(vehicle: &Vehicle, joint: JointId) -> Vehicle {
    let mut worse = vehicle.clone();
    worse.joints[joint.index()].resistance += WORSE;
    worse
}
