//! What is said of a bolt: the clamp force first, then what it may be, what it rests on, and what it cannot tell.

use catalogue::Row;
use units::{NewtonMetres, Ratio};

use super::found::TorqueFrom;
use super::sheet::Sheet;
use super::tightening::{
    Bolt, CANNOT_TELL, CAUTIONS, OVERRIDES, TABLE_FRICTION, Tightening, USUAL_SHARE, basis, margin,
};
use super::{Asked, Found};
use crate::told::quantity::{force, percent, torque};
use crate::told::sources::Sources;
use crate::told::{Column, Line, Quantity, Said, Told, Tone, cautions, left, right, warning};

pub(super) mod job;
mod joint;

pub(super) fn of(found: &Found, _: &Asked) -> Told {
    let mut told = Told::default();
    let sheet = found.sheet();
    let place = sheet.and_then(|own| own.place.as_ref());
    if let Some(place) = place {
        joint::heading(&mut told, place);
    }
    match found.bolted() {
        Some((bolt, tightening)) => {
            if place.is_some() {
                told.gap();
            }
            bolted(&mut told, found, bolt, tightening);
        }
        None => {
            told.gap();
            told.paragraph(
                "Its file does not say enough of its bolt and torque to tell what it clamps with.",
            );
        }
    }
    let mut sources = Sources::default();
    if let Some(sheet) = sheet {
        joint::of(&mut told, sheet, &mut sources);
    }
    connections(&mut told, found, &mut sources);
    for paragraph in [CANNOT_TELL, OVERRIDES] {
        told.gap();
        told.paragraph(say!("{}", paragraph));
    }
    told.gap();
    told.toned(Tone::Warning, CAUTIONS);
    if let Some(place) = place {
        cautions::told(&mut told, &place.cautions);
    }
    told.gap();
    if let Some((bolt, _)) = found.bolted() {
        rests_on(&mut told, bolt, &mut sources);
        told.gap();
    }
    sources.list(&mut told);
    told
}

/// What the torque does, with the marks on its scale.
fn bolted(told: &mut Told, found: &Found, bolt: &Bolt, tightening: &Tightening) {
    let assumed = if bolt.class_assumed { " (assumed: read the head)" } else { "" };
    let class = if bolt.class.key().starts_with("grade") { "" } else { "class " };
    let (thread, finish) = (bolt.thread.key(), bolt.finish.key());
    told.toned(
        Tone::Strong,
        say!(
            "{}, {}{}{}, finish {}, {}",
            thread,
            class,
            bolt.class.key(),
            assumed,
            finish,
            bolt.method.key()
        ),
    );
    told.paragraph(summary(found, bolt, tightening));
    told.gap();
    clamp_forces(told, tightening);
    told.gap();
    torques(told, found, tightening);
    if tightening.clamp.high > tightening.proof_load {
        let line = "The worst case stretches the bolt for good: take less torque.";
        told.gap();
        told.line(warning(say!("{}", line)));
    }
    told.gap();
    told.paragraph(long_form(tightening));
}

fn is_usual(found: &Found) -> bool {
    matches!(found, Found::AsFiled { bolt: Some((_, _, TorqueFrom::Usual)), .. })
}

fn summary(found: &Found, bolt: &Bolt, tightening: &Tightening) -> Line {
    let clamp = tightening.clamp;
    let mut line = say!(
        "{} gives {}, between {} and {}.",
        torque(tightening.torque),
        force(clamp.nominal),
        force(clamp.low),
        force(clamp.high)
    );
    if bolt.running > NewtonMetres::ZERO {
        let only = " only turns the thread and clamps nothing.";
        line.extend(say!(" Of the torque {}{}", torque(bolt.running), only));
    }
    if is_usual(found) {
        line.extend(say!(" The file gives no torque: this is the usual one of such a bolt."));
    }
    line
}

fn clamp_forces(told: &mut Told, found: &Tightening) {
    let [low, nominal, high] = found.proof_share;
    let rows = [
        ("lowest", found.clamp.low, low, found.low_by.as_str()),
        ("nominal", found.clamp.nominal, nominal, "typical nut factor alone"),
        ("highest", found.clamp.high, high, &found.high_by),
    ];
    told.rows(rows, |(which, clamp, share, by)| {
        let rest = margin(share);
        let rest = if rest.0 < 0.0 { say!("none") } else { percent(rest).line() };
        [
            left("clamp force", which),
            right("", force(clamp)),
            right("of proof load", percent(share)),
            right("margin", rest),
            left("by", by),
        ]
    });
}

fn torques(told: &mut Told, found: &Found, tightening: &Tightening) {
    let row = |value: NewtonMetres, meaning: Line| vec![say!("{}", torque(value)), meaning];
    let mut rows = Vec::new();
    // The usual one stands in a row of its own.
    if !is_usual(found) {
        rows.push(row(tightening.torque, say!("as asked")));
    }
    if let Some(screw) = found.sheet().and_then(|sheet: &Sheet| sheet.forming).map(|own| own.screw)
    {
        let highest = "the highest for a thread-forming screw, forming included";
        rows.push(row(screw.highest, say!("{}", highest)));
        rows.push(row(screw.breaking, say!("such a screw may break")));
    } else {
        let usual = say!(
            "nominal clamp force is {} of the proof load of {}: the usual target",
            percent(USUAL_SHARE),
            force(tightening.proof_load)
        );
        let at_proof = say!("the worst case meets the proof load");
        rows.push(row(tightening.usual_torque, usual));
        rows.push(row(tightening.torque_at_proof, at_proof));
    }
    told.table([Column::Right("torque"), Column::Left("where")], rows);
}

fn long_form(found: &Tightening) -> Line {
    let long = &found.long_form;
    let total = long.shares.total();
    let share = |part: NewtonMetres| percent(Ratio(part / total));
    let change = long.clamp_at_table_friction / found.clamp.nominal - 1.0;
    say!(
        "Cross-check by the long form: the same torque and force mean a friction of {} in thread \
         and head, and {} of the torque stretches the bolt, {} is friction in the thread, {} \
         under the head. At the friction {} of printed torque tables the force would be {}, {}{}",
        Quantity::Fixed(long.friction.0, 2, ""),
        share(long.shares.pitch),
        share(long.shares.thread),
        share(long.shares.head),
        Quantity::Fixed(TABLE_FRICTION.0, 2, ""),
        force(long.clamp_at_table_friction),
        percent(Ratio(change.abs())),
        if change < 0.0 { " less." } else { " more." }
    )
}

/// Torques that others give for such connections; nothing when there are none.
fn connections(told: &mut Told, found: &Found, sources: &mut Sources) {
    let all = found.connections();
    if all.is_empty() {
        return;
    }
    let head = match found {
        Found::Figures { .. } => "given for connections with this thread",
        Found::AsFiled { .. } => "given for such connections",
    };
    told.gap();
    told.rows(all, |row| {
        let given = if row.low == row.high {
            torque(row.low).line()
        } else {
            say!("{} to {}", torque(row.low), torque(row.high))
        };
        let mark = sources.mark(&row.provenance);
        [left(head, row.connection.as_str()), left("torque", given), left("source", mark)]
    });
}

fn rests_on(told: &mut Told, bolt: &Bolt, sources: &mut Sources) {
    told.rows(basis(bolt), |(what, value, provenance)| {
        let mark = sources.mark(&provenance);
        [left("what went in", what), left("value", value), left("source", mark)]
    });
    told.paragraph(
        "The spread by nut factor and that of the method overlap, for most of the \
         scatter of a wrench is friction: the wider of the two is taken, not both.",
    );
    if !bolt.finish.note.is_empty() {
        told.paragraph(say!("Finish {}: {}.", bolt.finish.key(), bolt.finish.note.as_str()));
    }
}
