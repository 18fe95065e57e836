//! `--after`: a failure that has happened, and what to inspect for hidden damage.

use std::fmt::Write;

use failures::{Aftermath, Analysis, Fault, Inspect, LostWay, Where};
use model::{LoadId, Piece, StateId, Vehicle};
use serde_json::{Value, json};
use units::print;

use super::words::{during, fault, finding, hot, soon, with_share};
use crate::answer::{Answer, Asked, Exit};
use crate::names;
use crate::style::{bold, dim, warning, wrapped};
use crate::table::{Column, table};
use answers::failures::{endurance, fault as fault_json, findings};

/// Conductors and paths that are shown for a state.
const MOST_CARRIED: usize = 6;

const CAUTIONS: &str = "What was inspected and looks well may still be hurt inside: a control cable's \
    liner, a bearing's race, a hose under its braid. Anything of brakes, steering, throttle or fuel that \
    carried current is replaced, not watched. Grounded side off first and on last, after the maker's wait; \
    relieve fuel and hydraulic pressure by the maker's instructions, which come before this list.";

pub(super) fn answer(
    vehicle: &Vehicle,
    states: &[StateId],
    happened: Fault,
    asked: &Asked,
) -> Answer {
    let mut analysis = Analysis::new(vehicle, states);
    let (all, inspect) = analysis.aftermath(happened);
    let lost = LostWay::of(vehicle, happened);
    let mut text = format!("{}: after {}\n", bold(&vehicle.name), fault(vehicle, happened));
    text.push_str(&unsettled(vehicle, &all, asked));
    text.push_str(&died(vehicle, &all, asked));
    text.push_str(&lost_way(vehicle, lost.as_ref(), asked));
    for own in &all {
        state(&mut text, vehicle, own, asked);
    }
    if inspect.is_empty() {
        let words = nothing_hot(vehicle, happened, &all, lost.as_ref(), asked);
        let _ = writeln!(text, "\n{}", wrapped(&words, asked.width, 0));
    } else {
        let _ = writeln!(text, "\n{}", bold("Inspect for hidden damage, the most harmful first"));
        for (at, own) in inspect.iter().enumerate() {
            let words = inspection(vehicle, own, asked);
            let width = asked.width.saturating_sub(5);
            let _ = writeln!(text, "{:>3}  {}", at + 1, wrapped(&words, width, 5));
        }
        let joint = inspect.iter().find_map(|own| match own {
            Inspect::Joint { joint, .. } => Some(*joint),
            _ => None,
        });
        if let Some(joint) = joint {
            let sheet = names::bolt_sheet(vehicle, joint);
            let _ = writeln!(text, "{}", dim(wrapped(&sheet, asked.width, 0)));
        }
        let _ = writeln!(text, "\n{}", dim(wrapped(CAUTIONS, asked.width, 0)));
    }
    let json = json!({
        "format": 1,
        "fault": fault_json(vehicle, happened),
        "unsettled": all.iter().filter(|own| !own.settled).map(|own| &vehicle.state(own.state).id).collect::<Vec<_>>(),
        "no_way_home": lost.as_ref().map(|own| lost_json(vehicle, own)),
        "states": all.iter().map(|own| state_json(vehicle, own)).collect::<Vec<_>>(),
        "inspect": inspect.iter().map(|own| inspect_json(vehicle, own, asked)).collect::<Vec<_>>(),
    });
    let well =
        inspect.is_empty() && lost.is_none() && all.iter().all(|own| own.findings.is_empty());
    let exit = if well { Exit::Well } else { Exit::Finding };
    Answer { text, json, exit }
}

/// States of which nothing is known: said first, and no number of them anywhere.
fn unsettled(vehicle: &Vehicle, all: &[Aftermath], asked: &Asked) -> String {
    let states: Vec<&str> = all
        .iter()
        .filter(|own| !own.settled)
        .map(|own| vehicle.state(own.state).id.as_str())
        .collect();
    if states.is_empty() {
        return String::new();
    }
    let words = format!(
        "did not settle: no operating point was found after this failure in {}, so nothing is told of it here. \
         Take it that nothing works there, and look at everything.",
        states.join(", ")
    );
    format!("{} {}\n", warning("warning:"), wrapped(&words, asked.width.saturating_sub(9), 0))
}

/// What no longer works, state by state.
fn died(vehicle: &Vehicle, all: &[Aftermath], asked: &Asked) -> String {
    let names = |loads: &[LoadId]| {
        loads.iter().map(|id| vehicle.load(*id).id.as_str()).collect::<Vec<_>>().join(", ")
    };
    let mut lines: Vec<(String, Vec<&str>)> = Vec::new();
    for own in all.iter().filter(|own| own.settled) {
        let (dead, short) = (own.dead(), own.short());
        let mut parts = Vec::new();
        if !dead.is_empty() {
            parts.push(format!("dead: {}", names(&dead)));
        }
        if !short.is_empty() {
            parts.push(format!("below their minimum: {}", names(&short)));
        }
        if parts.is_empty() {
            continue;
        }
        let words = parts.join("; ");
        let state = vehicle.state(own.state).id.as_str();
        match lines.iter_mut().find(|(known, _)| *known == words) {
            Some((_, states)) => states.push(state),
            None => lines.push((words, vec![state])),
        }
    }
    if lines.is_empty() {
        return String::new();
    }
    let mut text = format!("\n{}\n", bold("What no longer works"));
    for (words, states) in lines {
        let line = format!("{}: {words}", states.join(", "));
        let _ = writeln!(text, "  {}", wrapped(&line, asked.width.saturating_sub(2), 2));
    }
    text
}

/// What the file cuts off from home, and where a real vehicle's current would go.
fn lost_way(vehicle: &Vehicle, lost: Option<&LostWay>, asked: &Asked) -> String {
    let Some(lost) = lost else { return String::new() };
    let from = lost.from.iter().map(|own| place(vehicle, *own)).collect::<Vec<_>>().join(", ");
    // A body of metal, or a lead, has lost its way to the battery; a battery that to the metal.
    let batteries = vehicle.batteries.iter().flat_map(|own| [own.positive, own.negative]);
    let posts: Vec<_> = batteries.map(Where::Point).collect();
    let side = if lost.from.iter().all(|own| posts.contains(own)) { "to" } else { "from" };
    let mut words = format!("Your file has no other way home {side} {from}.");
    if !lost.look.is_empty() {
        let _ = write!(
            words,
            " On a real vehicle the current finds one. Inspect these (common practice): {}.",
            lost.look.join("; ")
        );
    }
    format!("\n{}\n", wrapped(&words, asked.width, 0))
}

fn place(vehicle: &Vehicle, own: Where) -> &str {
    match own {
        Where::Structure(at) => vehicle.structures.get(at).map_or("", |own| own.name.as_str()),
        Where::Point(id) => &vehicle.point(id).id,
    }
}

/// What is said where nothing that the file shows was loaded beyond what it bears.
fn nothing_hot(
    vehicle: &Vehicle,
    happened: Fault,
    all: &[Aftermath],
    lost: Option<&LostWay>,
    asked: &Asked,
) -> String {
    let name = happened.name(vehicle);
    let shown = "Nothing that your file shows was loaded beyond what it bears";
    if all.iter().any(|own| !own.settled) {
        format!("{shown} in the states that settled.")
    } else if lost.is_some_and(|own| !own.look.is_empty()) {
        format!("{shown}; what it does not show, listed above, may have been. Mend {name} first.")
    } else if all.iter().any(|own| !own.dead().is_empty() || !own.short().is_empty()) {
        format!("{shown}. What no longer works comes back with {name}.")
    } else if let Some((state, own)) =
        all.iter().find_map(|own| own.findings.first().map(|first| (own.state, first)))
    {
        format!(
            "{shown}, and every load still works. But in {}: {}. Mend {name}.",
            vehicle.state(state).id,
            finding(vehicle, own, asked.units)
        )
    } else {
        format!("{shown}, and every load still works. Mend {name}.")
    }
}

fn lost_json(vehicle: &Vehicle, lost: &LostWay) -> Value {
    json!({
        "from": lost.from.iter().map(|own| match own {
            Where::Structure(at) => vehicle.structures.get(*at).map_or("", |own| own.id.as_str()),
            Where::Point(id) => vehicle.point(*id).id.as_str(),
        }).collect::<Vec<_>>(),
        "look": lost.look,
        "source": "common practice",
    })
}

fn state(text: &mut String, vehicle: &Vehicle, own: &Aftermath, asked: &Asked) {
    if own.carried.is_empty() {
        return;
    }
    let head = names::state_words(vehicle, own.state);
    let _ = writeln!(text, "\n{}", bold(head));
    let rows = own
        .carried
        .iter()
        .take(MOST_CARRIED)
        .map(|carried| {
            let warm = carried.endurance.map_or_else(
                || "–".to_owned(),
                |endurance| match endurance.melts_after {
                    Some(time) if endurance.melts() => format!("melts in {}", soon(time)),
                    _ => asked.units.temperature(endurance.at_end),
                },
            );
            vec![
                names::piece(vehicle, carried.piece),
                print::amperes(carried.before),
                with_share(carried.amps, carried.share),
                warm,
            ]
        })
        .collect();
    let columns = [
        Column::Left("carries more"),
        Column::Right("before"),
        Column::Right("after, share"),
        Column::Right("reaches"),
    ];
    text.push_str(&table(&columns, rows, asked.width));
    if own.carried.len() > MOST_CARRIED {
        let _ = writeln!(text, "{}", dim(format!("and {} more", own.carried.len() - MOST_CARRIED)));
    }
}

fn inspection(vehicle: &Vehicle, own: &Inspect, asked: &Asked) -> String {
    match own {
        Inspect::Conductor { conductor, state, reached, limit, limit_after } => {
            let name = names::piece(vehicle, Piece::Conductor(*conductor));
            let bare = vehicle.conductor(*conductor).insulation.is_none();
            let look = if bare {
                "discoloured or broken strands, burnt sleeve, joints at both ends, whatever it touched"
            } else {
                "insulation hard, cracked, melted or stuck to its neighbours; lugs and joints at both ends"
            };
            let when = limit_after
                .map_or_else(String::new, |time| format!(", past its limit after {}", soon(time)));
            format!(
                "{name}: {} {} (bears {}){when}. Look for {look}.",
                asked.units.temperature(*reached),
                during(vehicle, *state),
                asked.units.temperature(*limit)
            )
        }
        Inspect::Path { path, state, amps, damage, look } => {
            let name = names::piece(vehicle, Piece::Incidental(*path));
            let feared = damage.map_or_else(String::new, |damage| {
                format!(" (damage is to be feared from {})", print::amperes(damage))
            });
            format!(
                "{name}: {} {}{feared}. Look at {look}.",
                print::amperes(*amps),
                during(vehicle, *state)
            )
        }
        Inspect::Joint { joint, state, volts, reaches, contact } => {
            let name = names::piece(vehicle, Piece::Joint(*joint));
            format!(
                "{name}: {} {}, {}. Open it, look for blueing, flow and pits, and make it anew.",
                print::loss(*volts),
                during(vehicle, *state),
                hot(*reaches, *contact, asked.units)
            )
        }
    }
}

fn state_json(vehicle: &Vehicle, own: &Aftermath) -> Value {
    let loads =
        |loads: &[LoadId]| loads.iter().map(|id| vehicle.load(*id).id.clone()).collect::<Vec<_>>();
    json!({
        "state": vehicle.state(own.state).id,
        "settled": own.settled,
        "dead": loads(&own.dead()),
        "below_minimum": loads(&own.short()),
        "carried": own.carried.iter().map(|carried| json!({
            "name": vehicle.piece_name(carried.piece),
            "before_amps": carried.before.0, "amps": carried.amps.0, "share": carried.share.0,
            "endurance": carried.endurance.map(|own| endurance(&own)),
        })).collect::<Vec<_>>(),
        "findings": findings(vehicle, &own.findings),
    })
}

fn inspect_json(vehicle: &Vehicle, own: &Inspect, asked: &Asked) -> Value {
    let (kind, name, state) = match own {
        Inspect::Conductor { conductor, state, .. } => {
            ("conductor", &vehicle.conductor(*conductor).id, state)
        }
        Inspect::Path { path, state, .. } => ("path", &vehicle.incidental(*path).id, state),
        Inspect::Joint { joint, state, .. } => ("joint", &vehicle.joint(*joint).id, state),
    };
    json!({
        "kind": kind, "name": name, "state": vehicle.state(*state).id,
        "what": inspection(vehicle, own, asked),
    })
}
