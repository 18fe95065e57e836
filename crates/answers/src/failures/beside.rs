//! What a page shows beside failures: what they rest on, and whether a conductor would bear each of them.

use std::collections::BTreeMap;

use ::failures::HiddenFuse;
use model::ConductorId;

use super::words::{count, fault, protection};
use super::{Found, Surveyed};
use crate::told::quantity::{amperes, soon};
use crate::told::{Line, Told, Tone, name, strong};

/// What is said of one conductor at most: the soonest to burn it.
const MOST: usize = 2;

const JUDGED: &str = "Chances and harm are judged, not measured. Do not try any of this out: an \
                      opened main ground burns straps in seconds.";

pub(super) fn of(told: &mut Told, found: &Found<'_>) {
    let Found::Survey(found) = found else { return };
    told.beside("headline", |told| told.paragraph(headline(found.hidden.len())));
    told.beside("introduction", |told| {
        let tried = count(found.survey.tried, "case");
        told.toned(Tone::Aside, say!("{} tried, each a failure in a state. {}", tried, JUDGED));
    });
    told.beside("bears", |told| {
        told.paragraph("No single thing that fails elsewhere burns it.");
    });
    let mut burnt: BTreeMap<ConductorId, Vec<&HiddenFuse>> = BTreeMap::new();
    found.hidden.iter().for_each(|own| burnt.entry(own.conductor).or_default().push(own));
    for (conductor, own) in burnt {
        told.beside(format!("too_thin.{}", found.vehicle.conductor(conductor).id), |told| {
            let soonest = own.into_iter().take(MOST);
            soonest.for_each(|own| told.toned(Tone::Warning, too_thin(found, own)));
        });
    }
}

/// The answer in one line, for a list of answers.
fn headline(hidden: usize) -> Line {
    match hidden {
        0 => say!("no hidden fuse"),
        1 => say!("one hidden fuse"),
        more => say!("{} hidden fuses", more),
    }
}

fn too_thin(found: &Surveyed<'_>, own: &HiddenFuse) -> Line {
    let vehicle = found.vehicle;
    let mut words = say!(
        "{} it carries {} with {}, {}",
        strong("Too thin:"),
        amperes(own.endurance.amps),
        fault(vehicle, own.fault),
        name(&vehicle.state(own.state).id)
    );
    if let Some(time) = own.endurance.limit_after {
        words.extend(say!("; past its limit in {}", soon(time)));
    }
    if let Some(time) = own.endurance.melts_after {
        words.extend(say!("; melts in {}", soon(time)));
    }
    if let Some(known) = found.protection(own.fault, own.state, own.conductor) {
        words.extend(say!("; {}", protection(vehicle, known)));
    }
    words.extend(say!(". Take a larger size."));
    words
}
