//! What is said of what is in a file. What is wrong with it is shown on its own lines by whoever has the text.

use model::{Earth, InlineKind, Vehicle};
use units::{Metres, Volts, print};

use super::{Asked, Found};
use crate::told::quantity::length;
use crate::told::{Column, Line, Paragraph, Quantity, Told, aside, joined, name, strong, warning};

/// Names that are listed of each kind of thing.
const MOST_NAMES: usize = 8;

pub(super) fn of(found: &Found<'_>, &Asked { defaults }: &Asked) -> Told {
    let mut told = Told::default();
    let reading = found.file.reading;
    let Some(vehicle) = reading.vehicle.as_ref() else { return told };
    if !reading.problems.is_empty() {
        told.gap();
    }
    title(&mut told, vehicle);
    inventory(&mut told, vehicle);
    unconfirmed(&mut told, &found.unconfirmed);
    if defaults {
        filled(&mut told, vehicle);
    } else if !vehicle.filled.is_empty() {
        let count = vehicle.filled.len();
        let words =
            say!("{} values were filled in; `--defaults` lists each with its reason", count);
        told.line(aside(words));
    }
    told
}

fn title(told: &mut Told, vehicle: &Vehicle) {
    let earth = if vehicle.earth == Earth::Negative { "negative" } else { "positive" };
    told.line(say!(
        "{} · {} · {} earth · {}",
        strong(name(&vehicle.name)),
        nominal(vehicle.nominal),
        earth,
        vehicle.environment.to_string()
    ));
    told.gap();
}

/// A nominal voltage: whole where it is.
fn nominal(value: Volts) -> Quantity {
    let whole = print::fixed(value.0, 2).ends_with(".00");
    Quantity::Fixed(value.0, if whole { 0 } else { 2 }, " V")
}

fn inventory(told: &mut Told, vehicle: &Vehicle) {
    let row =
        |what: &str, number: usize, more: Line| vec![say!("{}", what), say!("{}", number), more];
    let mut rows = vec![
        row("points", vehicle.points.len(), on_structures(vehicle)),
        row("conductors", vehicle.conductors.len(), conductors(vehicle)),
        row("joints", vehicle.joints.len(), joints(vehicle)),
        row(
            "incidental paths",
            vehicle.incidentals.len(),
            list(vehicle.incidentals.iter().map(|own| &*own.id)),
        ),
        vec![say!("fuses, switches, diodes"), inlines(vehicle), say!("")],
        row(
            "batteries",
            vehicle.batteries.len(),
            list(vehicle.batteries.iter().map(|own| &*own.id)),
        ),
        row(
            "other sources",
            vehicle.regulated.len(),
            list(vehicle.regulated.iter().map(|own| &*own.id)),
        ),
        row("loads", vehicle.loads.len(), list(vehicle.loads.iter().map(|own| &*own.id))),
        row("states", vehicle.states.len(), list(vehicle.states.iter().map(|own| &*own.id))),
    ];
    if !vehicle.work.is_empty() {
        rows.push(row("work noted", vehicle.work.len(), say!("")));
    }
    told.table([Column::Left(""), Column::Right("number"), Column::Left("")], rows);
    told.gap();
}

fn on_structures(vehicle: &Vehicle) -> Line {
    let structures = list(vehicle.structures.iter().map(|own| &*own.id));
    if structures.is_empty() { structures } else { say!("on {}", structures) }
}

fn conductors(vehicle: &Vehicle) -> Line {
    let all: Metres = vehicle.conductors.iter().filter_map(|own| own.length).sum();
    let off_diagram = vehicle.conductors.iter().filter(|own| !own.on_diagram);
    let off_diagram = joined(off_diagram.map(|own| say!("{}", name(&own.id))), ", ");
    say!(
        "{}; not on the diagram: {}",
        if all > Metres::ZERO { say!("{} in all", length(all)) } else { say!("no lengths known") },
        if off_diagram.is_empty() { say!("none") } else { off_diagram }
    )
}

fn joints(vehicle: &Vehicle) -> Line {
    let stated = vehicle.joints.iter().filter(|joint| joint.stated).count();
    let torqued = vehicle.joints.iter().filter(|joint| joint.torque.is_some()).count();
    say!("{} with a stated resistance, {} with a torque", stated, torqued)
}

fn inlines(vehicle: &Vehicle) -> Line {
    let of = |kind: fn(&InlineKind) -> bool| {
        vehicle.inlines.iter().filter(|part| kind(&part.kind)).count()
    };
    let shunts = of(|kind| matches!(kind, InlineKind::Shunt));
    let plain = say!(
        "{}, {}, {}",
        of(|kind| matches!(kind, InlineKind::Fuse { .. })),
        of(|kind| matches!(kind, InlineKind::Switch { .. })),
        of(|kind| matches!(kind, InlineKind::Diode { .. }))
    );
    if shunts == 0 { plain } else { say!("{}; shunts {}", plain, shunts) }
}

/// The first names, and how many more there are.
fn list<'n>(names: impl ExactSizeIterator<Item = &'n str>) -> Line {
    let more = names.len().saturating_sub(MOST_NAMES);
    let mut line = joined(names.take(MOST_NAMES).map(|own| say!("{}", name(own))), ", ");
    if more > 0 {
        line.extend(say!(" and {} more", more));
    }
    line
}

fn unconfirmed(told: &mut Told, all: &[String]) {
    if all.is_empty() {
        return;
    }
    let words = say!(
        "resting on values that no published source confirms: {}; `groundloom catalogue` shows \
         each with its source",
        all.join(", ")
    );
    let lead = say!("{} ", warning("unconfirmed:"));
    told.push(Paragraph::item(lead, 2, words).narrower(1));
    told.gap();
}

fn filled(told: &mut Told, vehicle: &Vehicle) {
    let rows = vehicle.filled.iter().map(|filled| {
        vec![
            say!("{}", name(&filled.key)),
            say!("{}", filled.value.as_str()),
            say!("{}", filled.why.as_str()),
        ]
    });
    let columns = [Column::Left("left out"), Column::Left("taken"), Column::Left("because")];
    told.table(columns, rows.collect());
    told.gap();
}
