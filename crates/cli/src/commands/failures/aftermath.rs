//! `--after`: a failure that has happened, and what to inspect for hidden damage.

use std::fmt::Write;

use failures::{Aftermath, Analysis, Contact, Fault, Inspect};
use model::{Piece, StateId, Vehicle};
use serde_json::{Value, json};
use units::print;

use super::words::{during, fault, soon, with_share};
use crate::answer::{Answer, Asked, Exit};
use crate::names;
use crate::style::{bold, dim, wrapped};
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
    let mut text = format!("{}: after {}\n", bold(&vehicle.name), fault(vehicle, happened));
    for own in &all {
        state(&mut text, vehicle, own, asked);
    }
    if all.iter().all(|own| own.carried.is_empty()) {
        text.push_str("\nnothing else took over any current\n");
    }
    if inspect.is_empty() {
        let nothing =
            "nothing was loaded beyond what it bears; the failure itself is all there is to mend";
        let _ = writeln!(text, "\n{}", wrapped(nothing, asked.width, 0));
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
        "states": all.iter().map(|own| state_json(vehicle, own)).collect::<Vec<_>>(),
        "inspect": inspect.iter().map(|own| inspect_json(vehicle, own, asked)).collect::<Vec<_>>(),
    });
    let exit = if inspect.is_empty() { Exit::Well } else { Exit::Finding };
    Answer { text, json, exit }
}

fn state(text: &mut String, vehicle: &Vehicle, own: &Aftermath, asked: &Asked) {
    if own.carried.is_empty() {
        return;
    }
    let head = crate::commands::solve::state_words(vehicle, own.state);
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
        Inspect::Joint { joint, state, volts, contact } => {
            let name = names::piece(vehicle, Piece::Joint(*joint));
            let what = match contact {
                Contact::Softens => "soften",
                Contact::Melts => "melt",
            };
            format!(
                "{name}: {} {}, enough to {what} its metal. Open it, look for blueing, flow and pits, and make it anew.",
                print::loss(*volts),
                during(vehicle, *state)
            )
        }
    }
}

fn state_json(vehicle: &Vehicle, own: &Aftermath) -> Value {
    json!({
        "state": vehicle.state(own.state).id,
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
