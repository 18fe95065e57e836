//! What is believed of every part after the readings.

use diagnosis::{Beliefs, Diagnosis, Interval};
use model::{JointId, Piece, Vehicle};
use units::{Ratio, print};

use crate::answer::Asked;
use crate::sides;
use crate::style::dim;
use crate::table::{Column, table};

pub(super) fn text(
    vehicle: &Vehicle,
    diagnosis: &Diagnosis,
    beliefs: &Beliefs,
    asked: &Asked,
) -> String {
    let joints = diagnosis.joints.iter().enumerate().map(|(at, own)| {
        let interval = Interval { median: own.median, low: own.low, high: own.high };
        let mut row = row(&vehicle.joint(JointId::at(at)).id, &interval, print::ohms);
        row.push(sides::chance(Ratio(own.bad)));
        row
    });
    let columns =
        |what| [Column::Left(what), Column::Right("likely"), Column::Right("nine times of ten")];
    let mut with_bad = columns("joint").to_vec();
    with_bad.push(Column::Right("bad"));
    let mut text = format!("\n{}\n", table(&with_bad, joints.collect(), asked.width));
    let of_kind = |what: &'static str, wanted: fn(Piece) -> bool| {
        let rows: Vec<Vec<String>> = beliefs
            .pieces
            .iter()
            .filter(|(piece, _)| wanted(*piece))
            .map(|(piece, own)| row(vehicle.piece_name(*piece), own, print::ohms))
            .collect();
        (what, rows)
    };
    let sources = {
        let batteries = vehicle.batteries.iter().zip(&beliefs.battery_volts);
        let at_rest = batteries
            .map(|(own, volts)| row(&format!("{}, volts at rest", own.id), volts, print::volts));
        let within = vehicle.batteries.iter().zip(&beliefs.battery_ohms);
        let within =
            within.map(|(own, ohms)| row(&format!("{}, resistance", own.id), ohms, print::ohms));
        let held = vehicle.regulated.iter().zip(&beliefs.held);
        let held = held.map(|(own, volts)| row(&format!("{} holds", own.id), volts, print::volts));
        at_rest.chain(within).chain(held).collect()
    };
    let loads = vehicle.loads.iter().zip(&beliefs.draws);
    let draws = loads.map(|(own, share)| row(&own.id, share, print::percent)).collect();
    for (what, rows) in [
        of_kind("conductor", |piece| matches!(piece, Piece::Conductor(_))),
        of_kind("structure", |piece| matches!(piece, Piece::Stretch(_))),
        of_kind("incidental path", |piece| matches!(piece, Piece::Incidental(_))),
        of_kind("fuse or switch", |piece| matches!(piece, Piece::Inline(_))),
        ("load, of the draw in the file", draws),
        ("source", sources),
    ] {
        if !rows.is_empty() {
            text.push_str(&table(&columns(what), rows, asked.width));
            text.push('\n');
        }
    }
    text.push_str(&dim("Structures: the metal between two of their points.\n"));
    text
}

fn row<T: Copy>(name: &str, own: &Interval<T>, print: fn(T) -> String) -> Vec<String> {
    vec![name.to_owned(), print(own.median), format!("{} to {}", print(own.low), print(own.high))]
}
