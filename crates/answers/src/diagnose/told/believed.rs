//! What is believed of every part after the readings.

use diagnosis::{Beliefs, Interval};
use model::{JointId, Piece, Vehicle};
use units::Ratio;

use crate::diagnose::Found;
use crate::told::quantity::{ohms, percent, volts};
use crate::told::sides::chance;
use crate::told::{Column, Line, Quantity, Told, aside, name};

pub(super) fn told(told: &mut Told, found: &Found<'_>) {
    let (vehicle, beliefs) = (found.vehicle, &found.beliefs);
    let joints = found.diagnosis.joints.iter().enumerate().map(|(at, own)| {
        let interval = Interval { median: own.median, low: own.low, high: own.high };
        let mut row = row(say!("{}", name(&vehicle.joint(JointId::at(at)).id)), &interval, ohms);
        row.push(say!("{}", chance(Ratio(own.bad))));
        row
    });
    let columns =
        |what| [Column::Left(what), Column::Right("likely"), Column::Right("nine times of ten")];
    let mut with_bad = columns("joint").to_vec();
    with_bad.push(Column::Right("bad"));
    told.gap();
    told.table(with_bad, joints.collect());
    told.gap();
    let of_kind = |wanted: fn(Piece) -> bool| -> Vec<Vec<Line>> {
        let pieces = beliefs.pieces.iter().filter(|(piece, _)| wanted(*piece));
        pieces
            .map(|(piece, own)| row(say!("{}", name(vehicle.piece_name(*piece))), own, ohms))
            .collect()
    };
    let loads = vehicle.loads.iter().zip(&beliefs.draws);
    let draws = loads.map(|(own, share)| row(say!("{}", name(&own.id)), share, percent)).collect();
    for (what, rows) in [
        ("conductor", of_kind(|piece| matches!(piece, Piece::Conductor(_)))),
        ("structure", of_kind(|piece| matches!(piece, Piece::Stretch(_)))),
        ("incidental path", of_kind(|piece| matches!(piece, Piece::Incidental(_)))),
        ("fuse or switch", of_kind(|piece| matches!(piece, Piece::Inline(_)))),
        ("load, of the draw in the file", draws),
        ("source", sources(vehicle, beliefs)),
    ] {
        if !rows.is_empty() {
            told.table(columns(what), rows);
            told.gap();
        }
    }
    told.line(aside("Structures: the metal between two of their points."));
}

fn sources(vehicle: &Vehicle, beliefs: &Beliefs) -> Vec<Vec<Line>> {
    let batteries = vehicle.batteries.iter();
    let at_rest = batteries.clone().zip(&beliefs.battery_volts);
    let at_rest = at_rest.map(|(own, at)| row(say!("{}, volts at rest", name(&own.id)), at, volts));
    let within = batteries.zip(&beliefs.battery_ohms);
    let within = within.map(|(own, at)| row(say!("{}, resistance", name(&own.id)), at, ohms));
    let held = vehicle.regulated.iter().zip(&beliefs.held);
    let held = held.map(|(own, at)| row(say!("{} holds", name(&own.id)), at, volts));
    at_rest.chain(within).chain(held).collect()
}

fn row<T: Copy>(name: Line, own: &Interval<T>, as_told: fn(T) -> Quantity) -> Vec<Line> {
    vec![
        name,
        say!("{}", as_told(own.median)),
        say!("{} to {}", as_told(own.low), as_told(own.high)),
    ]
}
