//! The answer of `groundloom bolt` as a person reads it.

use std::fmt::Write;

use answers::bolt::sheet::Sheet;
use answers::bolt::tightening::{
    Bolt, CANNOT_TELL, CAUTIONS, OVERRIDES, TABLE_FRICTION, Tightening, USUAL_SHARE, basis,
    connections, margin,
};
use catalogue::Row;
use units::{NewtonMetres, Newtons, Ratio, print};

use super::said::Said;
use crate::answer::Asked;
use crate::cautions;
use crate::sources::Sources;
use crate::style::{bold, warning, wrapped};
use crate::table::{Column, table};

/// The clamp force first, then what it may be, what it rests on, and what it cannot tell.
pub(super) fn text(
    bolt: &Bolt,
    found: &Tightening,
    sheet: Option<&Sheet>,
    asked: &Asked,
) -> String {
    let units = asked.units;
    let mut text = sheet.map_or_else(String::new, |sheet| Said(sheet).heading(asked));
    let assumed = if bolt.class_assumed { " (assumed: read the head)" } else { "" };
    let title = format!(
        "{}, {}{}{assumed}, finish {}, {}",
        bolt.thread.key(),
        if bolt.class.key().starts_with("grade") { "" } else { "class " },
        bolt.class.key(),
        bolt.finish.key(),
        bolt.method.key()
    );
    let _ = writeln!(text, "{}", bold(wrapped(&title, asked.width, 0)));
    let mut summary = format!(
        "{} gives {}, between {} and {}.",
        units.torque(found.torque),
        units.force(found.clamp.nominal),
        units.force(found.clamp.low),
        units.force(found.clamp.high)
    );
    if bolt.running > NewtonMetres::ZERO {
        let running = units.torque(bolt.running);
        let _ =
            write!(summary, " Of the torque {running} only turns the thread and clamps nothing.");
    }
    let _ = writeln!(text, "{}\n", wrapped(&summary, asked.width, 0));
    text.push_str(&clamp_table(found, asked));
    text.push('\n');
    text.push_str(&torque_table(found, sheet, asked));
    if found.clamp.high > found.proof_load {
        let line = "The worst case stretches the bolt for good: take less torque.";
        let _ = writeln!(text, "\n{}", warning(line));
    }
    let _ = writeln!(text, "\n{}", wrapped(&long_form_text(found, asked), asked.width, 0));
    let mut sources = Sources::default();
    if let Some(sheet) = sheet {
        text.push_str(&Said(sheet).text(&mut sources, asked));
    }
    text.push_str(&connections_text(bolt, &mut sources, asked));
    for paragraph in [CANNOT_TELL, OVERRIDES] {
        let _ = writeln!(text, "\n{}", wrapped(paragraph, asked.width, 0));
    }
    let _ = writeln!(text, "\n{}", warning(wrapped(CAUTIONS, asked.width, 0)));
    if let Some(place) = sheet.and_then(|sheet| sheet.place.as_ref()) {
        text.push_str(&cautions::paragraphs(&place.cautions, asked));
    }
    let _ = write!(text, "\n{}", basis_text(bolt, &mut sources, asked));
    let _ = write!(text, "\n{}", sources.list(asked.width));
    text
}

fn clamp_table(found: &Tightening, asked: &Asked) -> String {
    let row = |name: &str, force: Newtons, share: Ratio, by: &str| {
        let left = margin(share);
        let left = if left.0 < 0.0 { "none".to_owned() } else { print::percent(left) };
        vec![name.to_owned(), asked.units.force(force), print::percent(share), left, by.to_owned()]
    };
    let [low, nominal, high] = found.proof_share;
    table(
        &[
            Column::Left("clamp force"),
            Column::Right(""),
            Column::Right("of proof load"),
            Column::Right("margin"),
            Column::Left("by"),
        ],
        vec![
            row("lowest", found.clamp.low, low, &found.low_by),
            row("nominal", found.clamp.nominal, nominal, "typical nut factor alone"),
            row("highest", found.clamp.high, high, &found.high_by),
        ],
        asked.width,
    )
}

fn torque_table(found: &Tightening, sheet: Option<&Sheet>, asked: &Asked) -> String {
    let columns = [Column::Right("torque"), Column::Left("where")];
    let row = |torque: NewtonMetres, meaning: String| vec![asked.units.torque(torque), meaning];
    if let Some(screw) = sheet.and_then(|sheet| sheet.forming).map(|own| own.screw) {
        let rows = vec![
            row(found.torque, "as asked".to_owned()),
            row(
                screw.highest,
                "the highest for a thread-forming screw, forming included".to_owned(),
            ),
            row(screw.breaking, "such a screw may break".to_owned()),
        ];
        return table(&columns, rows, asked.width);
    }
    let proof = asked.units.force(found.proof_load);
    let usual = format!(
        "nominal clamp force is {} of the proof load of {proof}: the usual target",
        print::percent(USUAL_SHARE)
    );
    table(
        &columns,
        vec![
            row(found.torque, "as asked".to_owned()),
            row(found.usual_torque, usual),
            row(found.torque_at_proof, "the worst case meets the proof load".to_owned()),
        ],
        asked.width,
    )
}

fn long_form_text(found: &Tightening, asked: &Asked) -> String {
    let long = &found.long_form;
    let total = long.shares.total();
    let share = |part: NewtonMetres| print::percent(Ratio(part / total));
    let change = long.clamp_at_table_friction / found.clamp.nominal - 1.0;
    let change = format!(
        "{} {}",
        print::percent(Ratio(change.abs())),
        if change < 0.0 { "less" } else { "more" }
    );
    format!(
        "Cross-check by the long form: the same torque and force mean a friction of {} in thread \
         and head, and {} of the torque stretches the bolt, {} is friction in the thread, {} under \
         the head. At the friction {} of printed torque tables the force would be {}, {change}.",
        print::fixed(long.friction.0, 2),
        share(long.shares.pitch),
        share(long.shares.thread),
        share(long.shares.head),
        print::fixed(TABLE_FRICTION.0, 2),
        asked.units.force(long.clamp_at_table_friction),
    )
}

/// Torques that others give for connections with this thread; empty when there are none.
fn connections_text(bolt: &Bolt, sources: &mut Sources, asked: &Asked) -> String {
    let rows: Vec<Vec<String>> = connections(bolt)
        .map(|row| {
            let (low, high) = (asked.units.torque(row.low), asked.units.torque(row.high));
            let torque = if low == high { low } else { format!("{low} to {high}") };
            vec![row.connection.clone(), torque, sources.mark(&row.provenance)]
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let columns = [
        Column::Left("given for connections with this thread"),
        Column::Left("torque"),
        Column::Left("source"),
    ];
    format!("\n{}", table(&columns, rows, asked.width))
}

fn basis_text(bolt: &Bolt, sources: &mut Sources, asked: &Asked) -> String {
    let rows = basis(bolt)
        .into_iter()
        .map(|(what, value, provenance)| vec![what.to_owned(), value, sources.mark(&provenance)])
        .collect();
    let columns = [Column::Left("what went in"), Column::Left("value"), Column::Left("source")];
    let mut text = table(&columns, rows, asked.width);
    let note = "The spread by nut factor and that of the method overlap, for most of the scatter \
        of a wrench is friction: the wider of the two is taken, not both.";
    let _ = writeln!(text, "{}", wrapped(note, asked.width, 0));
    if !bolt.finish.note.is_empty() {
        let note = format!("Finish {}: {}.", bolt.finish.key(), bolt.finish.note);
        let _ = writeln!(text, "{}", wrapped(&note, asked.width, 0));
    }
    text
}
