//! The answer of `groundloom protect --at`: prospective fault current at a point, and what opens.

use std::fmt::Write;

use model::{PointId, Vehicle};
use protection::shorts::DEAD;
use protection::{AtPoint, Clearing, Scope, at_point};
use serde_json::json;
use units::{Ohms, Seconds, print};

use super::{BEFORE, CODES, clearing_json, touch_word};
use crate::answer::{Answer, Asked, Exit};
use crate::style::{bold, wrapped};
use crate::table::{Column, table};

const HOW: &str = "All loads are off; sources are what each state has running, an alternator up to \
    its limit; conductors are as warm as the air, so that a hot one lets less flow. A fuse's time is \
    the latest of its curve.";

const RECALLED: &str = "Times of fuses without a curve in the file are recalled by the catalogue and \
    UNCONFIRMED. See `groundloom catalogue fuse-times`.";

/// Every fault at the point, state by state.
pub(super) fn answer(
    vehicle: &Vehicle,
    point: PointId,
    through: Option<Ohms>,
    scope: &Scope,
    asked: &Asked,
) -> Answer {
    let found = at_point(vehicle, point, through.unwrap_or(DEAD), scope);
    let name = &vehicle.point(point).id;
    let path = through.map_or_else(
        || "a dead short".to_owned(),
        |ohms| format!("a path of {}", print::ohms(ohms)),
    );
    let title = format!("{}: {path} at {name}", vehicle.name);
    let mut text = format!("{}\n\n", bold(wrapped(&title, asked.width, 0)));
    if found.is_empty() {
        let none = "No source reaches this point in the states looked at, or it is part of the \
            vehicle's own metal, where there is nothing to short.";
        let _ = writeln!(text, "{}\n", wrapped(none, asked.width, 0));
    } else {
        text.push_str(&lines(vehicle, &found, asked));
        text.push('\n');
    }
    if scope.recalled {
        let _ = writeln!(text, "{}", wrapped(RECALLED, asked.width, 0));
    }
    for note in [HOW, BEFORE, CODES] {
        let _ = writeln!(text, "{}", wrapped(note, asked.width, 0));
    }
    let all = found.iter().map(|own| {
        let fuses = own.through.iter().map(|fuse| {
            json!({
                "fuse": vehicle.inline(fuse.fuse).id,
                "amps": fuse.amps.0,
                "curve_known": fuse.opening.is_some(),
                "opens_by_seconds": fuse.opening.and_then(|own| own.latest).map(|time| time.0),
                "holds_seconds": fuse.opening.and_then(|own| own.earliest).map(|time| time.0),
            })
        });
        json!({
            "state": vehicle.state(own.state).id,
            "touches": touch_word(vehicle, own.fault.touch),
            "home": vehicle.point(own.fault.home).id,
            "amps": own.total.0,
            "fuses": fuses.collect::<Vec<_>>(),
            "cleared": clearing_json(own.clearing),
        })
    });
    let json = json!({
        "format": 1,
        "point": name,
        "through_ohms": through.map(|ohms| ohms.0),
        "at": all.collect::<Vec<_>>(),
        "notes": [HOW, BEFORE, CODES],
    });
    Answer { text, json, exit: Exit::Well }
}

/// The most and the least of each touch, then what the largest of all meets on its way.
fn lines(vehicle: &Vehicle, found: &[AtPoint], asked: &Asked) -> String {
    let mut homes: Vec<PointId> = Vec::new();
    for own in found {
        if !homes.contains(&own.fault.home) {
            homes.push(own.fault.home);
        }
    }
    let mut rows = Vec::new();
    for home in homes {
        let mut own: Vec<&AtPoint> = found.iter().filter(|own| own.fault.home == home).collect();
        own.sort_by(|a, b| b.total.0.total_cmp(&a.total.0));
        let (Some(most), Some(least)) = (own.first(), own.last()) else { continue };
        let alike = most.total - least.total < most.total * 0.01;
        let mut add = |own: &AtPoint, states: String| {
            rows.push(vec![
                vehicle.point(home).id.clone(),
                states,
                print::amperes(own.total),
                match own.clearing {
                    Clearing::By(time) => print::duration(time),
                    Clearing::Never => "! never".to_owned(),
                    Clearing::Unknown => "not known".to_owned(),
                },
            ]);
        };
        match own.len() {
            1 => add(most, vehicle.state(most.state).id.clone()),
            many if alike => add(most, format!("all {many} states")),
            _ => {
                add(most, format!("most: {}", vehicle.state(most.state).id));
                add(least, format!("least: {}", vehicle.state(least.state).id));
            }
        }
    }
    let columns = [
        Column::Left("touching"),
        Column::Left("in the state"),
        Column::Right("fault"),
        Column::Right("cleared by"),
    ];
    let mut text = table(&columns, rows, asked.width);
    let Some(most) = found.iter().max_by(|a, b| a.total.0.total_cmp(&b.total.0)) else {
        return text;
    };
    if most.through.is_empty() {
        text.push_str("\nNo fuse carries it.\n");
        return text;
    }
    let title = format!(
        "Fuses that carry the largest, {} to {} in {}",
        print::amperes(most.total),
        vehicle.point(most.fault.home).id,
        vehicle.state(most.state).id
    );
    let _ = writeln!(text, "\n{}", bold(wrapped(&title, asked.width, 0)));
    let rows = most.through.iter().map(|own| {
        let time = |time: Option<Seconds>| time.map_or_else(|| "–".to_owned(), print::duration);
        vec![
            vehicle.inline(own.fuse).id.clone(),
            protection::feeds::rating(vehicle, own.fuse).map_or_else(String::new, print::amperes),
            print::amperes(own.amps),
            own.opening.map_or_else(|| "no curve".to_owned(), |own| time(own.earliest)),
            own.opening.map_or_else(|| "no curve".to_owned(), |own| time(own.latest)),
        ]
    });
    let columns = [
        Column::Left("fuse"),
        Column::Right("rating"),
        Column::Right("carries"),
        Column::Right("not before"),
        Column::Right("opens by"),
    ];
    text.push_str(&table(&columns, rows.collect(), asked.width));
    text
}
