//! The answer for programs.

use failures::{
    Change, Contact, Endurance, Fault, Finding, HiddenPath, PairCase, Protection, Remedy, Wear,
};
use model::{StateId, Vehicle};
use network::LoadStatus;
use serde_json::{Value, json};
use units::{Amperes, Ratio};

use super::Told;

pub(super) fn json(told: &Told<'_>) -> Value {
    let vehicle = told.vehicle;
    let survey = &told.survey;
    let name = |state: StateId| &vehicle.state(state).id;
    json!({
        "format": 1,
        "complete": survey.complete && told.pairs.as_ref().is_none_or(|pairs| pairs.complete),
        "tried": survey.tried,
        "solved": survey.solved,
        "without_point": told.unsettled.iter().map(|state| name(*state)).collect::<Vec<_>>(),
        "already": told.already.iter().map(|(state, found)| json!({
            "state": name(*state), "findings": findings(vehicle, found),
        })).collect::<Vec<_>>(),
        "failures": survey.ranked.iter().map(|own| json!({
            "fault": fault(vehicle, own.fault),
            "chance": own.chance.0, "harm": own.harm, "risk": own.risk,
            "cases": own.cases.iter().map(|at| &survey.cases[*at]).map(|case| json!({
                "state": name(case.state), "harm": case.harm,
                "findings": findings(vehicle, &case.findings),
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "hidden_fuses": told.hidden.iter().map(|own| json!({
            "conductor": vehicle.conductor(own.conductor).id,
            "fault": fault(vehicle, own.fault), "state": name(own.state),
            "endurance": endurance(&own.endurance), "failures_count": own.faults,
            "protection": told.protection(own.fault, own.state, own.conductor)
                .map(|own| protection(vehicle, own)),
        })).collect::<Vec<_>>(),
        "paths": told.paths.iter().map(|(own, paths)| json!({
            "fault": fault(vehicle, *own),
            "paths": paths.iter().map(|own| path(vehicle, own)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "remedies": told.remedies.iter().map(|(own, state, found)| json!({
            "fault": fault(vehicle, *own), "state": name(*state),
            "remedy": found.as_ref().map(|found| remedy(vehicle, found)),
        })).collect::<Vec<_>>(),
        "pairs": told.pairs.as_ref().map(|pairs| json!({
            "tried": pairs.tried, "solved": pairs.solved, "sampled": pairs.sampled,
            "missed": pairs.missed, "missed_at_most": pairs.missed_at_most.0,
            "cases": pairs.cases.iter().map(|own| pair(vehicle, own)).collect::<Vec<_>>(),
        })),
    })
}

fn pair(vehicle: &Vehicle, own: &PairCase) -> Value {
    json!({
        "faults": own.faults.map(|own| fault(vehicle, own)),
        "state": vehicle.state(own.state).id,
        "chance": own.chance.0, "harm": own.harm, "risk": own.risk,
        "findings": findings(vehicle, &own.findings),
    })
}

pub(super) fn fault(vehicle: &Vehicle, fault: Fault) -> Value {
    let (kind, times) = match fault {
        Fault::Open(_) => ("open", None),
        Fault::Worn(_, Wear::Ten) => ("worn", Some(10)),
        Fault::Worn(_, Wear::Hundred) => ("worn", Some(100)),
        Fault::Blown(_) => ("blown", None),
        Fault::BatteryLost(_) => ("battery-lost", None),
        Fault::SourceLost(_) => ("source-lost", None),
    };
    json!({ "kind": kind, "name": fault.name(vehicle), "times": times })
}

pub(super) fn findings(vehicle: &Vehicle, findings: &[Finding]) -> Vec<Value> {
    findings.iter().map(|own| finding(vehicle, own)).collect()
}

fn finding(vehicle: &Vehicle, finding: &Finding) -> Value {
    match *finding {
        Finding::Load { load, status, volts, dead } => json!({
            "kind": "load", "name": vehicle.load(load).id, "volts": volts.0, "dead": dead,
            "minimum_volts": vehicle.load(load).minimum.map(|volts| volts.0),
            "status": match status {
                LoadStatus::Off => "off",
                LoadStatus::Fed => "fed",
                LoadStatus::BelowMinimum => "below-minimum",
                LoadStatus::DroppedOut => "dropped-out",
                LoadStatus::Starved { .. } => "starved",
            },
        }),
        Finding::Conductor { conductor, before, endurance: own } => json!({
            "kind": "conductor", "name": vehicle.conductor(conductor).id,
            "before_amps": before.0, "endurance": endurance(&own),
        }),
        Finding::Path { path, amps, damage } => json!({
            "kind": "path", "name": vehicle.incidental(path).id, "amps": amps.0, "damage_amps": damage.0,
        }),
        Finding::Joint { joint, volts, watts, contact } => json!({
            "kind": "joint", "name": vehicle.joint(joint).id, "volts": volts.0, "watts": watts.0,
            "contact": match contact { Contact::Softens => "softens", Contact::Melts => "melts" },
        }),
        Finding::Fuse { fuse, amps, rating, opening } => json!({
            "kind": "fuse", "name": vehicle.inline(fuse).id, "amps": amps.0, "rating_amps": rating.0,
            "latest_seconds": opening.and_then(|own| own.latest).map(|time| time.0),
        }),
        Finding::Battery { battery, share, fair } => json!({
            "kind": "battery", "name": vehicle.battery(battery).id, "share": share.0, "fair_share": fair.0,
        }),
        Finding::Unsettled => json!({ "kind": "unsettled" }),
    }
}

pub(super) fn endurance(own: &Endurance) -> Value {
    json!({
        "amps": own.amps.0,
        "limit_after_seconds": own.limit_after.map(|time| time.0),
        "melts_after_seconds": own.melts_after.map(|time| time.0),
        "at_end_kelvin": own.at_end.0,
        "state_seconds": own.lasts.map(|time| time.0),
        "passes_limit": own.passes_limit(),
        "melts": own.melts(),
    })
}

fn protection(vehicle: &Vehicle, protection: Protection) -> Value {
    match protection {
        Protection::None => json!({ "verdict": "none", "fuse": null, "latest_seconds": null }),
        Protection::OpensFirst { fuse, latest } => json!({
            "verdict": "opens-first", "fuse": vehicle.inline(fuse).id, "latest_seconds": latest.0,
        }),
        Protection::TooLate { fuse, latest } => json!({
            "verdict": "too-late", "fuse": vehicle.inline(fuse).id,
            "latest_seconds": latest.map(|time| time.0),
        }),
    }
}

fn path(vehicle: &Vehicle, own: &HiddenPath) -> Value {
    let flow = |flow: Option<(Amperes, Ratio)>| {
        flow.map(|(amps, share)| json!({ "amps": amps.0, "share": share.0 }))
    };
    json!({
        "name": vehicle.incidental(own.path).id,
        "cranking": flow(own.cranking), "charging": flow(own.charging),
        "damage_amps": own.damage.map(|amps| amps.0),
    })
}

fn remedy(vehicle: &Vehicle, own: &Remedy) -> Value {
    let point = |id| &vehicle.point(id).id;
    let change = match own.change {
        Change::Parallel { from, to, area, length } => json!({
            "kind": "parallel-strap", "from": point(from), "to": point(to),
            "square_metres": area.0, "metres": length.0,
        }),
        Change::SecondGround { from, to, area, length } => json!({
            "kind": "second-ground", "from": point(from), "to": point(to),
            "square_metres": area.0, "metres": length.0,
        }),
        Change::Larger { conductor, area } => json!({
            "kind": "larger", "name": vehicle.conductor(conductor).id, "square_metres": area.0,
        }),
    };
    json!({
        "change": change, "harm_before": own.harm_before, "harm_after": own.harm_after,
        "no_damage": own.no_damage, "left": findings(vehicle, &own.left),
    })
}
