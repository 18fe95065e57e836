//! The answer of `groundloom size FILE`: the sizes that do, and why each smaller one does not.

use std::fmt::Write;

use answers::cautions::{Cautions, told};
use catalogue::{Material, Row};
use model::{StateId, Vehicle};
use protection::sizing::Reason;
use protection::{Harm, Rule, Verdict};
use serde_json::{Value, json};
use units::{Kelvin, Money, Volts, print};

use super::{BurntBy, Choice, Question, Size};
use crate::answer::Asked;
use crate::cautions;
use crate::sources::{Sources, with_source};
use crate::style::{bold, warning, wrapped};
use crate::table::{Column, table};

/// The kind of a reason: something else fails, and the conductor burns.
const HIDDEN_FUSE: &str = "hidden fuse";

const HOW: &str = "Each size is put into the vehicle and everything is solved again, so that parallel \
    paths take their share: drop and heat in every state, fault energy and protection over the whole \
    range of currents (`groundloom protect`), and every single failure elsewhere, so that it does not \
    burn when another way home lets go (`groundloom failures`): over three cranks of 15 s from warm, no rest \
    counted, carrying alone what that one carried.";

const BEFORE: &str = "The maker's instructions and local codes come first; boats, recreational and \
    emergency vehicles have codes of their own. Before you fit it: every battery isolated, grounded \
    side off first and on last, rings off, no spark near a battery. Not for anything above 60 V.";

const NO_FUSE: &str = "From one of its ends a battery reaches this conductor with no fuse in between, \
    and no size is protected from that. `--fuse RATING` puts a fuse at its beginning; what feeds its \
    other end is told by `groundloom protect`.";

const NO_CURVE: &str = "A fuse that has to clear its faults has no stated opening times, so that \
    protection could not be judged: write them into the file as `curve`, or as `[curves.NAME]` for its kind.";

pub(super) fn text(
    vehicle: &Vehicle,
    question: &Question,
    choices: &[Choice],
    before: &Option<(Volts, StateId)>,
    asked: &Asked,
) -> String {
    let title = format!(
        "{}: {} from {} to {}",
        vehicle.name,
        asked.units.length(question.length),
        vehicle.point(question.from).id,
        vehicle.point(question.to).id
    );
    let mut text = format!("{}\n", bold(wrapped(&title, asked.width, 0)));
    let _ = writeln!(text, "{}\n", wrapped(&asked_for(vehicle, question, before), asked.width, 0));
    let mut sources = Sources::default();
    text.push_str(&sizes(vehicle, question, choices, &mut sources, asked));
    if vehicle.workshop.stated {
        let priced = format!(
            "Cost in {}: cable, two lugs and fixings by the file's workshop; by `--price`, cable alone.",
            vehicle.workshop.currency
        );
        let _ = writeln!(text, "{}", wrapped(&priced, asked.width, 0));
    }
    if choices.is_empty() {
        let none = "No list of sizes is made of this metal.";
        let _ = writeln!(text, "{}", wrapped(none, asked.width, 0));
    }
    let _ = writeln!(text, "\n{}", bold("Why not smaller"));
    for choice in choices {
        reasons(&mut text, vehicle, question, choice, asked);
    }
    for line in warnings(vehicle, choices, asked) {
        let _ = writeln!(text, "\n{}", warning(wrapped(&line, asked.width, 0)));
    }
    text.push('\n');
    for note in [HOW, BEFORE] {
        let _ = writeln!(text, "{}", wrapped(note, asked.width, 0));
    }
    let concern = Cautions::of(vehicle).of_new(question.from, question.to);
    text.push_str(&cautions::paragraphs(&concern, asked));
    let _ = write!(text, "\n{}", sources.list(asked.width));
    text
}

fn asked_for(vehicle: &Vehicle, question: &Question, before: &Option<(Volts, StateId)>) -> String {
    let mut asked = Vec::new();
    if let Some(drop) = question.drop {
        asked.push(format!("at most {} between the two points", print::loss(drop)));
    }
    if let Some((load, least)) = question.load {
        asked.push(format!("at least {} at {}", print::volts(least), vehicle.load(load).id));
    }
    asked.push(format!("no warmer than {} bears", question.insulation));
    asked.push("no harm from a fault before it is cleared".to_owned());
    asked.push("no burning when one thing elsewhere fails".to_owned());
    let fuse = question.fuse.map_or_else(String::new, |(rating, kind)| {
        format!(" A {kind} of {} stands at its beginning.", print::amperes(rating))
    });
    let now = before.map_or_else(
        || " Nothing joins the two points as it is.".to_owned(),
        |(volts, state)| {
            format!(
                " As it is there are up to {} between them ({}).",
                print::loss(volts),
                vehicle.state(state).id
            )
        },
    );
    format!("Asked: {}.{fuse}{now}", asked.join(", "))
}

fn sizes(
    vehicle: &Vehicle,
    question: &Question,
    choices: &[Choice],
    sources: &mut Sources,
    asked: &Asked,
) -> String {
    let costs = !question.prices.is_empty() || vehicle.workshop.stated;
    let mut rows = Vec::new();
    for choice in choices {
        let mark = |sources: &mut Sources, size: &Size| {
            format!("{} {}", choice.family.name(), sources.short_mark(&size.candidate.provenance))
        };
        let mut row = match &choice.chosen {
            Some(size) => vec![
                size.candidate.name.clone(),
                choice.material.key().to_owned(),
                mark(sources, size),
                format!(
                    "{} {}",
                    print::amperes(size.tried.carries.0),
                    vehicle.state(size.tried.carries.1).id
                ),
                print::loss(size.tried.drop.0),
                size.tried.warmest.map_or_else(
                    || "not known".to_owned(),
                    |(warmest, _)| asked.units.temperature(warmest),
                ),
            ],
            None => vec![
                "! none".to_owned(),
                choice.material.key().to_owned(),
                choice.family.name().to_owned(),
                String::new(),
                String::new(),
                String::new(),
            ],
        };
        if question.load.is_some() {
            let volts = choice.chosen.as_ref().and_then(|size| size.tried.load);
            row.push(volts.map_or_else(String::new, |(volts, _)| print::volts(volts)));
        }
        if costs {
            let cost = choice.chosen.as_ref();
            let cost = cost.and_then(|size| self::cost(vehicle, question, choice.material, size));
            row.push(cost.map_or_else(|| "–".to_owned(), |cost| print::fixed(cost.0, 2)));
        }
        rows.push(row);
    }
    let mut columns = vec![
        Column::Right("smallest"),
        Column::Left("metal"),
        Column::Left("of"),
        Column::Left("carries up to"),
        Column::Right("drop"),
        Column::Right("warmest"),
    ];
    if question.load.is_some() {
        columns.push(Column::Right("load gets"));
    }
    if costs {
        columns.push(Column::Right("cost"));
    }
    table(&columns, rows, asked.width)
}

/// What a conductor costs: cable by `--price`, or cable, two lugs and fixings by the prices that the
/// file's workshop states, which are those of copper.
fn cost(vehicle: &Vehicle, question: &Question, material: &Material, size: &Size) -> Option<Money> {
    let name = size.candidate.size.to_string();
    let of_metal = format!("{} {name}", material.key());
    let price = question.prices.iter().find(|(own, _)| *own == of_metal);
    let price = price.or_else(|| question.prices.iter().find(|(own, _)| *own == name));
    let workshop = &vehicle.workshop;
    match price {
        Some((_, price)) => Some(Money(price * question.length.0)),
        None if workshop.stated && material.key().ends_with("copper") => {
            let cable = workshop.cable_price(question.length, size.candidate.area);
            Some(cable + workshop.lug * 2.0 + workshop.fixings)
        }
        None => None,
    }
}

/// Sizes with the same kinds of reason are told together, the largest of them in figures.
fn reasons(
    text: &mut String,
    vehicle: &Vehicle,
    question: &Question,
    choice: &Choice,
    asked: &Asked,
) {
    let head = format!("{}, {}", choice.family.name(), choice.material.key());
    let _ = writeln!(text, "  {head}");
    if choice.smaller.is_empty() {
        let _ = writeln!(text, "    the smallest that is listed does");
    }
    let mut at = choice.smaller.len();
    while at > 0 {
        let last = &choice.smaller[at - 1];
        let alike = |size: &Size| kinds(size) == kinds(last);
        let first =
            choice.smaller[..at].iter().rposition(|size| !alike(size)).map_or(0, |at| at + 1);
        let which = if first + 1 == at {
            last.candidate.name.clone()
        } else {
            format!("{} to {}", choice.smaller[first].candidate.name, last.candidate.name)
        };
        let why: Vec<String> =
            whys(vehicle, question, last, asked).into_iter().map(|(_, text)| text).collect();
        let last = if first + 1 == at { "" } else { "the last " };
        let line = format!("{which}: {last}{}", why.join("; "));
        let _ = writeln!(text, "    {}", wrapped(&line, asked.width.saturating_sub(4), 6));
        at = first;
    }
}

fn kinds(size: &Size) -> Vec<&'static str> {
    let mut kinds: Vec<&str> = size.tried.reasons.iter().map(kind).collect();
    kinds.extend(size.burnt_by.as_ref().map(|_| HIDDEN_FUSE));
    kinds.dedup();
    kinds
}

/// Every reason why a size is too small: its kind, and what a person reads.
fn whys(
    vehicle: &Vehicle,
    question: &Question,
    size: &Size,
    asked: &Asked,
) -> Vec<(&'static str, String)> {
    let reasons = size.tried.reasons.iter();
    let mut whys: Vec<(&str, String)> = reasons
        .map(|reason| (kind(reason), reason_text(vehicle, question, reason, asked)))
        .collect();
    whys.extend(size.burnt_by.as_ref().map(|own| (HIDDEN_FUSE, burnt_text(own, asked))));
    whys
}

fn burnt_text(own: &BurntBy, asked: &Asked) -> String {
    let after = own
        .endurance
        .limit_after
        .map_or_else(String::new, |after| format!(" after {}", print::duration(after)));
    format!(
        "would be a hidden fuse: when {} in {}, it has to carry {} alone and is {}{after}",
        own.fault,
        own.state,
        print::amperes(own.endurance.amps),
        too_hot(own.endurance.limit, failures::Endurance::RULE, asked)
    )
}

/// Which temperature is passed, and what it is.
fn too_hot(limit: Kelvin, rule: Rule, asked: &Asked) -> String {
    format!("past its {} ({})", rule.word(), asked.units.temperature(limit))
}

fn kind(reason: &Reason) -> &'static str {
    match reason {
        Reason::Drop { .. } => "drop",
        Reason::Load { .. } => "load",
        Reason::TooWarm { .. } => "heat",
        Reason::Fault(_) => "fault",
        Reason::Return(_) => "fault elsewhere",
        Reason::Unsolved { .. } => "unsolved",
    }
}

fn reason_text(vehicle: &Vehicle, question: &Question, reason: &Reason, asked: &Asked) -> String {
    let state = |id: StateId| vehicle.state(id).id.as_str();
    match reason {
        Reason::Drop { found, state: at } => format!(
            "loses {} in {}, {} too much",
            print::loss(*found),
            state(*at),
            print::loss(*found - question.drop.unwrap_or(*found))
        ),
        Reason::Load { found, state: at } => {
            format!("leaves {} for the load in {}", print::volts(*found), state(*at))
        }
        Reason::TooWarm { found, state: at } => {
            format!("reaches {} in {}", asked.units.temperature(*found), state(*at))
        }
        Reason::Fault(Verdict::Burns(gap)) => format!(
            "is burnt by faults of {} to {}",
            print::amperes(gap.from),
            print::amperes(gap.to)
        ),
        Reason::Fault(Verdict::Ages(gap)) => format!(
            "is aged by faults of {} to {}, which need not be cleared",
            print::amperes(gap.from),
            print::amperes(gap.to)
        ),
        Reason::Fault(_) => "is not protected".to_owned(),
        Reason::Return(worst) => match worst.harm {
            Harm::Burns { limit, after, rule } => format!(
                "is {} {} after a short elsewhere, which sends {} home through it",
                too_hot(limit, rule, asked),
                print::duration(after),
                print::amperes(worst.amps)
            ),
            _ => format!(
                "is aged by a short elsewhere, which sends {} home through it",
                print::amperes(worst.amps)
            ),
        },
        Reason::Unsolved { state: at } => format!("no operating point in {}", state(*at)),
    }
}

/// What no size changes, and what the chosen ones still suffer from.
fn warnings(vehicle: &Vehicle, choices: &[Choice], asked: &Asked) -> Vec<String> {
    let tried =
        || choices.iter().flat_map(|choice| choice.chosen.iter().chain(choice.smaller.last()));
    let verdicts = || tried().filter_map(|size| size.tried.verdict);
    let mut lines = Vec::new();
    if verdicts().any(|verdict| matches!(verdict, Verdict::Nothing { .. })) {
        lines.push(NO_FUSE.to_owned());
    }
    let waiting = tried().any(|size| size.tried.unknown.is_some());
    if waiting || verdicts().any(|verdict| matches!(verdict, Verdict::CurveMissing)) {
        lines.push(NO_CURVE.to_owned());
    }
    let suffering: Vec<String> = choices
        .iter()
        .filter_map(|choice| Some((choice.chosen.as_ref()?, choice.material.key())))
        .filter_map(|(size, metal)| {
            let worst = size.tried.unfused?;
            let Harm::Burns { limit, after, rule } = worst.harm else { return None };
            Some(format!(
                "{} of {} is {} after {} with {} from {}",
                size.candidate.name,
                metal,
                too_hot(limit, rule, asked),
                print::duration(after),
                print::amperes(worst.amps),
                vehicle.point(worst.fault.at).id
            ))
        })
        .collect();
    if !suffering.is_empty() {
        lines.push(format!("Under a short that nothing clears: {}.", suffering.join("; ")));
    }
    lines
}

pub(super) fn json(
    vehicle: &Vehicle,
    question: &Question,
    choices: &[Choice],
    before: &Option<(Volts, StateId)>,
) -> Value {
    let state = |id: StateId| &vehicle.state(id).id;
    let metric = Asked { units: units::UnitSystem::Metric, width: usize::MAX, json: false };
    let size = |material: &Material, size: &Size| {
        let tried = &size.tried;
        let reasons = whys(vehicle, question, size, &metric)
            .into_iter()
            .map(|(kind, text)| json!({ "kind": kind, "text": text }));
        with_source(
            json!({
                "size": size.candidate.name,
                "area_square_metres": size.candidate.area.0,
                "ohms_per_metre": size.candidate.per_metre.0,
                "basis": size.candidate.basis,
                "carries_amps": tried.carries.0.0,
                "carries_state": state(tried.carries.1),
                "drop_volts": tried.drop.0.0,
                "drop_state": state(tried.drop.1),
                "warmest_kelvin": tried.warmest.map(|own| own.0.0),
                "load_volts": tried.load.map(|own| own.0.0),
                "unfused_short_amps": tried.unfused.map(|worst| worst.amps.0),
                "protection": tried.verdict.as_ref().map(answers::protect::verdict_word),
                "cost": cost(vehicle, question, material, size).map(|cost| cost.0),
                "reasons": reasons.collect::<Vec<_>>(),
            }),
            &size.candidate.provenance,
        )
    };
    let families = choices.iter().map(|choice| {
        json!({
            "material": choice.material.key(),
            "family": choice.family.name(),
            "chosen": choice.chosen.as_ref().map(|own| size(choice.material, own)),
            "too_small": choice
                .smaller
                .iter()
                .map(|own| size(choice.material, own))
                .collect::<Vec<_>>(),
        })
    });
    json!({
        "format": 1,
        "cautions": told(&Cautions::of(vehicle).of_new(question.from, question.to)),
        "from": vehicle.point(question.from).id,
        "to": vehicle.point(question.to).id,
        "length_metres": question.length.0,
        "allowed_drop_volts": question.drop.map(|drop| drop.0),
        "load": question.load.map(|(load, _)| &vehicle.load(load).id),
        "least_volts": question.load.map(|(_, least)| least.0),
        "insulation": question.insulation,
        "fuse_amps": question.fuse.map(|(rating, _)| rating.0),
        "before_volts": before.map(|own| own.0.0),
        "families": families.collect::<Vec<_>>(),
        "warnings": warnings(vehicle, choices, &metric),
        "notes": [HOW, BEFORE],
    })
}
