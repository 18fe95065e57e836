//! The answer of `groundloom limits` as a person reads it.

use std::fmt::Write;

use catalogue::{Circuit, Part, Row};
use units::{Volts, print};

use super::{
    Across, CAUTIONS, CIRCUITS, CONTRADICT, Compared, Expected, PARTS, Question, across,
    asks_for_none, name_of,
};
use crate::answer::Asked;
use crate::sources::Sources;
use crate::style::{bold, warning, wrapped};
use crate::table::{Column, table};

/// What to expect first, then the limits by circuit and part, then how they differ.
pub(super) fn text(question: &Question, compared: &[Compared], asked: &Asked) -> String {
    let mut sources = Sources::default();
    let mut text = expected_text(question, &mut sources, asked);
    let circuit = question.circuit.map_or("all circuits", |circuit| name_of(&CIRCUITS, circuit));
    let nominal = print::plain(question.nominal.0, 3);
    let title = format!("Limits at this current: {circuit}, {nominal} V nominal");
    let _ = writeln!(text, "\n{}", bold(title));
    for (circuit_name, circuit) in CIRCUITS {
        for (_, part) in PARTS {
            let rows: Vec<&Compared> = compared
                .iter()
                .filter(|row| row.limit.circuit == circuit && row.limit.part == part)
                .collect();
            if !rows.is_empty() {
                let heading =
                    format!("{circuit_name}: {}", section_words(circuit, part, &rows, question));
                let _ = writeln!(text, "\n{}", bold(wrapped(&heading, asked.width, 0)));
                text.push_str(&limits_text(&rows, &mut sources, asked));
            }
        }
    }
    if compared.is_empty() {
        let none = format!(
            "The catalogue has no limit for this circuit and part at {} V nominal.",
            print::plain(question.nominal.0, 3)
        );
        let _ = writeln!(text, "\n{}", wrapped(&none, asked.width, 0));
    } else {
        for paragraph in [CONTRADICT.to_owned(), scaling(compared)] {
            let _ = writeln!(text, "\n{}", wrapped(&paragraph, asked.width, 0));
        }
    }
    let _ = writeln!(text, "\n{}", warning(wrapped(CAUTIONS, asked.width, 0)));
    let _ = write!(text, "\n{}", sources.list(asked.width));
    text
}

fn expected_text(question: &Question, sources: &mut Sources, asked: &Asked) -> String {
    let Some(whole) = question.whole() else {
        let line = format!(
            "What to expect at {} cannot be told without a conductor: give `--length` and `--size`, \
             and `--joints`. The limits alone follow; one joint is taken as a {}.",
            print::amperes(question.current),
            question.joint.key()
        );
        return format!("{}\n", wrapped(&line, asked.width, 0));
    };
    let mut text = format!(
        "{}\n",
        bold(format!("To expect at {}: {}", print::amperes(question.current), range(whole)))
    );
    let mut rows = Vec::new();
    if let Some(conductor) = &question.conductor {
        let what = format!(
            "{} of {} {}, at {}",
            asked.units.length(conductor.length),
            conductor.size,
            conductor.material.key(),
            asked.units.temperature(question.ambient)
        );
        let mark = sources.mark(&conductor.per_metre.provenance);
        rows.push(vec![what, print::loss(question.conductor_drop()), mark]);
    }
    if question.n_joints > 0 {
        let joint = question.joint;
        let what = format!(
            "{} × {} of {}{}",
            question.n_joints,
            joint.key(),
            print::ohms(joint.clean_typical),
            if question.joints_assumed { ", assumed" } else { "" }
        );
        let drop = range(question.joints_drop(question.n_joints, Volts::ZERO));
        rows.push(vec![what, drop, sources.mark(&joint.provenance)]);
    }
    let columns = [Column::Left("of it"), Column::Left("drop"), Column::Left("source")];
    text.push_str(&table(&columns, rows, asked.width));
    let line = "The range is that of sound joints. Held against limits for a whole side or for both, \
        it says something only where what you described is that side, or both.";
    let _ = writeln!(text, "{}", wrapped(line, asked.width, 0));
    text
}

fn range(drop: Expected) -> String {
    format!(
        "{} ({} to {})",
        print::loss(drop.typical),
        print::loss(drop.low),
        print::loss(drop.high)
    )
}

/// The part, how far its limits lie apart, and what they are put beside.
fn section_words(circuit: Circuit, part: Part, rows: &[&Compared], question: &Question) -> String {
    let mut words = match part {
        Part::Total => "both sides together",
        Part::Feed => "the feed side",
        Part::Return => "the return side",
        Part::Cable => "one cable",
        Part::Connection if circuit == Circuit::Bonding => "one bond",
        Part::Connection => "one connection",
        Part::Switch => "one switch",
        Part::Solenoid => "one solenoid",
        Part::Case => "case to structure",
    }
    .to_owned();
    let allowed = || rows.iter().map(|row| row.allowed);
    if let (Some(least), Some(most)) = (allowed().reduce(Volts::min), allowed().reduce(Volts::max))
        && least < most
    {
        let _ = write!(words, ", limits from {} to {}", allows(least), allows(most));
    }
    match across(part) {
        Across::WhatWasDescribed => {
            if let Some(whole) = question.whole() {
                let _ = write!(words, "; described: {}", print::loss(whole.typical));
            }
        }
        Across::OneJoint => {
            let joint = question.joints_drop(1, Volts::ZERO);
            let drop = print::loss(joint.typical);
            let _ = write!(words, "; one sound {}: {drop}", question.joint.key());
        }
        Across::Nothing => {}
    }
    words
}

/// A limit of zero is none that a meter can show.
fn allows(allowed: Volts) -> String {
    if allowed > Volts::ZERO { print::loss(allowed) } else { "none".to_owned() }
}

fn limits_text(rows: &[&Compared], sources: &mut Sources, asked: &Asked) -> String {
    let rows = rows
        .iter()
        .map(|compared| {
            let limit = compared.limit;
            vec![
                format!("{}: {}", limit.rule_set, limit.test),
                if asks_for_none(limit.limit) {
                    "no measurable drop".to_owned()
                } else {
                    limit.limit.to_string()
                },
                allows(compared.allowed),
                compared.expected.map_or_else(
                    || "–".to_owned(),
                    |expected| distance(expected, compared.allowed),
                ),
                sources.short_mark(&limit.provenance),
            ]
        })
        .collect();
    let columns = [
        Column::Left("rule set and test"),
        Column::Left("limit"),
        Column::Right("allows"),
        Column::Right("expected is"),
        Column::Left("source"),
    ];
    table(&columns, rows, asked.width)
}

fn distance(expected: Expected, allowed: Volts) -> String {
    let over = expected.typical - allowed;
    if over > Volts::ZERO {
        format!("{} above", print::loss(over))
    } else {
        format!("{} below", print::loss(over.abs()))
    }
}

/// Which limits grow with the current, which do not, and which nobody published.
fn scaling(compared: &[Compared]) -> String {
    let names = |wanted: &dyn Fn(&Compared) -> bool| {
        let mut names: Vec<&str> = Vec::new();
        for row in compared.iter().filter(|row| wanted(row)) {
            if !names.contains(&row.limit.rule_set.as_str()) {
                names.push(&row.limit.rule_set);
            }
        }
        if names.is_empty() { "none".to_owned() } else { names.join("; ") }
    };
    let follows = names(&|row| row.limit.limit.follows_current());
    let fixed = names(&|row| !row.limit.limit.follows_current());
    format!(
        "With limits that grow with the current, here scaled to it: {follows}. With limits that \
         stay the same whatever flows: {fixed}. A limit of common practice is taught, not \
         published. A mark `?` is an unconfirmed row."
    )
}
