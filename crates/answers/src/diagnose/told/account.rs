//! Why a fault is believed, in words a person can follow with the vehicle before them.

use diagnosis::{Against, Finding, SuspectKind, Telling};
use model::{JointId, PointId, Vehicle};

use crate::diagnose::Found;
use crate::told::names::listed;
use crate::told::quantity::{amperes, loss, ohms};
use crate::told::{Line, Told, joined, measuring, name};

/// Adds a paragraph for each fault of the best explanation; false where there is nothing to say.
pub(super) fn told(told: &mut Told, found: &Found<'_>) -> bool {
    let before = told.blocks.len();
    for (at, finding) in found.findings.iter().enumerate() {
        let sentences = sentences(found.vehicle, finding);
        if !sentences.is_empty() {
            told.part(format!("account.{at}"), |told| told.paragraph(joined(sentences, " ")));
            told.gap();
        }
    }
    before < told.blocks.len()
}

fn sentences(vehicle: &Vehicle, finding: &Finding) -> Vec<Line> {
    let mut sentences = Vec::new();
    match (finding.suspect.kind, &finding.telling) {
        (_, Some(telling)) => {
            sentences.push(stretch(vehicle, telling));
            sentences.extend(joints(vehicle, finding, telling));
        }
        (SuspectKind::ExtraPath { from, to }, None) => {
            sentences.push(extra_path(vehicle, finding, from, to));
            if !finding.without.is_empty() {
                let speaks = speaks(vehicle, &finding.without);
                sentences.push(say!("Without it, all else as found, {}.", speaks));
            }
        }
        _ if !finding.without.is_empty() => sentences.push(say!(
            "If {} alone were put right, {}.",
            measuring::suspect_name(vehicle, finding.suspect.kind),
            speaks(vehicle, &finding.without)
        )),
        _ => {}
    }
    sentences
}

/// What joins two points though the file does not show it, and where to look for it.
fn extra_path(vehicle: &Vehicle, finding: &Finding, from: PointId, to: PointId) -> Line {
    let about = finding.suspect.ohms;
    let about = about.map_or_else(Line::new, |own| say!(" of about {}", ohms(own)));
    let flows = finding.flows.map_or_else(Line::new, |(state, amps)| {
        let state = name(&vehicle.state(state).name);
        say!("; {} flow in it while {}", amperes(amps.abs()), state)
    });
    say!(
        "Something{} that the file does not show joins {} and {}, counted between {} and {}{}: \
         look for a bracket, a pipe, a cable's sheath.",
        about,
        name(measuring::body(vehicle, from)),
        name(measuring::body(vehicle, to)),
        name(&vehicle.point(from).id),
        name(&vehicle.point(to).id),
        flows
    )
}

/// The drop, the current that flows, and what that current should cost.
fn stretch(vehicle: &Vehicle, own: &Telling) -> Line {
    say!(
        "From {} {} are lost while {} (reading {}). At the {} that flow there now {} would be \
         right: {} too much.",
        measuring::measured(vehicle, own.measured),
        loss(own.shown),
        name(&vehicle.state(own.state).name),
        own.number.to_string(),
        amperes(own.amps),
        loss(own.expected),
        loss(own.shown - own.expected)
    )
}

/// Which joints lie in the stretch, and which readings leave which.
fn joints(vehicle: &Vehicle, finding: &Finding, telling: &Telling) -> Vec<Line> {
    let names = names(vehicle, telling.joints.iter());
    let count = names.len();
    let mut sentences = vec![match names.as_slice() {
        [] => say!("No joint lies in that stretch."),
        [only] => say!("One joint lies there, {}.", only.clone()),
        _ => say!("{} joints lie there: {}.", number(count), listed(names)),
    }];
    let (out, left): (Vec<_>, Vec<_>) =
        finding.rivals.iter().partition(|(_, against)| !against.is_empty());
    if !out.is_empty() {
        let rest = left.len() + usize::from(count > finding.rivals.len());
        sentences.push(leaves(&out, rest));
        sentences.extend(out.iter().map(|(id, against)| {
            let rival = name(&vehicle.joint(*id).id);
            say!("Were it {} instead, {}.", rival, speaks(vehicle, &against[..1]))
        }));
    }
    if !left.is_empty() {
        let names = names_of(vehicle, &left);
        let suspect = measuring::suspect_name(vehicle, finding.suspect.kind);
        sentences.push(say!("No reading tells {} from {}.", listed(names), suspect));
    }
    sentences
}

/// Which readings leave how many joints of a stretch.
fn leaves(out: &[&(JointId, Vec<Against>)], rest: usize) -> Line {
    let mut readings: Vec<u32> =
        out.iter().filter_map(|(_, against)| against.first()).map(|own| own.number).collect();
    readings.sort_unstable();
    readings.dedup();
    let numbers: Vec<Line> = readings.iter().map(|own| say!("{}", own.to_string())).collect();
    let (which, leave) =
        if numbers.len() == 1 { ("Reading ", " leaves ") } else { ("Readings ", " leave ") };
    say!("{}{}{}{}.", which, listed(numbers), leave, number_of(rest))
}

fn names<'j>(vehicle: &Vehicle, joints: impl Iterator<Item = &'j JointId>) -> Vec<Line> {
    joints.map(|id| say!("{}", name(&vehicle.joint(*id).id))).collect()
}

fn names_of(vehicle: &Vehicle, rivals: &[&(JointId, Vec<Against>)]) -> Vec<Line> {
    names(vehicle, rivals.iter().map(|(id, _)| id))
}

/// `reading 6 (clamp round block-frame) would show 61 A and not 86 A`.
fn speaks(vehicle: &Vehicle, against: &[Against]) -> Line {
    let each = against.iter().map(|own| {
        say!(
            "reading {} ({}) would show {} and not {}",
            own.number.to_string(),
            measuring::measured(vehicle, own.measured),
            measuring::value(own.measured, own.would),
            measuring::value(own.measured, own.shown)
        )
    });
    joined(each, "; ")
}

fn number(count: usize) -> String {
    match count {
        2 => "Two".to_owned(),
        3 => "Three".to_owned(),
        4 => "Four".to_owned(),
        5 => "Five".to_owned(),
        many => many.to_string(),
    }
}

fn number_of(count: usize) -> String {
    if count == 1 { "one".to_owned() } else { number(count).to_lowercase() }
}
