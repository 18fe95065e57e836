//! What is said of limits: what to expect first, then the limits by circuit and part, then how they differ.

use catalogue::{Circuit, Part, Row};
use units::Volts;

use super::found::{Across, CIRCUITS, Compared, Described, Expected, PARTS, across, asks_for_none};
use super::{Asked, CAUTIONS, CONTRADICT, Found};
use crate::arguments::word_for;
use crate::told::quantity::{amperes, length, loss, ohms, temperature};
use crate::told::sources::Sources;
use crate::told::{Column, Line, Quantity, Span, Told, Tone, left, or_stroke, right, strong};

const RANGE: &str = "The range is that of sound joints. Held against limits for a whole side or for both, \
    it says something only where what you described is that side, or both.";

pub(super) fn of(found: &Found, _: &Asked) -> Told {
    let described = &found.described;
    let mut told = Told::default();
    let mut sources = Sources::default();
    expected(&mut told, described, &mut sources);
    told.gap();
    let circuit = described.circuit.map_or("all circuits", |circuit| word_for(&CIRCUITS, circuit));
    let nominal = Quantity::Plain(described.nominal.0, 3, " V");
    told.line(strong(say!("Limits at this current: {}, {} nominal", circuit, nominal.clone())));
    for (circuit_name, circuit) in CIRCUITS {
        for (_, part) in PARTS {
            let rows = found
                .compared
                .iter()
                .filter(|row| row.limit.circuit == circuit && row.limit.part == part);
            let rows: Vec<&Compared> = rows.collect();
            if !rows.is_empty() {
                let section = section(circuit, part, &rows, described);
                told.gap();
                told.toned(Tone::Strong, say!("{}: {}", circuit_name, section));
                limits(&mut told, &rows, &mut sources);
            }
        }
    }
    told.gap();
    if found.compared.is_empty() {
        let none = "The catalogue has no limit for this circuit and part at ";
        told.paragraph(say!("{}{} nominal.", none, nominal));
    } else {
        told.paragraph(CONTRADICT);
        told.gap();
        told.paragraph(scaling(&found.compared));
    }
    told.gap();
    told.toned(Tone::Warning, CAUTIONS);
    told.gap();
    sources.list(&mut told);
    told
}

fn expected(told: &mut Told, described: &Described, sources: &mut Sources) {
    let current = amperes(described.current);
    let Some(whole) = described.whole() else {
        told.paragraph(say!(
            "What to expect at {} cannot be told without a conductor: give `--length` \
             and `--size`, and `--joints`. The limits alone follow; one joint is taken \
             as a {}.",
            current,
            described.joint.key()
        ));
        return;
    };
    told.line(strong(say!("To expect at {}: {}", current, range(whole))));
    let mut rows = Vec::new();
    if let Some(conductor) = &described.conductor {
        let what = say!(
            "{} of {} {}, at {}",
            length(conductor.length),
            conductor.size.to_string(),
            conductor.material.key(),
            temperature(described.ambient)
        );
        let mark = sources.mark(&conductor.per_metre.provenance);
        rows.push(vec![what, say!("{}", loss(described.conductor_drop())), say!("{}", mark)]);
    }
    if described.n_joints > 0 {
        let joint = described.joint;
        let what = say!(
            "{} × {} of {}{}",
            described.n_joints as usize,
            joint.key(),
            ohms(joint.clean_typical),
            if described.joints_assumed { ", assumed" } else { "" }
        );
        let mark = sources.mark(&joint.provenance);
        rows.push(vec![what, range(described.drop_of_joints()), say!("{}", mark)]);
    }
    told.table([Column::Left("of it"), Column::Left("drop"), Column::Left("source")], rows);
    told.paragraph(RANGE);
}

fn range(drop: Expected) -> Line {
    say!("{} ({} to {})", loss(drop.typical), loss(drop.low), loss(drop.high))
}

/// The part, how far its limits lie apart, and what they are put beside.
fn section(circuit: Circuit, part: Part, rows: &[&Compared], described: &Described) -> Line {
    let mut words = say!(
        "{}",
        match part {
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
    );
    let allowed = || rows.iter().map(|row| row.allowed);
    if let (Some(least), Some(most)) = (allowed().reduce(Volts::min), allowed().reduce(Volts::max))
        && least < most
    {
        words.extend(say!(", limits from {} to {}", allows(least), allows(most)));
    }
    match across(part) {
        Across::WhatWasDescribed => {
            if let Some(whole) = described.whole() {
                words.extend(say!("; described: {}", loss(whole.typical)));
            }
        }
        Across::OneJoint => {
            let drop = loss(described.drop_of_one_joint().typical);
            words.extend(say!("; one sound {}: {}", described.joint.key(), drop));
        }
        Across::Nothing => {}
    }
    words
}

/// A limit of zero is none that a meter can show.
fn allows(allowed: Volts) -> Span {
    if allowed > Volts::ZERO { loss(allowed).into() } else { "none".into() }
}

fn limits(told: &mut Told, rows: &[&Compared], sources: &mut Sources) {
    told.rows(rows, |compared| {
        let limit = compared.limit;
        let published = match limit.limit {
            own if asks_for_none(own) => "no measurable drop".to_owned(),
            own => own.to_string(),
        };
        let expected = compared.expected.map(|own| distance(own, compared.allowed));
        let test = say!("{}: {}", limit.rule_set.as_str(), limit.test.as_str());
        [
            left("rule set and test", test),
            left("limit", published),
            right("allows", allows(compared.allowed)),
            right("expected is", or_stroke(expected)),
            left("source", sources.short_mark(&limit.provenance)),
        ]
    });
}

fn distance(expected: Expected, allowed: Volts) -> Line {
    let over = expected.typical - allowed;
    let side = if over > Volts::ZERO { " above" } else { " below" };
    say!("{}{}", loss(over.abs()), side)
}

/// Which limits grow with the current, which do not, and which nobody published.
fn scaling(compared: &[Compared]) -> Line {
    let names = |follows: bool| {
        let mut names: Vec<&str> = Vec::new();
        for row in compared.iter().filter(|row| row.limit.limit.follows_current() == follows) {
            if !names.contains(&row.limit.rule_set.as_str()) {
                names.push(&row.limit.rule_set);
            }
        }
        if names.is_empty() { "none".to_owned() } else { names.join("; ") }
    };
    say!(
        "With limits that grow with the current, here scaled to it: {}. With limits that stay the \
         same whatever flows: {}. A limit of common practice is taught, not published. A mark `?` \
         is an unconfirmed row.",
        names(true),
        names(false)
    )
}
