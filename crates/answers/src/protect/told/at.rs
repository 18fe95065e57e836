//! What is said of a point: prospective fault current, and what opens.

use model::{PointId, Vehicle};
use protection::{AtPoint, Clearing};
use units::Seconds;

use super::super::NOTES_AT_A_POINT;
use super::super::found::At;
use crate::told::quantity::{amperes, duration, ohms};
use crate::told::{Column, Line, Span, Told, Tone, name};

const RECALLED: &str = "Times of fuses without a curve in the file are recalled by the catalogue and \
    UNCONFIRMED. See `groundloom catalogue fuse-times`.";

const NOTHING: &str = "No source reaches this point in the states looked at, or it is part of the \
    vehicle's own metal, where there is nothing to short.";

/// Faults of one metal that differ by less of the largest are told as one.
const ALIKE: f64 = 0.01;

/// Every fault at the point, state by state.
pub(super) fn of(found: &At<'_>) -> Told {
    let vehicle = found.vehicle;
    let mut told = Told::default();
    let path =
        found.through.map_or_else(|| say!("a dead short"), |own| say!("a path of {}", ohms(own)));
    let point = name(&vehicle.point(found.point).id);
    told.toned(Tone::Strong, say!("{}: {} at {}", name(&vehicle.name), path, point));
    told.gap();
    if found.faults.is_empty() {
        told.paragraph(say!("{}", NOTHING));
    } else {
        faults(&mut told, vehicle, &found.faults);
        largest(&mut told, vehicle, &found.faults);
    }
    told.gap();
    if found.recalled {
        told.paragraph(say!("{}", RECALLED));
    }
    for note in NOTES_AT_A_POINT {
        told.paragraph(say!("{}", note));
    }
    told
}

/// The most and the least of each touch.
fn faults(told: &mut Told, vehicle: &Vehicle, found: &[AtPoint]) {
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
        let alike = most.total - least.total < most.total * ALIKE;
        let state = |own: &AtPoint| name(&vehicle.state(own.state).id);
        match own.len() {
            1 => rows.push(fault(vehicle, most, say!("{}", state(most)))),
            many if alike => rows.push(fault(vehicle, most, say!("all {} states", many))),
            _ => {
                rows.push(fault(vehicle, most, say!("most: {}", state(most))));
                rows.push(fault(vehicle, least, say!("least: {}", state(least))));
            }
        }
    }
    let columns = [
        Column::Left("touching"),
        Column::Left("in the state"),
        Column::Right("fault"),
        Column::Right("cleared by"),
    ];
    told.table(columns, rows);
}

fn fault(vehicle: &Vehicle, own: &AtPoint, states: Line) -> Vec<Line> {
    let cleared = match own.clearing {
        Clearing::By(time) => say!("{}", duration(time)),
        Clearing::Never => say!("{}never", Span::Attention),
        Clearing::Unknown => say!("not known"),
    };
    vec![
        say!("{}", name(&vehicle.point(own.fault.home).id)),
        states,
        say!("{}", amperes(own.total)),
        cleared,
    ]
}

/// What the largest of all meets on its way.
fn largest(told: &mut Told, vehicle: &Vehicle, found: &[AtPoint]) {
    let Some(most) = found.iter().max_by(|a, b| a.total.0.total_cmp(&b.total.0)) else { return };
    told.gap();
    if most.through.is_empty() {
        told.line(say!("No fuse carries it."));
        return;
    }
    let home = name(&vehicle.point(most.fault.home).id);
    let state = name(&vehicle.state(most.state).id);
    let total = amperes(most.total);
    let title = say!("Fuses that carry the largest, {} to {} in {}", total, home, state);
    told.toned(Tone::Strong, title);
    let time =
        |time: Option<Seconds>| time.map_or_else(|| say!("–"), |own| say!("{}", duration(own)));
    let rows = most.through.iter().map(|own| {
        let rating = protection::feeds::rating(vehicle, own.fuse);
        let opens = |which: fn(&physics::protection::Opening) -> Option<Seconds>| {
            own.opening.map_or_else(|| say!("no curve"), |opening| time(which(&opening)))
        };
        vec![
            say!("{}", name(&vehicle.inline(own.fuse).id)),
            rating.map_or_else(Line::new, |amps| say!("{}", amperes(amps))),
            say!("{}", amperes(own.amps)),
            opens(|own| own.earliest),
            opens(|own| own.latest),
        ]
    });
    let columns = [
        Column::Left("fuse"),
        Column::Right("rating"),
        Column::Right("carries"),
        Column::Right("not before"),
        Column::Right("opens by"),
    ];
    told.table(columns, rows.collect());
}
