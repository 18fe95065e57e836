//! What is said of a conductor by itself: the smallest sizes, those about each, what is not met.

use catalogue::Row;
use physics::heat::Outcome;
use units::Volts;

use super::Found;
use super::found::{Choice, Judged};
use crate::told::quantity::{amperes, length, loss, ohms, temperature};
use crate::told::sources::Sources;
use crate::told::{Line, Quantity, Told, Tone, attention, left, right};

pub(super) const DROP_ALONE: &str = "This is drop alone. Heat, fault energy and protection are sized together in \
    a network, where fuse, bundle and duty are known: `groundloom size FILE --from … --to …`. The \
    temperature is that of a single cable in still air after a long time, for information.";

const LEGEND: &str = "`then` is the drop when the metal has settled; ? is a resistance recalled or with \
    a recalled allowance.";

/// The smallest sizes first, then the sizes about each, then what is not met and the sources.
pub(in crate::size) fn of(found: &Found) -> Told {
    let mut told = Told::default();
    let mut sources = Sources::default();
    told.toned(Tone::Strong, title(found));
    told.toned(Tone::Strong, smallest(&found.choices));
    told.paragraph(say!("{} {}", joints(found), insulation(found)));
    told.gap();
    choices(&mut told, found, &mut sources);
    told.paragraph(LEGEND);
    for line in warnings(found) {
        told.gap();
        told.toned(Tone::Warning, line);
    }
    told.gap();
    told.paragraph(DROP_ALONE);
    for provenance in found.basis() {
        sources.mark(provenance);
    }
    told.gap();
    sources.list(&mut told);
    told
}

fn title(found: &Found) -> Line {
    let wanted = &found.wanted;
    let sides = match wanted.return_length {
        None => say!("{} of one side", length(wanted.length)),
        Some(back) => say!("{} out and {} back", length(wanted.length), length(back)),
    };
    say!(
        "{} through {}, {} at {}: at most {}",
        amperes(wanted.current),
        sides,
        wanted.material.key(),
        temperature(wanted.ambient),
        loss(wanted.allowed)
    )
}

fn smallest(choices: &[Choice]) -> Line {
    let mut sizes: Vec<&str> = Vec::new();
    for chosen in choices.iter().filter_map(|choice| choice.chosen.as_ref()) {
        if !sizes.contains(&chosen.candidate.name.as_str()) {
            sizes.push(&chosen.candidate.name);
        }
    }
    if sizes.is_empty() {
        return say!("no listed size keeps it");
    }
    say!("smallest that keep it: {}", sizes.join(", "))
}

/// What the joints take of the drop, and what is left.
fn joints(found: &Found) -> Line {
    let wanted = &found.wanted;
    if wanted.n_joints == 0 {
        return say!("No joints are counted.");
    }
    let joint = wanted.joint;
    let drop = |each| loss(wanted.joints_drop(each));
    let left = wanted.allowed - wanted.joints_drop(joint.clean_typical);
    say!(
        "Of it {} for joints ({} × {} of typically {}{}); sound ones lose {} to {}. Left for the \
         conductor: {}.",
        drop(joint.clean_typical),
        Quantity::Count(wanted.n_joints as usize),
        joint.key(),
        ohms(joint.clean_typical),
        if wanted.joints_assumed { ", assumed" } else { "" },
        drop(joint.clean_low),
        drop(joint.clean_high),
        loss(left.max(Volts::ZERO))
    )
}

fn insulation(found: &Found) -> Line {
    let own = found.wanted.insulation;
    let assumed = if found.wanted.insulation_assumed { " (assumed)" } else { "" };
    say!("Insulation {}{}, which bears {}.", own.key(), assumed, temperature(own.limit))
}

fn choices(told: &mut Told, found: &Found, sources: &mut Sources) {
    let allowed = found.wanted.allowed;
    let rows = found.choices.iter().flat_map(|choice| {
        let smaller = choice.smaller.as_ref();
        let smaller = smaller.map(|own| (own, "", say!("{} over", loss(own.drop - allowed))));
        let chosen = choice.chosen.as_ref().map(|own| (own, ">", say!("smallest")));
        let larger = choice.larger.as_ref();
        let larger = larger.map(|own| (own, "", say!("{} spare", loss(allowed - own.drop))));
        let all = [smaller, chosen, larger].into_iter().flatten();
        all.map(|(own, mark, verdict)| (choice.family, own, mark, verdict))
    });
    told.rows(rows, |(family, judged, mark, verdict)| {
        let source = sources.short_mark(&judged.candidate.provenance);
        [
            left("", mark),
            right("size", judged.candidate.name.as_str()),
            left("of", say!("{} {}", family.name(), source)),
            right("drop", loss(judged.drop)),
            left("limit", verdict),
            right("settles at", settled(judged, found)),
            right("then", judged.warm_drop.map(loss)),
        ]
    });
}

fn settled(judged: &Judged, found: &Found) -> Line {
    match judged.settled {
        Some(Outcome::Settles(at)) => attention(found.too_warm(judged), temperature(at)),
        Some(Outcome::Exceeds(_)) => attention(true, "melts"),
        None => say!("unknown"),
    }
}

/// What is not met, and what the numbers leave open.
pub(super) fn warnings(found: &Found) -> Vec<Line> {
    let wanted = &found.wanted;
    let mut lines = Vec::new();
    let joints = wanted.joints_drop(wanted.joint.clean_typical);
    if wanted.allowed <= joints {
        lines.push(say!(
            "The joints alone lose {} of the {} allowed: no conductor is large enough.",
            loss(joints),
            loss(wanted.allowed)
        ));
    }
    lines.extend(found.choices.iter().filter_map(|choice| warning(found, choice)));
    lines
}

fn warning(found: &Found, choice: &Choice) -> Option<Line> {
    let wanted = &found.wanted;
    let family = choice.family.name();
    let Some(chosen) = &choice.chosen else {
        return Some(say!("No listed size of {} keeps the drop.", family));
    };
    let size = say!("{} ({})", chosen.candidate.name.as_str(), family);
    match chosen.settled {
        Some(Outcome::Exceeds(_)) => {
            Some(say!("{} does not settle: it melts if this lasts.", size))
        }
        Some(Outcome::Settles(at)) if found.too_warm(chosen) => Some(say!(
            "{} settles at {}, above the {} that {} bears.",
            size,
            temperature(at),
            temperature(wanted.insulation.limit),
            wanted.insulation.key()
        )),
        _ if chosen.warm_drop.is_some_and(|warm| wanted.allowed < warm) => Some(say!(
            "{} keeps the drop at the temperature of the air, not when it has settled; for a \
             lasting current look at the next larger.",
            size
        )),
        _ => None,
    }
}
