//! The answer as text: the worst first, then hidden fuses, hidden paths, what would help.

use std::fmt::Write;

use answers::cautions::{Cautions, together};
use answers::failures::Told;
use failures::{Change, Finding, HiddenPath, PairCase, Pairs, Ranked, Remedy};
use model::{Piece, Vehicle};
use units::{Ratio, UnitSystem, print};

use super::PAIRS;
use super::words::{during, fault, finding, protection, soon, with_share};
use crate::answer::Asked;
use crate::cautions;
use crate::names;
use crate::problems::count;
use crate::style::{bold, dim, warning, wrapped};
use crate::table::{Column, table};

/// Sentences of one failure that are written out; the rest is counted.
const MOST_FINDINGS: usize = 6;

const CAUTIONS: &str = "Times are for a constant current from the moment of failure, in still air, and \
    good to a fifth at best; fuses without a curve of their own are trusted only to open within ten minutes \
    at twice their rating. Chances and harm are our judgement (docs/failures.md). Do not try any of \
    this out: an opened main ground under cranking current burns straps in seconds. Grounded side off first and \
    on last, after the maker's wait; the maker's instructions and local codes come first.";

pub(super) fn text(told: &Told<'_>, asked: &Asked) -> String {
    let head = format!("{}: what fails when something fails", told.vehicle.name);
    let mut text = format!("{}\n", bold(wrapped(&head, asked.width, 0)));
    let survey = &told.survey;
    let tried = format!(
        "{} tried, a failure in a state each; {} solved fully, the others seen harmless by low rank",
        count(survey.tried, "case"),
        survey.solved
    );
    let _ = writeln!(text, "{}", dim(wrapped(&tried, asked.width, 0)));
    if !survey.complete {
        let _ = writeln!(
            text,
            "{} stopped before the end; what follows was found so far",
            warning("warning:")
        );
    }
    for state in &told.unsettled {
        let _ = writeln!(
            text,
            "{} {} has no operating point even with nothing failed and is left out",
            warning("warning:"),
            told.vehicle.state(*state).id
        );
    }
    already(&mut text, told, asked);
    if survey.ranked.is_empty() {
        text.push_str("\nno single failure does any harm that this can see\n");
    } else {
        let _ = writeln!(text, "\n{}", bold("Worst first, by harm times likelihood"));
        for (at, own) in survey.ranked.iter().take(told.most).enumerate() {
            ranked(&mut text, told, at + 1, own, asked);
        }
        if survey.ranked.len() > told.most {
            let more = survey.ranked.len() - told.most;
            let _ = writeln!(
                text,
                "{}",
                dim(format!("{} more; --most shows them", count(more, "failure")))
            );
        }
    }
    hidden(&mut text, told, asked);
    paths(&mut text, told, asked);
    remedies(&mut text, told, asked);
    if let Some(found) = &told.pairs {
        pairs(&mut text, told.vehicle, found, asked);
    }
    let _ = writeln!(text, "\n{}", dim(wrapped(CAUTIONS, asked.width, 0)));
    text
}

fn line(text: &mut String, indent: usize, words: &str, asked: &Asked) {
    let width = asked.width.saturating_sub(indent);
    let _ = writeln!(text, "{}{}", " ".repeat(indent), wrapped(words, width, indent));
}

fn already(text: &mut String, told: &Told<'_>, asked: &Asked) {
    let wrong: Vec<_> = told.already.iter().filter(|(_, own)| !own.is_empty()).collect();
    if wrong.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{}", bold("Already so, with nothing failed"));
    for (state, findings) in wrong {
        for own in findings {
            let words = finding(told.vehicle, own, asked.units);
            line(text, 2, &format!("{}: {words}", during(told.vehicle, *state)), asked);
        }
    }
}

fn ranked(text: &mut String, told: &Told<'_>, number: usize, own: &Ranked, asked: &Asked) {
    let vehicle = told.vehicle;
    let worst = &told.survey.cases[own.cases[0]];
    heading(text, number, &fault(vehicle, own.fault), own.chance, own.harm, asked);
    let lead = during(vehicle, worst.state);
    let mut words = Vec::new();
    for own in worst.findings.iter().filter(|own| !matches!(own, Finding::Load { .. })) {
        let mut sentence = finding(vehicle, own, asked.units);
        if let Finding::Conductor { conductor, .. } = *own
            && let Some(known) = told.protection(worst.fault, worst.state, conductor)
        {
            let _ = write!(sentence, "; {}", protection(vehicle, known));
        }
        words.push(sentence);
    }
    words.extend(loads(vehicle, &worst.findings, asked.units));
    let more = words.len().saturating_sub(MOST_FINDINGS);
    words.truncate(MOST_FINDINGS);
    for (at, sentence) in words.iter().enumerate() {
        let sentence = if at == 0 { format!("{lead}, {sentence}") } else { sentence.clone() };
        line(text, 5, &sentence, asked);
    }
    if more > 0 {
        line(text, 5, &format!("and {more} more"), asked);
    }
    let others: Vec<&str> = own.cases[1..]
        .iter()
        .map(|at| vehicle.state(told.survey.cases[*at].state).id.as_str())
        .collect();
    if !others.is_empty() {
        let words = format!("harm too while {}", others.join(", "));
        let width = asked.width.saturating_sub(5);
        let _ = writeln!(text, "     {}", dim(wrapped(&words, width, 5)));
    }
}

/// What fails, with how likely and how bad it is, on one line where there is room.
fn heading(text: &mut String, number: usize, what: &str, likely: Ratio, harm: f64, asked: &Asked) {
    let aside = format!("likely {}, harm {}", chance(likely), print::plain(harm, 2));
    let together = 5 + what.chars().count() + 2 + aside.chars().count();
    let what = bold(wrapped(what, asked.width.saturating_sub(5), 5));
    let gap = if together <= asked.width { "  " } else { "\n     " };
    let _ = writeln!(text, "{number:>3}  {what}{gap}{}", dim(aside));
}

/// Loads in as few sentences as they need: the dead ones together.
fn loads(vehicle: &Vehicle, findings: &[Finding], units: UnitSystem) -> Vec<String> {
    let mut dead = Vec::new();
    let mut words = Vec::new();
    for own in findings {
        match *own {
            Finding::Load { load, dead: true, .. } => dead.push(vehicle.load(load).id.as_str()),
            Finding::Load { .. } => words.push(finding(vehicle, own, units)),
            _ => {}
        }
    }
    match dead.len() {
        0 => {}
        1 => words.insert(0, format!("{} is dead", dead[0])),
        many if many > 6 => words.insert(
            0,
            format!("{many} loads are dead: {} and {} more", dead[..5].join(", "), many - 5),
        ),
        _ => words.insert(0, format!("dead: {}", dead.join(", "))),
    }
    words
}

fn chance(value: Ratio) -> String {
    match value.0 {
        share if share >= 0.01 => print::percent(value),
        share if share > 0.0 => format!("1 in {}", print::significant(1.0 / share, 1)),
        _ => "never".to_owned(),
    }
}

fn hidden(text: &mut String, told: &Told<'_>, asked: &Asked) {
    let vehicle = told.vehicle;
    let _ = writeln!(text, "\n{}", bold("Hidden fuses: what burns when something else fails"));
    if told.hidden.is_empty() {
        let words = "none: no conductor passes its limit within a state's usual duration when one \
                     thing elsewhere fails";
        line(text, 0, words, asked);
        return;
    }
    let rows = told
        .hidden
        .iter()
        .take(2 * told.most)
        .map(|own| {
            let known = told.protection(own.fault, own.state, own.conductor);
            vec![
                names::piece(vehicle, Piece::Conductor(own.conductor)),
                print::amperes(own.endurance.amps),
                own.endurance.limit_after.map_or_else(|| "–".to_owned(), soon),
                own.endurance.melts_after.map_or_else(|| "–".to_owned(), soon),
                format!("{}, {}", fault(vehicle, own.fault), vehicle.state(own.state).id),
                known.map_or_else(String::new, |known| protection(vehicle, known)),
            ]
        })
        .collect();
    let columns = [
        Column::Left("hidden fuse"),
        Column::Right("carries"),
        Column::Right("limit in"),
        Column::Right("melts in"),
        Column::Left("when"),
        Column::Left("saved by"),
    ];
    text.push_str(&table(&columns, rows, asked.width));
    if told.hidden.len() > 2 * told.most {
        let more = told.hidden.len() - 2 * told.most;
        let _ = writeln!(text, "{}", dim(format!("and {more} more")));
    }
}

fn paths(text: &mut String, told: &Told<'_>, asked: &Asked) {
    for (own, paths) in told.paths.iter().filter(|(_, paths)| !paths.is_empty()) {
        let head = format!(
            "Paths never meant for it that carry current when {}",
            fault(told.vehicle, *own)
        );
        let _ = writeln!(text, "\n{}", bold(wrapped(&head, asked.width, 0)));
        let rows = paths
            .iter()
            .map(|HiddenPath { path, cranking, charging, damage }| {
                let cell = |own: &Option<_>| match own {
                    Some((amps, share)) => with_share(*amps, *share),
                    None => "–".to_owned(),
                };
                vec![
                    names::piece(told.vehicle, Piece::Incidental(*path)),
                    cell(cranking),
                    cell(charging),
                    damage.map_or_else(|| "–".to_owned(), print::amperes),
                ]
            })
            .collect();
        let columns = [
            Column::Left("path"),
            Column::Right("cranking"),
            Column::Right("charging"),
            Column::Right("damage from"),
        ];
        text.push_str(&table(&columns, rows, asked.width));
    }
}

fn remedies(text: &mut String, told: &Told<'_>, asked: &Asked) {
    if told.remedies.is_empty() {
        return;
    }
    let _ =
        writeln!(text, "\n{}", bold("Cheapest change against the damage, solved again with it"));
    let held = format!(
        "Held to {} cranks of {}, one after another, from a warm engine space; a new way bears alone what those \
         beside it carry.",
        network::duty::CRANKS,
        print::duration(network::duty::CRANK)
    );
    let _ = writeln!(text, "{}", dim(wrapped(&held, asked.width, 0)));
    for (own, state, remedy) in &told.remedies {
        let lead = format!("{}, {}:", fault(told.vehicle, *own), during(told.vehicle, *state));
        let words = match remedy {
            Some(remedy) => format!("{lead} {}", remedy_words(told.vehicle, remedy, asked)),
            None => format!(
                "{lead} no strap, second ground or larger conductor that was tried helps and bears it; \
                 what fails must be kept sound"
            ),
        };
        line(text, 2, &words, asked);
    }
    let all = Cautions::of(told.vehicle);
    let concern = told.remedies.iter().filter_map(|(_, _, remedy)| remedy.as_ref());
    text.push_str(&cautions::paragraphs(
        &together(concern.map(|own| match own.change {
            Change::Parallel { from, to, .. } | Change::SecondGround { from, to, .. } => {
                all.of_new(from, to)
            }
            Change::Larger { conductor, .. } => all.of_conductor(conductor),
        })),
        asked,
    ));
}

fn remedy_words(vehicle: &Vehicle, remedy: &Remedy, asked: &Asked) -> String {
    let size = |area: units::SquareMetres| format!("{} mm²", print::plain(area.mm2(), 3));
    let point = |id| &vehicle.point(id).id;
    let change = match remedy.change {
        Change::Parallel { from, to, area, length } => format!(
            "a second strap of {}, {}, beside it from {} to {} on studs of its own",
            size(area),
            asked.units.length(length),
            point(from),
            point(to)
        ),
        Change::SecondGround { from, to, area, length } => format!(
            "a second main ground of {}, {}, from {} to {}",
            size(area),
            asked.units.length(length),
            point(from),
            point(to)
        ),
        Change::Larger { conductor, area } => {
            format!("{} of {}", vehicle.conductor(conductor).id, size(area))
        }
    };
    let harm = format!(
        "harm {} becomes {}",
        print::plain(remedy.harm_before, 2),
        print::plain(remedy.harm_after, 2)
    );
    if remedy.no_damage {
        // The one that is replaced is told of by its old size; it is in the harm that is left.
        let replaced = |own: &&Finding| match (remedy.change, own) {
            (Change::Larger { conductor, .. }, Finding::Conductor { conductor: same, .. }) => {
                conductor == *same
            }
            _ => false,
        };
        let left = remedy.left.iter().find(|own| !replaced(own));
        let left = left.map_or_else(String::new, |own| {
            format!("; left: {}", finding(vehicle, own, asked.units))
        });
        format!("{change}; {harm}, nothing that the file shows is damaged any more{left}")
    } else {
        format!("{change}; {harm}, but damage remains")
    }
}

fn pairs(text: &mut String, vehicle: &Vehicle, found: &Pairs, asked: &Asked) {
    let _ = writeln!(text, "\n{}", bold("Two open at once, where both do what neither does alone"));
    let tried = format!("{} of two openings in a state", count(found.tried, "case"));
    let how = if found.complete && found.tried == found.solved + found.sampled {
        format!("{tried}, all of them solved fully.")
    } else {
        format!(
            "{tried}; {} came near a limit and were solved fully. Of the others {} were solved as a \
             sample, and {} of them did harm that the quick way had not seen: at most {} of those \
             passed over were missed, with 95 % confidence.",
            found.solved,
            found.sampled,
            found.missed,
            print::percent(found.missed_at_most)
        )
    };
    let _ = writeln!(text, "{}", dim(wrapped(&how, asked.width, 0)));
    if !found.complete {
        let _ = writeln!(
            text,
            "{} stopped before the end; what follows was found so far",
            warning("warning:")
        );
    }
    if found.cases.is_empty() {
        text.push_str("none\n");
    }
    for (at, own) in found.cases.iter().take(PAIRS).enumerate() {
        pair(text, vehicle, at + 1, own, asked);
    }
    if found.cases.len() > PAIRS {
        let _ = writeln!(text, "{}", dim(format!("and {} more", found.cases.len() - PAIRS)));
    }
}

fn pair(text: &mut String, vehicle: &Vehicle, number: usize, own: &PairCase, asked: &Asked) {
    let [first, second] = own.faults.map(|own| fault(vehicle, own));
    heading(text, number, &format!("{first} and {second}"), own.chance, own.harm, asked);
    let mut words: Vec<String> = own
        .findings
        .iter()
        .filter(|own| !matches!(own, Finding::Load { .. }))
        .map(|own| finding(vehicle, own, asked.units))
        .collect();
    words.extend(loads(vehicle, &own.findings, asked.units));
    words.truncate(3);
    line(text, 5, &format!("{}, {}", during(vehicle, own.state), words.join("; ")), asked);
}
