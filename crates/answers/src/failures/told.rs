//! What is said of failures: the worst first, then hidden fuses, hidden paths, what would help.

mod aftermath;
mod pairs;
mod remedies;

use ::failures::{Finding, HiddenFuse, Ranked};
use model::{Piece, StateId, Vehicle};
use units::Ratio;

use super::words::{chance, count, during, fault, finding, protection, with_share};
use super::{Asked, Found, Surveyed};
use crate::told::quantity::{amperes, soon};
use crate::told::{
    Line, Paragraph, Quantity, Said, Span, Told, Tone, aside, joined, left, name, names, or_stroke,
    right, strong, warning,
};

/// Sentences of one failure that are written out; the rest is counted.
const MOST_FINDINGS: usize = 6;
/// Dead loads that are all named; of more only [`NAMED_DEAD`].
const MOST_DEAD: usize = 6;
/// Dead loads that are named of many.
const NAMED_DEAD: usize = 5;
/// Blanks before what is said of a failure, under its number and its name.
const UNDER: &str = "     ";

const CAUTIONS: &str = "Times are for a constant current from the moment of failure, in still air, and \
    good to a fifth at best; fuses without a curve of their own are trusted only to open within ten minutes \
    at twice their rating. Chances and harm are our judgement (docs/failures.md). Do not try any of \
    this out: an opened main ground under cranking current burns straps in seconds. Grounded side off first and \
    on last, after the maker's wait; the maker's instructions and local codes come first.";

pub(super) fn of(found: &Found<'_>, _: &Asked) -> Told {
    match found {
        Found::Survey(own) => survey(own),
        Found::After(own) => aftermath::of(own),
    }
}

fn survey(found: &Surveyed<'_>) -> Told {
    let mut told = Told::default();
    let head = say!("{}: what fails when something fails", name(&found.vehicle.name));
    told.toned(Tone::Strong, head);
    let survey = &found.survey;
    told.toned(
        Tone::Aside,
        say!(
            "{} tried, a failure in a state each; {} solved fully, the others seen \
             harmless by low rank",
            count(survey.tried, "case"),
            survey.solved
        ),
    );
    if !survey.complete {
        stopped(&mut told);
    }
    for state in &found.unsettled {
        told.line(say!(
            "{} {} has no operating point even with nothing failed and is left out",
            warning("warning:"),
            name(&found.vehicle.state(*state).id)
        ));
    }
    told.part("already", |told| already(told, found));
    if found.survey.tried == 0 && !found.unsettled.is_empty() {
        told.gap();
        told.line("nothing is known of any failure: no state that was asked about has a point to begin from");
        return told;
    }
    worst(&mut told, found);
    hidden(&mut told, found);
    paths(&mut told, found);
    remedies::of(&mut told, found);
    if let Some(own) = &found.pairs {
        pairs::of(&mut told, found.vehicle, own);
    }
    told.gap();
    told.toned(Tone::Aside, CAUTIONS);
    told
}

/// What is said of work that did not come to its end.
fn stopped(told: &mut Told) {
    told.line(say!(
        "{} stopped before the end; what follows was found so far",
        warning("warning:")
    ));
}

fn already(told: &mut Told, found: &Surveyed<'_>) {
    let vehicle = found.vehicle;
    let mut wrong = found.already.iter().filter(|(_, own)| !own.is_empty()).peekable();
    if wrong.peek().is_none() {
        return;
    }
    told.heading("Already so, with nothing failed");
    for (state, findings) in wrong {
        for own in findings {
            told.item(
                say!("  "),
                2,
                say!("{}: {}", during(vehicle, *state), finding(vehicle, own)),
            );
        }
    }
}

fn worst(told: &mut Told, found: &Surveyed<'_>) {
    let all = &found.survey.ranked;
    told.gap();
    if all.is_empty() {
        told.part("no_failure", |told| {
            told.line("no single failure does any harm that this can see");
        });
        return;
    }
    told.line(strong("Worst first, by harm times likelihood"));
    for (at, own) in all.iter().take(found.most).enumerate() {
        let title = fault(found.vehicle, own.fault);
        told.titled(format!("failures.{at}"), title, |told| ranked(told, found, at + 1, own));
    }
    if all.len() > found.most {
        let more = count(all.len() - found.most, "failure");
        told.line(aside(say!("{} more; --most shows them", more)));
    }
}

fn ranked(told: &mut Told, found: &Surveyed<'_>, number: usize, own: &Ranked) {
    let vehicle = found.vehicle;
    let cases = || own.cases.iter().map(|at| &found.survey.cases[*at]);
    heading(told, number, fault(vehicle, own.fault), own.chance, own.harm);
    let Some(worst) = cases().next() else { return };
    let mut words = Vec::new();
    for own in worst.findings.iter().filter(|own| !matches!(own, Finding::Load { .. })) {
        let mut sentence = finding(vehicle, own);
        if let Finding::Conductor { conductor, .. } = *own
            && let Some(known) = found.protection(worst.fault, worst.state, conductor)
        {
            sentence.extend(say!("; {}", protection(vehicle, known)));
        }
        words.push(sentence);
    }
    words.extend(loads(vehicle, &worst.findings));
    let more = words.len().saturating_sub(MOST_FINDINGS);
    words.truncate(MOST_FINDINGS);
    told.part(format!("failures.{}.does", number - 1), |told| {
        does(told, vehicle, worst.state, words, more);
    });
    let others = cases().skip(1).map(|case| say!("{}", name(&vehicle.state(case.state).id)));
    let others = joined(others, ", ");
    if !others.is_empty() {
        let words = say!("harm too while {}", others);
        told.push(Paragraph::item(UNDER, UNDER.len(), words).toned(Tone::Aside));
    }
}

/// What a failure does in the state in which it is worst.
fn does(told: &mut Told, vehicle: &Vehicle, state: StateId, words: Vec<Line>, more: usize) {
    for (at, sentence) in words.into_iter().enumerate() {
        let first = || say!("{}, ", during(vehicle, state));
        let lead = if at == 0 { first() } else { Line::new() };
        told.item(UNDER, UNDER.len(), say!("{}{}", lead, sentence));
    }
    if more > 0 {
        told.item(UNDER, UNDER.len(), say!("and {} more", more));
    }
}

/// What fails, with how likely and how bad it is, on one line where there is room.
fn heading(told: &mut Told, number: usize, what: Line, likely: Ratio, harm: f64) {
    let weight = say!("likely {}, harm {}", chance(likely), Quantity::Plain(harm, 2, ""));
    let lead = say!("{}", numbered(number));
    let heading = Paragraph::item(lead, UNDER.len(), what).toned(Tone::Strong);
    told.push(Paragraph { behind: aside(weight).line(), ..heading });
}

/// A number with blanks about it, as long as [`UNDER`].
fn numbered(number: usize) -> Line {
    say!("{}  ", Span::from(number).right(UNDER.len() - 2))
}

/// Loads in as few sentences as they need: the dead ones together.
fn loads(vehicle: &Vehicle, findings: &[Finding]) -> Vec<Line> {
    let mut dead = Vec::new();
    let mut words = Vec::new();
    for own in findings {
        match *own {
            Finding::Load { load, dead: true, .. } => {
                dead.push(say!("{}", name(&vehicle.load(load).id)));
            }
            Finding::Load { .. } => words.push(finding(vehicle, own)),
            _ => {}
        }
    }
    match dead.len() {
        0 => {}
        1 => words.insert(0, say!("{} is dead", joined(dead, ", "))),
        many if many > MOST_DEAD => {
            dead.truncate(NAMED_DEAD);
            let named = joined(dead, ", ");
            let more = many - NAMED_DEAD;
            words.insert(0, say!("{} loads are dead: {} and {} more", many, named, more));
        }
        _ => words.insert(0, say!("dead: {}", joined(dead, ", "))),
    }
    words
}

fn hidden(told: &mut Told, found: &Surveyed<'_>) {
    let vehicle = found.vehicle;
    told.heading("Hidden fuses: what burns when something else fails");
    if found.hidden.is_empty() {
        let none = "none: no conductor passes its limit within a state's usual duration when one thing elsewhere fails";
        told.part("hidden_fuses", |told| told.paragraph(say!("{}", none)));
        return;
    }
    let most = 2 * found.most;
    let row = |own: &HiddenFuse| {
        let known = found.protection(own.fault, own.state, own.conductor);
        let when = say!("{}, {}", fault(vehicle, own.fault), name(&vehicle.state(own.state).id));
        [
            left("hidden fuse", names::piece(vehicle, Piece::Conductor(own.conductor))),
            right("carries", amperes(own.endurance.amps)),
            right("limit in", or_stroke(own.endurance.limit_after.map(soon))),
            right("melts in", or_stroke(own.endurance.melts_after.map(soon))),
            left("when", when),
            left("saved by", known.map(|known| protection(vehicle, known))),
        ]
    };
    told.part("hidden_fuses", |told| told.rows(found.hidden.iter().take(most), row));
    more(told, found.hidden.len(), most);
}

/// How many are left out of what is shown.
fn more(told: &mut Told, all: usize, shown: usize) {
    if all > shown {
        told.line(aside(say!("and {} more", all - shown)));
    }
}

fn paths(told: &mut Told, found: &Surveyed<'_>) {
    let vehicle = found.vehicle;
    for (own, paths) in found.paths.iter().filter(|(_, paths)| !paths.is_empty()) {
        told.gap();
        let head = "Paths never meant for it that carry current when ";
        told.toned(Tone::Strong, say!("{}{}", head, fault(vehicle, *own)));
        let flow = |own: Option<_>| or_stroke(own.map(|(amps, share)| with_share(amps, share)));
        told.rows(paths, |own| {
            [
                left("path", names::piece(vehicle, Piece::Incidental(own.path))),
                right("cranking", flow(own.cranking)),
                right("charging", flow(own.charging)),
                right("damage from", or_stroke(own.damage.map(amperes))),
            ]
        });
    }
}
