//! What is said of a conductor in a vehicle: the sizes that do, and why each smaller one does not.

use catalogue::{Material, Row};
use units::Money;

use super::found::{Choice, Size};
use super::{Found, why};
use crate::cautions::Cautions;
use crate::told::quantity::{amperes, length, loss, temperature, volts};
use crate::told::sources::Sources;
use crate::told::{
    Column, Line, Quantity, Said, Told, Tone, attention, cautions, joined, name, or_stroke,
};
use crate::unsettled;

pub(super) const HOW: &str = "Each size is put into the vehicle and everything is solved again, so that parallel \
    paths take their share: drop and heat in every state, fault energy and protection over the whole \
    range of currents (`groundloom protect`), and every single failure elsewhere, so that it does not \
    burn when another way home lets go (`groundloom failures`): over three cranks of 15 s from warm, no rest \
    counted, carrying alone what that one carried.";

pub(super) const BEFORE: &str = "The maker's instructions and local codes come first; boats, recreational and \
    emergency vehicles have codes of their own. Before you fit it: every battery isolated, grounded \
    side off first and on last, rings off, no spark near a battery. Not for anything above 60 V.";

pub(in crate::size) fn of(found: &Found<'_>) -> Told {
    let Found { vehicle, wanted, choices, unsettled, .. } = found;
    let mut told = Told::default();
    let mut sources = Sources::default();
    told.toned(Tone::Strong, title(found));
    unsettled::told_states(&mut told, vehicle, unsettled);
    told.paragraph(asked(found));
    told.gap();
    sizes(&mut told, found, &mut sources);
    if vehicle.workshop.stated {
        told.paragraph(say!(
            "Cost in {}: cable, two lugs and fixings by the file's workshop; by \
             `--price`, cable alone.",
            vehicle.workshop.currency.as_str()
        ));
    }
    if choices.is_empty() {
        told.paragraph("No list of sizes is made of this metal.");
    }
    told.heading("Why not smaller");
    for choice in choices {
        reasons(&mut told, found, choice);
    }
    for line in why::warnings(found) {
        told.gap();
        told.toned(Tone::Warning, line);
    }
    told.gap();
    for note in [HOW, BEFORE] {
        told.paragraph(say!("{}", note));
    }
    cautions::told(&mut told, &Cautions::of(vehicle).of_new(wanted.from, wanted.to));
    told.gap();
    sources.list(&mut told);
    told
}

fn title(Found { vehicle, wanted, .. }: &Found<'_>) -> Line {
    let point = |id| name(&vehicle.point(id).id);
    say!(
        "{}: {} from {} to {}",
        name(&vehicle.name),
        length(wanted.length),
        point(wanted.from),
        point(wanted.to)
    )
}

fn asked(Found { vehicle, wanted, before, .. }: &Found<'_>) -> Line {
    let mut asked = Vec::new();
    if let Some(drop) = wanted.drop {
        asked.push(say!("at most {} between the two points", loss(drop)));
    }
    if let Some((load, least)) = wanted.load {
        asked.push(say!("at least {} at {}", volts(least), name(&vehicle.load(load).id)));
    }
    asked.push(say!("no warmer than {} bears", wanted.insulation.as_str()));
    asked.push(say!("no harm from a fault before it is cleared"));
    asked.push(say!("no burning when one thing elsewhere fails"));
    let fuse = wanted.fuse.map_or_else(Line::new, |(rating, kind)| {
        say!(" A {} of {} stands at its beginning.", kind, amperes(rating))
    });
    let now = match before {
        None => say!(" Nothing joins the two points as it is."),
        Some((most, state)) => say!(
            " As it is there are up to {} between them ({}).",
            loss(*most),
            name(&vehicle.state(*state).id)
        ),
    };
    say!("Asked: {}.{}{}", joined(asked, ", "), fuse, now)
}

fn sizes(told: &mut Told, found: &Found<'_>, sources: &mut Sources) {
    let costs = !found.wanted.prices.is_empty() || found.vehicle.workshop.stated;
    let loaded = found.wanted.load.is_some();
    let columns = [
        Column::Right("smallest"),
        Column::Left("metal"),
        Column::Left("of"),
        Column::Left("carries up to"),
        Column::Right("drop"),
        Column::Right("warmest"),
    ];
    let more = loaded.then_some(Column::Right("load gets"));
    let more = more.into_iter().chain(costs.then_some(Column::Right("cost")));
    let rows = found.choices.iter().map(|choice| {
        let mut row = row(found, choice, sources);
        let chosen = choice.chosen.as_ref();
        if loaded {
            let load = chosen.and_then(|size| size.tried.load);
            row.push(load.map(|(least, _)| volts(least)).line());
        }
        if costs {
            let cost = chosen.and_then(|size| cost(found, choice.material, size));
            row.push(or_stroke(cost.map(|cost| Quantity::Fixed(cost.0, 2, ""))));
        }
        row
    });
    told.table(columns.into_iter().chain(more).collect::<Vec<_>>(), rows.collect());
}

fn row(found: &Found<'_>, choice: &Choice, sources: &mut Sources) -> Vec<Line> {
    let (metal, family) = (choice.material.key(), choice.family.name());
    let Some(size) = &choice.chosen else {
        let none = attention(true, "none");
        return vec![none, metal.line(), family.line(), Line::new(), Line::new(), Line::new()];
    };
    let (carries, state) = size.tried.carries;
    let warmest = size.tried.warmest;
    vec![
        size.candidate.name.as_str().line(),
        metal.line(),
        say!("{} {}", family, sources.short_mark(&size.candidate.provenance)),
        say!("{} {}", amperes(carries), name(&found.vehicle.state(state).id)),
        loss(size.tried.drop.0).line(),
        warmest.map_or_else(|| say!("not known"), |(warmest, _)| temperature(warmest).line()),
    ]
}

/// What a conductor costs: cable by `--price`, or cable, two lugs and fixings by the prices that the
/// file's workshop states, which are those of copper.
pub(super) fn cost(found: &Found<'_>, material: &Material, size: &Size) -> Option<Money> {
    let wanted = &found.wanted;
    let name = size.candidate.size.to_string();
    let of_metal = format!("{} {name}", material.key());
    let price = wanted.prices.iter().find(|(own, _)| *own == of_metal);
    let price = price.or_else(|| wanted.prices.iter().find(|(own, _)| *own == name));
    let workshop = &found.vehicle.workshop;
    match price {
        Some((_, price)) => Some(Money(price * wanted.length.0)),
        None if workshop.stated && material.key().ends_with("copper") => {
            let cable = workshop.cable_price(wanted.length, size.candidate.area);
            Some(cable + workshop.lug * 2.0 + workshop.fixings)
        }
        None => None,
    }
}

/// Sizes with the same kinds of reason are told together, the largest of them in figures.
fn reasons(told: &mut Told, found: &Found<'_>, choice: &Choice) {
    told.line(say!("  {}, {}", choice.family.name(), choice.material.key()));
    if choice.smaller.is_empty() {
        told.line("    the smallest that is listed does");
    }
    let mut rest = choice.smaller.as_slice();
    while let Some(last) = rest.last() {
        let alike = |size: &Size| why::kinds(size) == why::kinds(last);
        let first = rest.iter().rposition(|size| !alike(size)).map_or(0, |at| at + 1);
        let (others, together) = rest.split_at(first);
        let name = last.candidate.name.as_str();
        let which = match together {
            [smallest, _, ..] => {
                say!("{} to {}: the last ", smallest.candidate.name.as_str(), name)
            }
            _ => say!("{}: ", name),
        };
        let reasons = why::all(found, last).into_iter().map(|(_, line)| line);
        told.item(say!("    "), 6, say!("{}{}", which, joined(reasons, "; ")));
        rest = others;
    }
}
