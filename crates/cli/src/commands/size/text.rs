//! The answer of `groundloom size` as a person reads it.

use std::fmt::Write;

use catalogue::Row;
use physics::heat::Outcome;
use units::{Volts, print};

use super::{Choice, DROP_ALONE, Judged, Question, basis, too_warm};
use crate::answer::Asked;
use crate::sources::Sources;
use crate::style::{bold, warning, wrapped};
use crate::table::{Column, table};

/// The smallest sizes first, then the sizes about each, then what is not met and the sources.
pub(super) fn text(
    choices: &[Choice],
    question: &Question,
    warnings: &[String],
    asked: &Asked,
) -> String {
    let mut sources = Sources::default();
    let mut text = heading(choices, question, asked);
    text.push_str(&choices_text(choices, question, &mut sources, asked));
    let legend = "`then` is the drop when the metal has settled; ? is a resistance recalled or with \
        a recalled allowance.";
    let _ = writeln!(text, "{}", wrapped(legend, asked.width, 0));
    for line in warnings {
        let _ = writeln!(text, "\n{}", warning(wrapped(line, asked.width, 0)));
    }
    let _ = writeln!(text, "\n{}", wrapped(DROP_ALONE, asked.width, 0));
    for provenance in basis(choices, question) {
        sources.mark(&provenance);
    }
    let _ = write!(text, "\n{}", sources.list(asked.width));
    text
}

fn heading(choices: &[Choice], question: &Question, asked: &Asked) -> String {
    let units = asked.units;
    let sides = match question.return_length {
        None => format!("{} of one side", units.length(question.length)),
        Some(back) => {
            format!("{} out and {} back", units.length(question.length), units.length(back))
        }
    };
    let title = format!(
        "{} through {sides}, {} at {}: at most {}",
        print::amperes(question.current),
        question.material.key(),
        units.temperature(question.ambient),
        print::loss(question.allowed),
    );
    let joint = question.joint;
    let drop = |each| print::loss(question.joints_drop(each));
    let assumed = if question.joints_assumed { ", assumed" } else { "" };
    let joints = if question.n_joints == 0 {
        "No joints are counted.".to_owned()
    } else {
        format!(
            "Of it {} for joints ({} × {} of typically {}{assumed}); sound ones lose {} to {}. \
             Left for the conductor: {}.",
            drop(joint.clean_typical),
            question.n_joints,
            joint.key(),
            print::ohms(joint.clean_typical),
            drop(joint.clean_low),
            drop(joint.clean_high),
            print::loss(
                (question.allowed - question.joints_drop(joint.clean_typical)).max(Volts::ZERO)
            ),
        )
    };
    let mut sizes: Vec<&str> = Vec::new();
    for chosen in choices.iter().filter_map(|choice| choice.chosen.as_ref()) {
        if !sizes.contains(&chosen.candidate.name.as_str()) {
            sizes.push(&chosen.candidate.name);
        }
    }
    let sizes = if sizes.is_empty() {
        "no listed size keeps it".to_owned()
    } else {
        format!("smallest that keep it: {}", sizes.join(", "))
    };
    let insulation = format!(
        "Insulation {}{}, which bears {}.",
        question.insulation.key(),
        if question.insulation_assumed { " (assumed)" } else { "" },
        units.temperature(question.insulation.limit)
    );
    format!(
        "{}\n{}\n{}\n\n",
        bold(wrapped(&title, asked.width, 0)),
        bold(wrapped(&sizes, asked.width, 0)),
        wrapped(&format!("{joints} {insulation}"), asked.width, 0)
    )
}

fn choices_text(
    choices: &[Choice],
    question: &Question,
    sources: &mut Sources,
    asked: &Asked,
) -> String {
    let mut rows = Vec::new();
    for choice in choices {
        let name = choice.family.name();
        let mut add = |judged: &Judged, mark: &str, verdict: String| {
            rows.push(vec![
                mark.to_owned(),
                judged.candidate.name.clone(),
                format!("{name} {}", sources.short_mark(&judged.candidate.provenance)),
                print::loss(judged.drop),
                verdict,
                settled_text(judged, question, asked),
                judged.warm_drop.map_or_else(String::new, print::loss),
            ]);
        };
        if let Some(judged) = &choice.smaller {
            let over = print::loss(judged.drop - question.allowed);
            add(judged, "", format!("{over} over"));
        }
        if let Some(judged) = &choice.chosen {
            add(judged, ">", "smallest".to_owned());
        }
        if let Some(judged) = &choice.larger {
            add(judged, "", format!("{} spare", print::loss(question.allowed - judged.drop)));
        }
    }
    let columns = [
        Column::Left(""),
        Column::Right("size"),
        Column::Left("of"),
        Column::Right("drop"),
        Column::Left("limit"),
        Column::Right("settles at"),
        Column::Right("then"),
    ];
    table(&columns, rows, asked.width)
}

fn settled_text(judged: &Judged, question: &Question, asked: &Asked) -> String {
    match judged.settled {
        Some(Outcome::Settles(temperature)) => {
            let mark = if too_warm(judged, question) { "! " } else { "" };
            format!("{mark}{}", asked.units.temperature(temperature))
        }
        Some(Outcome::Exceeds(_)) => "! melts".to_owned(),
        None => "unknown".to_owned(),
    }
}

/// What is not met, and what the numbers leave open.
pub(super) fn warnings(choices: &[Choice], question: &Question, asked: &Asked) -> Vec<String> {
    let mut lines = Vec::new();
    let joints = question.joints_drop(question.joint.clean_typical);
    if question.allowed <= joints {
        lines.push(format!(
            "The joints alone lose {} of the {} allowed: no conductor is large enough.",
            print::loss(joints),
            print::loss(question.allowed)
        ));
    }
    for choice in choices {
        let family = choice.family.name();
        let Some(chosen) = &choice.chosen else {
            lines.push(format!("No listed size of {family} keeps the drop."));
            continue;
        };
        let size = &chosen.candidate.name;
        match chosen.settled {
            Some(Outcome::Exceeds(_)) => {
                lines.push(format!("{size} ({family}) does not settle: it melts if this lasts."));
            }
            Some(Outcome::Settles(temperature)) if too_warm(chosen, question) => {
                lines.push(format!(
                    "{size} ({family}) settles at {}, above the {} that {} bears.",
                    asked.units.temperature(temperature),
                    asked.units.temperature(question.insulation.limit),
                    question.insulation.key()
                ));
            }
            _ if chosen.warm_drop.is_some_and(|warm| question.allowed < warm) => {
                lines.push(format!(
                    "{size} ({family}) keeps the drop at the temperature of the air, not when it \
                     has settled; for a lasting current look at the next larger."
                ));
            }
            _ => {}
        }
    }
    lines
}
