//! Readings, suspects and probes in words, shared by all that begin with readings.

use diagnosis::{Proposal, SuspectKind};
use model::{Conductor, Measured, Piece, PointId, Probe, Reading, Vehicle};
use units::{Amperes, UnitSystem, Volts};

use super::quantity::{amperes, loss};
use super::{Line, Span, Told, Tone, joined, name, names, written};
use crate::earlier::{Earlier, EarlierReading};

/// Which readings are not weighed because of work that was done since, and which may be such.
pub fn earlier(told: &mut Told, earlier: &Earlier) {
    let mut works: Vec<(&EarlierReading, Vec<Line>)> = Vec::new();
    for own in &earlier.left_out {
        let number = say!("{}", own.number.to_string());
        match works.iter_mut().find(|(known, _)| known.on == own.on && known.date == own.date) {
            Some((_, numbers)) => numbers.push(number),
            None => works.push((own, vec![number])),
        }
    }
    for (own, numbers) in works {
        let date = own.date.as_ref().map_or_else(Line::new, |date| say!(" of {}", name(date)));
        let (which, were) = if numbers.len() == 1 {
            ("reading ", " was taken before the work on ")
        } else {
            ("readings ", " were taken before the work on ")
        };
        let words = say!(
            "{}{}{}{}{}: kept, and not weighed with those after it.",
            which,
            joined(numbers, ", "),
            were,
            name(&own.on),
            date
        );
        told.item(Line::new(), 2, words);
    }
    for own in &earlier.same_day {
        let words = say!(
            "reading {} was taken on the day of the work on {} and is weighed; if it is from \
             before it, say so in a column `before`.",
            own.number.to_string(),
            name(&own.on)
        );
        told.item(Line::new(), 2, words);
    }
}

/// The point towards which a clamp's arrow is to point: the end of the conductor unless told otherwise.
#[must_use]
pub fn arrow(vehicle: &Vehicle, own: &Proposal, conductor: model::ConductorId) -> String {
    let end = own.towards.unwrap_or(vehicle.conductor_ends(conductor).1);
    vehicle.point(end).id.clone()
}

/// A probe's place.
#[must_use]
pub fn probe(vehicle: &Vehicle, probe: Probe) -> Line {
    match probe {
        Probe::Point(id) => say!("{}", name(&vehicle.point(id).id)),
        Probe::Lug(id) => say!("the lug of {}", name(&vehicle.joint(id).id)),
        Probe::Strand(id) => say!("the strand of {}", name(&vehicle.joint(id).id)),
    }
}

/// Where the leads of a meter go.
#[must_use]
pub fn probes(vehicle: &Vehicle, what: Measured) -> Line {
    match what {
        Measured::Volts { high, low } => {
            say!("red on {}, black on {}", probe(vehicle, high), probe(vehicle, low))
        }
        other => measured(vehicle, other),
    }
}

/// What was or is to be measured.
#[must_use]
pub fn measured(vehicle: &Vehicle, measured: Measured) -> Line {
    match measured {
        Measured::Volts { high, low } => {
            say!("{} to {}", probe(vehicle, high), probe(vehicle, low))
        }
        Measured::Amps { conductor } => {
            say!("clamp round {}", name(&vehicle.conductor(conductor).id))
        }
        Measured::Ohms { from, to } => {
            say!("ohms from {} to {}", probe(vehicle, from), probe(vehicle, to))
        }
        Measured::JumpLead { from, to, load } => say!(
            "jump lead from {} to {}, watching {}",
            name(&vehicle.point(from).id),
            name(&vehicle.point(to).id),
            name(&vehicle.load(load).id)
        ),
        Measured::Moved { joint } => say!("pushing on {}", name(&vehicle.joint(joint).id)),
    }
}

/// A reading as a line that reads the same, its sign told.
#[must_use]
pub fn line(vehicle: &Vehicle, reading: &Reading) -> String {
    let plain = |line: &Line| written(line, UnitSystem::default());
    let state =
        reading.state.map_or(String::new(), |state| format!("{}: ", vehicle.state(state).id));
    let told = plain(&told(reading));
    // `About +1.25 V`: the sign stands right before the first number, unless it has its own.
    let first = told
        .find(|c: char| c.is_ascii_digit())
        .filter(|at| reading.signed && !told[..*at].ends_with(['−', '-']));
    let told = first.map_or_else(|| told.clone(), |at| format!("{}+{}", &told[..at], &told[at..]));
    let place = match reading.measured {
        Measured::Volts { high, low } => {
            let [red, black] = [high, low].map(|own| vehicle.probe_name(own));
            format!("{red} to {black}")
        }
        Measured::Amps { conductor } => vehicle.conductor(conductor).id.clone(),
        other => plain(&measured(vehicle, other)),
    };
    format!("{state}{place} {told}")
}

/// Where the leads or the clamp go for a reading that is proposed.
#[must_use]
pub fn placed(vehicle: &Vehicle, own: &Proposal) -> Line {
    match own.measured {
        Measured::Amps { conductor } => say!(
            "{}, its arrow towards {}",
            measured(vehicle, own.measured),
            name(arrow(vehicle, own, conductor))
        ),
        other => probes(vehicle, other),
    }
}

/// A value in the unit of what was measured.
#[must_use]
pub fn value(what: Measured, number: f64) -> Span {
    if number.is_nan() {
        return "unknown".into();
    }
    match what {
        Measured::Amps { .. } => amperes(Amperes(number)).into(),
        _ => loss(Volts(number)).into(),
    }
}

/// A reading's value as it was told.
#[must_use]
pub fn told(reading: &Reading) -> Line {
    let one = |number: f64| value(reading.measured, number);
    match reading.told {
        model::Told::Value(number) => say!("{}", one(number)),
        model::Told::Between(low, high) => say!("{} to {}", one(low), one(high)),
        model::Told::About(number) => say!("about {}", one(number)),
        model::Told::Nothing => say!("no drop"),
        model::Told::AtLeast(number) => say!("more than {}", one(number)),
        model::Told::Held(number) => say!("{} held", one(number)),
        model::Told::Gauge(number) => say!("{} by a gauge", one(number)),
        model::Told::Change(change) if change > 0 => say!("better"),
        model::Told::Change(0) => say!("the same"),
        model::Told::Change(_) => say!("worse"),
    }
}

/// A suspect by its name alone, where it has one.
#[must_use]
pub fn suspect_name(vehicle: &Vehicle, kind: SuspectKind) -> Line {
    let own = match kind {
        SuspectKind::Joint(id) => &vehicle.joint(id).id,
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => &vehicle.conductor(id).id,
        SuspectKind::Inline(id) => &vehicle.inline(id).id,
        SuspectKind::LoadDrags(id) | SuspectKind::LoadOpen(id) => &vehicle.load(id).id,
        SuspectKind::BatteryLow(id) | SuspectKind::BatteryWorn(id) => &vehicle.battery(id).id,
        SuspectKind::SourceLow(id) => &vehicle.regulated_source(id).id,
        SuspectKind::ExtraPath { .. } => return suspect(vehicle, kind),
    };
    say!("{}", name(own))
}

/// A suspect in words.
#[must_use]
pub fn suspect(vehicle: &Vehicle, kind: SuspectKind) -> Line {
    match kind {
        SuspectKind::Joint(id) => names::piece(vehicle, Piece::Joint(id)),
        SuspectKind::Conductor(id) => {
            let own = vehicle.conductor(id);
            say!("{} ({})", name(&own.id), inside(own))
        }
        SuspectKind::Open(id) => say!("{}, open or not there", name(&vehicle.conductor(id).id)),
        SuspectKind::Inline(id) => {
            let own = vehicle.inline(id);
            say!("{} ({})", name(&own.id), own.make.to_string())
        }
        SuspectKind::LoadDrags(id) => say!("{} draws too much", name(&vehicle.load(id).id)),
        SuspectKind::LoadOpen(id) => say!("{} draws next to nothing", name(&vehicle.load(id).id)),
        SuspectKind::BatteryLow(id) => say!("{} is low", battery(&vehicle.battery(id).id)),
        SuspectKind::BatteryWorn(id) => say!("{} is worn", battery(&vehicle.battery(id).id)),
        SuspectKind::SourceLow(id) => {
            let own = vehicle.regulated_source(id);
            match own.id.rsplit_once('.').filter(|_| own.follows.is_some()) {
                Some((whole, half)) => {
                    let half = name(half);
                    say!("equaliser {} gives its {} half too little or nothing", name(whole), half)
                }
                None => say!("{} holds too low a voltage or gives nothing", name(&own.id)),
            }
        }
        SuspectKind::ExtraPath { from, to } => say!(
            "a path that the file does not show, between {} and {}",
            name(body(vehicle, from)),
            name(body(vehicle, to))
        ),
    }
}

/// Where in a conductor a fault may be: a crimp that is told apart is a joint of its own.
pub(crate) fn inside(own: &Conductor) -> &'static str {
    match own.crimps.iter().flatten().count() {
        0 => "its strands or the crimp at either end",
        1 => "its strands or the other crimp",
        _ => "its strands",
    }
}

/// A joint by its name alone, any other suspect in words.
#[must_use]
pub fn short(vehicle: &Vehicle, kind: SuspectKind) -> Line {
    match kind {
        SuspectKind::Joint(id) => say!("{}", name(&vehicle.joint(id).id)),
        other => suspect(vehicle, other),
    }
}

/// A battery's name, which may say already what it is.
fn battery(id: &str) -> Line {
    if id.contains("battery") { say!("{}", name(id)) } else { say!("battery {}", name(id)) }
}

/// The body of metal, or whatever else a point belongs to.
#[must_use]
pub fn body(vehicle: &Vehicle, point: PointId) -> &str {
    let id = &vehicle.point(point).id;
    id.split('/').next().unwrap_or(id)
}

/// The reading as a person would type it, its value left open; nothing for what is no meter reading.
#[must_use]
pub fn line_to_type(vehicle: &Vehicle, own: &Proposal) -> Line {
    let state = name(&vehicle.state(own.state).id);
    match own.measured {
        Measured::Volts { high, low } => {
            let [high, low] = [high, low].map(|own| name(vehicle.probe_name(own)));
            say!("{}: {} to {} … V", state, high, low)
        }
        Measured::Amps { conductor } => say!(
            "{}: {} towards {} … A",
            state,
            name(&vehicle.conductor(conductor).id),
            name(arrow(vehicle, own, conductor))
        ),
        _ => Line::new(),
    }
}

/// What concerns taking readings: what cranks is said where one of them needs it.
pub fn caution(told: &mut Told, vehicle: &Vehicle, proposals: &[Proposal]) {
    let cranking = proposals.iter().any(|own| {
        let starter = |load: &model::Load| load.kind == model::LoadKind::Starter;
        vehicle.loads.iter().any(|load| starter(load) && load.is_on_in(own.state))
    });
    let words = if cranking {
        "Cranking: out of gear, parking brake on, fuel or ignition off as the maker says, hands \
         and leads clear of belts and fans; a few seconds at a time, since cables and starter \
         heat in seconds. Rings off; no spark near a battery."
    } else {
        "Rings off; no spark near a battery; keep leads clear of moving parts."
    };
    told.toned(Tone::Aside, say!("{}", words));
    super::cautions::told(told, &crate::cautions::Cautions::of(vehicle).of_reading());
}
