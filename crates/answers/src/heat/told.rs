//! What is said of warmth: conductors and joints, the nearest to their limits first.

use ::failures::warmth::ADIABATIC;
use ::failures::{ConductorWarmth, Contact, JointWarmth};
use model::{Conductor, Laid, Piece, Surroundings, Vehicle};
use units::{Amperes, Kelvin, Ratio, UnitSystem};

use super::{Asked, Found};
use crate::told::quantity::{amperes, duration, loss, percent, soon, temperature, watts};
use crate::told::{
    Column, Line, Quantity, Said, Span, Told, Tone, aside, attention, joined, left, name, names,
    right, strong, warning,
};

/// Conductors and joints shown when not everything is asked for.
const WARMEST: usize = 10;

const CAUTIONS: &str = "Still air, a constant current from cold, insulation and metal equally warm; within \
    about a tenth of published current ratings. What a joint gets is an estimate, good to half, from \
    the heat that it makes beyond a sound one and what its cables and the metal carry off. Cables that are too hot \
    to hold are burning hot: switch off and let them cool before touching.";

pub(super) fn of(found: &Found<'_>, &Asked { all, .. }: &Asked) -> Told {
    let Found { vehicle, warmth, .. } = found;
    let mut told = Told::default();
    let state = name(&vehicle.state(warmth.state).name);
    let during = strong(say!("{}, for {}", state, duration(warmth.time)));
    told.line(say!("{} · {}", strong(name(&vehicle.name)), during));
    if !warmth.found {
        told.line(say!(
            "{} no operating point was found; what follows is the last attempt",
            warning("warning:")
        ));
    }
    told.gap();
    if warmth.conductors.is_empty() {
        told.line("no conductor whose size and length are known carries any current");
    } else {
        conductors(&mut told, found, all);
    }
    shorts(&mut told, found);
    told.gap();
    joints(&mut told, found, all);
    told.gap();
    told.toned(Tone::Aside, CAUTIONS);
    told
}

fn conductors(told: &mut Told, found: &Found<'_>, all: bool) {
    let carrying = &found.warmth.conductors;
    let most = if all { carrying.len() } else { WARMEST };
    let shown = &carrying[..most.min(carrying.len())];
    let settles = if found.duty.is_some() {
        Column::Right("round after round")
    } else {
        Column::Spare("settles")
    };
    told.rows(shown, |own| {
        let piece = names::piece(found.vehicle, Piece::Conductor(own.conductor));
        let limit_in = own.endurance.limit_after;
        [
            left("conductor", attention(own.at_end > own.limit, piece)),
            right("carries", amperes(own.amps)),
            right("bears", amperes(own.bears)),
            right("reaches", temperature(own.at_end)),
            (settles, settled(own)),
            right("limit", temperature(own.limit)),
            right("limit in", limit_in.map_or_else(|| say!("never"), |time| soon(time).line())),
        ]
    });
    if carrying.len() > shown.len() {
        let more = carrying.len() - shown.len();
        told.toned(Tone::Aside, say!("{} more carry current; `--all` shows them", more));
    }
    told.toned(Tone::Aside, air(found.vehicle, shown));
    let leads: Vec<Line> = shown
        .iter()
        .filter(|own| own.duty < Ratio(1.0))
        .map(|own| {
            let lead = name(&found.vehicle.conductor(own.conductor).id);
            say!("{} {}", lead, percent(own.duty))
        })
        .collect();
    if found.duty.is_none() && !leads.is_empty() {
        let words = say!("settles with the duty of its load: {}", joined(leads, ", "));
        told.toned(Tone::Aside, words);
    }
}

fn settled(own: &ConductorWarmth) -> Line {
    match (own.cycle, own.settles) {
        (Some(round), _) => {
            let line = say!("{} to {}", temperature(round.coolest), temperature(round.warmest));
            Span::Unbroken { line }.line()
        }
        (None, Some(settles)) => temperature(settles).line(),
        (None, None) => say!("melts"),
    }
}

/// What surrounds the conductors shown: air, metal, bundles.
fn air(vehicle: &Vehicle, shown: &[ConductorWarmth]) -> Line {
    let conductors = || shown.iter().map(|own| vehicle.conductor(own.conductor));
    let named = |wanted: fn(&Conductor) -> bool| {
        let own = conductors().filter(|own| wanted(own)).map(|own| say!("{}", name(&own.id)));
        joined(own, ", ")
    };
    let mut parts = vec![of_air(vehicle, shown, named(beside_engine))];
    let metal = named(|own| own.laid == Laid::OnMetal);
    if !metal.is_empty() {
        parts.push(say!("clipped along metal: {}", metal));
    }
    let bundled = conductors()
        .filter(|own| own.bundle > 1)
        .map(|own| say!("{} (of {})", name(&own.id), own.bundle as usize));
    let bundled = joined(bundled, ", ");
    if !bundled.is_empty() {
        parts.push(say!("in a bundle: {}", bundled));
    }
    joined(parts, "; ")
}

fn beside_engine(own: &Conductor) -> bool {
    own.surroundings == Surroundings::EngineSpace
}

/// How warm the air is about them, in one place or in two.
fn of_air(vehicle: &Vehicle, shown: &[ConductorWarmth], by_engine: Line) -> Line {
    let degrees = |wanted: bool| {
        let mut all = shown.iter();
        let own = all.find(|own| beside_engine(vehicle.conductor(own.conductor)) == wanted);
        own.map(|own| own.air)
    };
    // What reads alike is not told as two.
    let written = |own: Kelvin| temperature(own).written(UnitSystem::default());
    match (degrees(true), degrees(false)) {
        (Some(engine), Some(other)) if written(engine) != written(other) => say!(
            "air of {} in the engine space about {}; of {} about the rest",
            temperature(engine),
            by_engine,
            temperature(other)
        ),
        (Some(engine), None) => {
            say!("air of {} in the engine space about all of them", temperature(engine))
        }
        (_, Some(other)) => say!("air of {} about all of them", temperature(other)),
        (None, None) => Line::new(),
    }
}

/// For short times: I²t against k²S².
fn shorts(told: &mut Told, found: &Found<'_>) {
    let warmth = &found.warmth;
    if warmth.time > ADIABATIC {
        return;
    }
    let mut worst: Vec<_> = warmth
        .conductors
        .iter()
        .filter_map(|own| own.short.map(|short| (own, short)))
        .map(|(own, short)| (own, short, Ratio(short.integral.0 / short.bears.0)))
        .collect();
    worst.sort_by(|a, b| units::larger_first(a.2.0, b.2.0));
    let Some((own, short, share)) = worst.first() else { return };
    told.paragraph(say!(
        "I²t against k²S², nothing lost (IEC 60949): {} uses most, {} of {} up to {}, \
         {}. A current of {} for {} would use it up.",
        name(&found.vehicle.conductor(own.conductor).id),
        integral(short.integral.0),
        integral(short.bears.0),
        temperature(short.last),
        percent(*share),
        amperes(Amperes((short.bears.0 / warmth.time.0).sqrt())),
        duration(warmth.time)
    ));
}

fn integral(value: f64) -> Quantity {
    match value {
        value if value >= 1e6 => Quantity::Plain(value / 1e6, 3, " (kA)²s"),
        value => Quantity::Plain(value, 3, " A²s"),
    }
}

fn joints(told: &mut Told, found: &Found<'_>, all: bool) {
    let vehicle = found.vehicle;
    let telling = |own: &&JointWarmth| all || own.telling();
    let shown: Vec<&JointWarmth> = found.warmth.joints.iter().filter(telling).collect();
    let Some(first) = shown.first() else {
        told.line("no joint makes as much as half a watt of heat");
        return;
    };
    let most = if all { shown.len() } else { WARMEST };
    told.rows(shown.iter().take(most), |own| {
        let becomes = match own.contact {
            None => Line::new(),
            Some(Contact::Softens) => say!("too hot from {} on", temperature(own.softens)),
            Some(Contact::Melts) => say!("melts"),
        };
        let piece = names::piece(vehicle, Piece::Joint(own.joint));
        [
            left("joint", attention(own.contact.is_some(), piece)),
            right("loses", loss(own.volts)),
            right("heat", watts(own.watts)),
            right("gets", temperature(own.reaches)),
            left("", becomes),
        ]
    });
    if shown.len() > most {
        told.line(aside(say!("and {} more", shown.len() - most)));
    }
    told.toned(Tone::Aside, names::bolt_sheet(vehicle, first.joint));
}
