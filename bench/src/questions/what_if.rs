//! A joint is dragged: how long until all points show their new volts, by a rank-one update?

use std::hint::black_box;

use model::{Piece, StateId, Vehicle};
use network::Network;
use units::Ohms;

use crate::demo::{Open, busiest_joint, linearised};
use crate::linear::assert_equal;
use crate::peers::suitesparse::{Klu, MISSING, Rows};
use crate::table::Table;
use crate::timer::{Contender, side_by_side};

pub(crate) fn measure(table: &mut Table, vehicle: &Vehicle, state: StateId) {
    let mut network = Network::new(vehicle);
    let point = network.operating_point(state);
    let joint = busiest_joint(vehicle, &point);
    let piece = Piece::Joint(joint);
    let before = point.all_volts();
    let mut after = before.clone();
    let update = network.update_piece(&point, piece).expect("the joint conducts");
    let resistance = point.piece(vehicle, piece).resistance + Ohms(1e-3);

    let at = linearised(&network, &point, Open::Nothing);
    let branch = at.pieces.iter().position(|pieces| pieces.contains(&piece)).expect("a branch");
    let old = at.linear.siemens[branch];
    let change = 1.0 / (1.0 / old + 1e-3) - old;
    let mut columns = at.linear.both_triangles();
    let shape = columns.clone();
    let mut klu = Klu::new(&shape, Rows::AsTheyAre);
    let mut volts = at.linear.injection.clone();

    update.apply(resistance, &before, &mut after);
    if let Some(klu) = &mut klu {
        columns.add(branch, change);
        klu.refactor_and_solve(&columns.values, &mut volts);
        let expected: Vec<f64> = after.iter().map(|volts| volts.0).collect();
        assert_equal("KLU", &expected, &volts);
    }

    let present = klu.is_some();
    let [apply, prepare, peer] = side_by_side([
        Contender::new(|| update.apply(black_box(resistance), &before, black_box(&mut after))),
        Contender::new(|| drop(black_box(network.update_piece(&point, black_box(piece))))),
        Contender::new(|| {
            if let Some(klu) = &mut klu {
                volts.copy_from_slice(&at.linear.injection);
                klu.refactor_and_solve(&columns.values, black_box(&mut volts));
            }
        }),
    ]);
    let question = "demo: what if a joint had another resistance, volts of all points";
    table.ours(question, apply, Some(2e-6));
    let peer = present.then_some(peer).ok_or(MISSING.to_owned());
    table.peer("KLU refactor, solve", peer);
    table.aside("… preparing it for one joint", prepare);
}
