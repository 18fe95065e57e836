//! Why a fault is believed, in words a person can follow with the vehicle before them.

use std::fmt::Write;

use diagnosis::{Against, Finding, SuspectKind, Telling};
use model::Vehicle;
use units::print;

use crate::answer::Asked;
use crate::measuring;
use crate::names::listed;
use crate::style::wrapped;

/// A paragraph for each fault of the best explanation.
pub(super) fn text(vehicle: &Vehicle, findings: &[Finding], asked: &Asked) -> String {
    let mut text = String::new();
    for finding in findings {
        let words = sentences(vehicle, finding);
        if !words.is_empty() {
            let _ = writeln!(text, "{}\n", wrapped(&words.join(" "), asked.width, 0));
        }
    }
    text
}

fn sentences(vehicle: &Vehicle, finding: &Finding) -> Vec<String> {
    let mut words = Vec::new();
    match (finding.suspect.kind, &finding.telling) {
        (_, Some(telling)) => {
            words.push(stretch(vehicle, telling));
            words.extend(joints(vehicle, finding, telling));
        }
        (SuspectKind::ExtraPath { from, to }, None) => {
            let ohms = finding.suspect.ohms;
            let ohms =
                ohms.map_or_else(String::new, |ohms| format!(" of about {}", print::ohms(ohms)));
            let flows = finding.flows.map_or_else(String::new, |(state, amps)| {
                format!(
                    "; {} flow in it while {}",
                    print::amperes(amps.abs()),
                    vehicle.state(state).name
                )
            });
            words.push(format!(
                "Something{ohms} that the file does not show joins {} and {}, counted between {} and {}{flows}: look for a bracket, a pipe, a cable's sheath.",
                measuring::body(vehicle, from),
                measuring::body(vehicle, to),
                vehicle.point(from).id,
                vehicle.point(to).id,
            ));
            if !finding.without.is_empty() {
                words.push(format!(
                    "Without it, all else as found, {}.",
                    speaks(vehicle, &finding.without)
                ));
            }
        }
        _ if !finding.without.is_empty() => words.push(format!(
            "If {} alone were put right, {}.",
            measuring::suspect_name(vehicle, finding.suspect.kind),
            speaks(vehicle, &finding.without)
        )),
        _ => {}
    }
    words
}

/// The drop, the current that flows, and what that current should cost.
fn stretch(vehicle: &Vehicle, own: &Telling) -> String {
    format!(
        "From {} {} are lost while {} (reading {}). At the {} that flow there now {} would be right: {} too much.",
        measuring::measured(vehicle, own.measured),
        print::loss(own.shown),
        vehicle.state(own.state).name,
        own.number,
        print::amperes(own.amps),
        print::loss(own.expected),
        print::loss(own.shown - own.expected)
    )
}

/// Which joints lie in the stretch, and which readings leave which.
fn joints(vehicle: &Vehicle, finding: &Finding, telling: &Telling) -> Vec<String> {
    let mut words = Vec::new();
    let names: Vec<&str> = telling.joints.iter().map(|id| vehicle.joint(*id).id.as_str()).collect();
    words.push(match names.as_slice() {
        [] => "No joint lies in that stretch.".to_owned(),
        [only] => format!("One joint lies there, {only}."),
        _ => format!("{} joints lie there: {}.", number(names.len()), listed(&names)),
    });
    let (out, left): (Vec<_>, Vec<_>) =
        finding.rivals.iter().partition(|(_, against)| !against.is_empty());
    if !out.is_empty() {
        let mut readings: Vec<u32> =
            out.iter().flat_map(|(_, against)| against.first()).map(|own| own.number).collect();
        readings.sort_unstable();
        readings.dedup();
        let numbers: Vec<String> = readings.iter().map(u32::to_string).collect();
        let numbers: Vec<&str> = numbers.iter().map(String::as_str).collect();
        let plural = if numbers.len() == 1 { ("Reading", "leaves") } else { ("Readings", "leave") };
        let rest = left.len() + usize::from(names.len() > finding.rivals.len());
        words.push(format!("{} {} {} {}.", plural.0, listed(&numbers), plural.1, number_of(rest)));
        for (id, against) in &out {
            words.push(format!(
                "Were it {} instead, {}.",
                vehicle.joint(*id).id,
                speaks(vehicle, &against[..1])
            ));
        }
    }
    if !left.is_empty() {
        let names: Vec<&str> = left.iter().map(|(id, _)| vehicle.joint(*id).id.as_str()).collect();
        words.push(format!(
            "No reading tells {} from {}.",
            listed(&names),
            measuring::suspect_name(vehicle, finding.suspect.kind)
        ));
    }
    words
}

/// `reading 6 (clamp round block-frame) would show 61 A and not 86 A`.
fn speaks(vehicle: &Vehicle, against: &[Against]) -> String {
    let each: Vec<String> = against
        .iter()
        .map(|own| {
            format!(
                "reading {} ({}) would show {} and not {}",
                own.number,
                measuring::measured(vehicle, own.measured),
                measuring::value(own.measured, own.would),
                measuring::value(own.measured, own.shown)
            )
        })
        .collect();
    each.join("; ")
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
