//! What would take the harm of the worst failures away.

use ::failures::{Change, Finding, Remedy};
use model::{ConductorId, PointId, Vehicle};
use units::{Metres, SquareMetres};

use super::{during, fault, finding};
use crate::cautions::{Cautions, together};
use crate::failures::Surveyed;
use crate::told::quantity::{duration, length};
use crate::told::{Line, Quantity, Told, Tone, cautions, name};

pub(super) fn of(told: &mut Told, found: &Surveyed<'_>) {
    if found.remedies.is_empty() {
        return;
    }
    let (vehicle, judged) = (found.vehicle, network::duty::judged());
    told.heading("Cheapest change against the damage, solved again with it");
    told.toned(
        Tone::Aside,
        say!(
            "Held to {} cranks of {}, one after another, from a warm engine space; a new \
             way bears alone what those beside it carry.",
            Quantity::Fixed(judged.cranks.0, 0, ""),
            duration(judged.crank)
        ),
    );
    for (at, (own, state, remedy)) in found.remedies.iter().enumerate() {
        let lead = say!("{}, {}: ", fault(vehicle, *own), during(vehicle, *state));
        let words = remedy.as_ref().map_or_else(
            || {
                say!(
                    "no strap, second ground or larger conductor that was tried helps \
                     and bears it; what fails must be kept sound"
                )
            },
            |remedy| words(vehicle, remedy),
        );
        told.part(format!("remedies.{at}"), |told| {
            told.item(say!("  "), 2, say!("{}{}", lead, words));
        });
    }
    let all = Cautions::of(vehicle);
    let concern = found.remedies.iter().filter_map(|(_, _, remedy)| remedy.as_ref());
    let concern = together(concern.map(|own| match own.change {
        Change::Parallel { from, to, .. } | Change::SecondGround { from, to, .. } => {
            all.of_new(from, to)
        }
        Change::Larger { conductor, .. } => all.of_conductor(conductor),
    }));
    cautions::told(told, &concern);
}

fn words(vehicle: &Vehicle, remedy: &Remedy) -> Line {
    let mut words = change(vehicle, remedy.change);
    let harm = |own| Quantity::Plain(own, 2, "");
    words.extend(say!("; harm {} becomes {}", harm(remedy.harm_before), harm(remedy.harm_after)));
    if !remedy.no_damage {
        words.extend(say!(", but damage remains"));
        return words;
    }
    words.extend(say!(", nothing that the file shows is damaged any more"));
    // The one that is replaced is told of by its old size; it is in the harm that is left.
    let replaced = |own: &&Finding| match (remedy.change, own) {
        (Change::Larger { conductor, .. }, Finding::Conductor { conductor: same, .. }) => {
            conductor == *same
        }
        _ => false,
    };
    if let Some(own) = remedy.left.iter().find(|own| !replaced(own)) {
        words.extend(say!("; left: {}", finding(vehicle, own)));
    }
    words
}

fn change(vehicle: &Vehicle, change: Change) -> Line {
    match change {
        Change::Parallel { from, to, area, length } => {
            let mut words = say!("a second strap of {}, beside it", cable(area, length));
            words.extend(between(vehicle, from, to));
            words.extend(say!(" on studs of its own"));
            words
        }
        Change::SecondGround { from, to, area, length } => {
            let mut words = say!("a second main ground of {},", cable(area, length));
            words.extend(between(vehicle, from, to));
            words
        }
        Change::Larger { conductor, area } => larger(vehicle, conductor, area),
    }
}

fn larger(vehicle: &Vehicle, conductor: ConductorId, area: SquareMetres) -> Line {
    say!("{} of {}", name(&vehicle.conductor(conductor).id), size(area))
}

fn between(vehicle: &Vehicle, from: PointId, to: PointId) -> Line {
    let point = |id| name(&vehicle.point(id).id);
    say!(" from {} to {}", point(from), point(to))
}

fn cable(area: SquareMetres, long: Metres) -> Line {
    say!("{}, {}", size(area), length(long))
}

fn size(area: SquareMetres) -> Quantity {
    Quantity::Plain(area.mm2(), 3, " mm²")
}
