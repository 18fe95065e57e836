//! How long from the bytes of the example to a vehicle laid out, and to all its states?

use std::hint::black_box;

use network::{Convergence, Network};

use crate::table::Table;
use crate::timer::{Contender, side_by_side};

pub(crate) fn measure(table: &mut Table, bytes: &[u8]) {
    let reading = file::read(bytes);
    let vehicle = reading.vehicle.as_ref().expect("the example has no errors");
    let points = Network::new(vehicle).operating_points();
    for (point, state) in points.iter().zip(&vehicle.states) {
        assert_eq!(point.convergence, Convergence::Reached, "{}", state.id);
        assert!(point.balance.kirchhoff.0.abs() < 1e-6, "{}: current is lost", state.id);
    }
    let [both, read, lay, states] = side_by_side([
        Contender::new(|| {
            let reading = file::read(black_box(bytes));
            let vehicle = reading.vehicle.as_ref().expect("as above");
            black_box(&Network::new(vehicle));
        }),
        Contender::new(|| drop(black_box(file::read(black_box(bytes))))),
        Contender::new(|| drop(black_box(Network::new(black_box(vehicle))))),
        Contender::new(|| drop(black_box(Network::new(black_box(vehicle)).operating_points()))),
    ]);
    table.ours("demo: read and lay out", both, Some(5e-3));
    table.aside("… of this, read", read);
    table.aside("… of this, lay out", lay);
    let count = vehicle.states.len();
    table.ours(&format!("demo: lay out, and {count} states from cold"), states, Some(5e-3));
    let mut network = Network::new(vehicle);
    for (at, state) in vehicle.states.iter().enumerate() {
        let id = model::StateId::at(at);
        let steps = points[at].steps;
        let time = crate::timer::alone(|| drop(black_box(network.operating_point(id))));
        table.aside(&format!("… of this, `{}`, {steps} Newton steps", state.id), time);
    }
}
