//! What is said of a point: prospective fault current, and what opens.

use model::{PointId, Vehicle};
use physics::protection::Opening;
use protection::{AtPoint, Clearing};
use units::Seconds;

use super::super::NOTES_AT_A_POINT;
use super::super::found::At;
use crate::told::quantity::{amperes, duration, ohms};
use crate::told::{Quantity, Said, Told, Tone, attention, left, name, or_stroke, right};
use crate::unsettled;

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
    unsettled::told_states(&mut told, vehicle, &found.unsettled);
    if found.unsolved > 0 {
        let count = Quantity::Count(found.unsolved);
        told.toned(Tone::Warning, say!("{} faults have no solution and are left out.", count));
        told.gap();
    }
    if found.faults.is_empty() && found.unsolved == 0 {
        told.paragraph(NOTHING);
    } else if !found.faults.is_empty() {
        faults(&mut told, vehicle, &found.faults);
        largest(&mut told, vehicle, &found.faults);
    }
    told.gap();
    if found.recalled {
        told.paragraph(RECALLED);
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
        let (Some(&most), Some(&least)) = (own.first(), own.last()) else { continue };
        let alike = most.total - least.total < most.total * ALIKE;
        let state = |own: &AtPoint| name(&vehicle.state(own.state).id);
        match own.len() {
            1 => rows.push((most, state(most).line())),
            many if alike => rows.push((most, say!("all {} states", many))),
            _ => {
                rows.push((most, say!("most: {}", state(most))));
                rows.push((least, say!("least: {}", state(least))));
            }
        }
    }
    told.rows(rows, |(own, states)| {
        let cleared = match own.clearing {
            Clearing::By(time) => duration(time).line(),
            Clearing::Never => attention(true, "never"),
            Clearing::Unknown => say!("not known"),
        };
        [
            left("touching", name(&vehicle.point(own.fault.home).id)),
            left("in the state", states),
            right("fault", amperes(own.total)),
            right("cleared by", cleared),
        ]
    });
}

/// What the largest of all meets on its way.
fn largest(told: &mut Told, vehicle: &Vehicle, found: &[AtPoint]) {
    let Some(most) = found.iter().max_by(|a, b| a.total.0.total_cmp(&b.total.0)) else { return };
    told.gap();
    if most.through.is_empty() {
        told.line("No fuse carries it.");
        return;
    }
    let home = name(&vehicle.point(most.fault.home).id);
    let state = name(&vehicle.state(most.state).id);
    let total = amperes(most.total);
    let title = say!("Fuses that carry the largest, {} to {} in {}", total, home, state);
    told.toned(Tone::Strong, title);
    told.rows(&most.through, |own| {
        let opens = |which: fn(&Opening) -> Option<Seconds>| {
            let time = |opening| or_stroke(which(&opening).map(duration));
            own.opening.map_or_else(|| say!("no curve"), time)
        };
        [
            left("fuse", name(&vehicle.inline(own.fuse).id)),
            right("rating", protection::feeds::rating(vehicle, own.fuse).map(amperes)),
            right("carries", amperes(own.amps)),
            right("not before", opens(|own| own.earliest)),
            right("opens by", opens(|own| own.latest)),
        ]
    });
}
