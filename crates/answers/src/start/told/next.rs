//! The reading that splits best what is left: where each probe goes, what to hold, what it would say.

use diagnosis::{Proposal, Side, SuspectKind, Symptom};
use model::{Measured, Probe, Reading};
use units::{UnitSystem, Volts};

use super::{Found, set_in};
use crate::start::places::where_is;
use crate::told::{Line, Paragraph, Span, Told, Tone, joined, measuring, name, strong, written};

/// Outcomes shown of the next reading.
const MOST_OUTCOMES: usize = 4;
/// Faults shown of one outcome.
const MOST_FAULTS: usize = 3;
/// A reading that is expected to tell less than this is not worth its minute.
pub(in crate::start) const WORTH_TAKING: f64 = 0.05;
/// Below this a voltage is told as none.
const NO_VOLTS: Volts = Volts(0.000_5);

/// The reading that splits best what is left.
pub(super) fn next(told: &mut Told, found: &Found) {
    let vehicle = &found.vehicle;
    let Some(own) = found.weighed.next.first().filter(|own| own.gain > WORTH_TAKING) else {
        told.paragraph(
            "No further reading would tell much: what is left is to look, and to repair.",
        );
        told.gap();
        return;
    };
    told.line(strong("Measure next"));
    if let Some((first, second)) = &found.weighed.again {
        let words = say!(
            "readings {} and {} are of the same, and cannot both be so: take it once more before anything else",
            first.number.to_string(),
            second.number.to_string()
        );
        set_in(told, 2, words);
    }
    match own.measured {
        Measured::Volts { high, low } => {
            set_in(told, 2, say!("red on {}", probe_words(found, high)));
            set_in(told, 2, say!("black on {}", probe_words(found, low)));
        }
        _ => set_in(told, 2, measuring::placed(vehicle, own)),
    }
    set_in(told, 2, hold(found, own));
    for (value, words) in outcomes(found, own) {
        set_in(told, 2, say!("near {}: {}", value, words));
    }
    let as_reading = measuring::line_to_type(vehicle, own);
    if !as_reading.is_empty() {
        let words = say!("as a reading: {}", as_reading);
        told.push(Paragraph::item("  ", 2, words).toned(Tone::Aside));
    }
    told.gap();
}

/// What has to be on or turning meanwhile.
fn hold(found: &Found, own: &Proposal) -> Line {
    let state = found.vehicle.state(own.state);
    match state.id.as_str() {
        "cranking" if found.symptom == Symptom::NoCrank => {
            say!("while a helper holds the key at start, whether it turns or not")
        }
        "cranking" => say!("while a helper cranks, two or three seconds"),
        "key-on" => say!("with the key on, the engine off, and the lamp or accessory on"),
        "idle" => say!("with the engine idling, and the lamp or accessory on"),
        "running" => say!("with the engine running, and the lamp or accessory on"),
        _ => say!("while {}", name(&state.name)),
    }
}

fn probe_words(found: &Found, probe: Probe) -> Line {
    let vehicle = &found.vehicle;
    match probe {
        Probe::Point(id) => {
            let id = &vehicle.point(id).id;
            match where_is(id, &found.setup) {
                Some(words) => say!("{}: {}", name(id), words),
                None => say!("{}", name(id)),
            }
        }
        Probe::Lug(id) => {
            let joint = vehicle.joint(id);
            let at = name(&vehicle.point(joint.point).id);
            say!("{}: the cable's eye or clamp itself, at {}", name(&joint.id), at)
        }
        Probe::Strand(id) => {
            let joint = vehicle.joint(id);
            let at = name(&vehicle.point(joint.point).id);
            let own = name(vehicle.probe_name(probe));
            say!("{}: the bare strand behind the cable's eye, at {}", own, at)
        }
    }
}

/// Values to expect and what each would point to.
pub(in crate::start) fn outcomes(found: &Found, own: &Proposal) -> Vec<(Span, Line)> {
    let show = |value: f64| match own.measured {
        Measured::Volts { .. } if value.abs() < NO_VOLTS.0 => "0 mV".into(),
        _ => measuring::value(own.measured, value),
    };
    if let Some((first, second)) = &found.weighed.again {
        let was_right = |own: &Reading| {
            let words = say!("reading {} was right", own.number.to_string());
            (written(&measuring::told(own), UnitSystem::default()).into(), words)
        };
        return vec![was_right(first), was_right(second)];
    }
    if own.outcomes.is_empty() {
        // The coil's reading: the network does not know of it.
        return vec![
            (show(own.sound), say!("it is switched on; the starter itself")),
            ("nothing".into(), say!("control: key switch, interlock, relay or trigger wire")),
        ];
    }
    let mut groups: Vec<(f64, f64, Vec<Line>)> = Vec::new();
    for (faults, value, weight) in &own.outcomes {
        let words = faults_words(found, faults);
        let near = |known: f64| (known - value).abs() < 0.15 * value.abs() + 0.03;
        match groups.iter_mut().find(|(known, ..)| near(*known)) {
            Some((_, sum, known)) => {
                *sum += weight;
                if known.len() < MOST_FAULTS && !known.contains(&words) {
                    known.push(words);
                }
            }
            None => groups.push((*value, *weight, vec![words])),
        }
    }
    groups.sort_by(|a, b| b.1.total_cmp(&a.1));
    groups.truncate(MOST_OUTCOMES);
    groups.into_iter().map(|(value, _, words)| (show(value), joined(words, "; or "))).collect()
}

/// Faults at once, each with its side.
fn faults_words(found: &Found, faults: &[SuspectKind]) -> Line {
    if faults.is_empty() {
        return say!("nothing wrong here");
    }
    let each = faults.iter().map(|kind| {
        // What draws nothing may be dead or not switched on; see the sides.
        let side = match kind {
            SuspectKind::LoadOpen(id) if found.vehicle.load(*id).control.is_some() => {
                "load or control"
            }
            _ => found.side_of(*kind).map_or("elsewhere", Side::word),
        };
        say!("{}, {}", side, measuring::short(&found.vehicle, *kind))
    });
    joined(each, " and ")
}
