//! A failure that has happened, and what to inspect for hidden damage.

use ::failures::{Aftermath, Inspect, LostWay, Where};
use model::{LoadId, Vehicle};

use super::{UNDER, fault, finding, more, numbered};
use crate::failures::After;
use crate::failures::words::{inspection, with_share};
use crate::told::quantity::{amperes, soon, temperature};
use crate::told::{
    Line, Span, Told, Tone, joined, left, name, names, or_stroke, right, strong, warning,
};

/// Conductors and paths that are shown for a state.
const MOST_CARRIED: usize = 6;

const CAUTIONS: &str = "What was inspected and looks well may still be hurt inside: a control cable's \
    liner, a bearing's race, a hose under its braid. Anything of brakes, steering, throttle or fuel that \
    carried current is replaced, not watched. Grounded side off first and on last, after the maker's wait; \
    relieve fuel and hydraulic pressure by the maker's instructions, which come before this list.";

pub(super) fn of(found: &After<'_>) -> Told {
    let vehicle = found.vehicle;
    let mut told = Told::default();
    let happened = fault(vehicle, found.fault);
    told.line(say!("{}: after {}", strong(name(&vehicle.name)), happened));
    unsettled(&mut told, found);
    died(&mut told, found);
    if let Some(lost) = &found.lost {
        lost_way(&mut told, vehicle, lost);
    }
    for own in found.states.iter().filter(|own| !own.carried.is_empty()) {
        state(&mut told, vehicle, own);
    }
    told.gap();
    if found.inspect.is_empty() {
        told.paragraph(nothing_hot(found));
    } else {
        inspect(&mut told, found);
    }
    told
}

fn inspect(told: &mut Told, found: &After<'_>) {
    told.line(strong("Inspect for hidden damage, the most harmful first"));
    for (at, own) in found.inspect.iter().enumerate() {
        told.item(numbered(at + 1), UNDER.len(), inspection(found.vehicle, own));
    }
    let joint = found.inspect.iter().find_map(|own| match own {
        Inspect::Joint { joint, .. } => Some(*joint),
        _ => None,
    });
    if let Some(joint) = joint {
        told.toned(Tone::Aside, names::bolt_sheet(found.vehicle, joint));
    }
    told.gap();
    told.toned(Tone::Aside, CAUTIONS);
}

/// States of which nothing is known: said first, and no number of them anywhere.
fn unsettled(told: &mut Told, found: &After<'_>) {
    let states = found.states.iter().filter(|own| !own.settled);
    let states = states.map(|own| say!("{}", name(&found.vehicle.state(own.state).id)));
    let states = joined(states, ", ");
    if states.is_empty() {
        return;
    }
    let words = say!(
        "did not settle: no operating point was found after this failure in {}, so nothing is \
         told of it here. Take it that nothing works there, and look at everything.",
        states
    );
    told.item(say!("{} ", warning("warning:")), 0, words);
}

/// What no longer works, state by state.
fn died(told: &mut Told, found: &After<'_>) {
    let vehicle = found.vehicle;
    let mut lines: Vec<(Line, Vec<Line>)> = Vec::new();
    for own in found.states.iter().filter(|own| own.settled) {
        let words = no_longer(vehicle, own);
        if words.is_empty() {
            continue;
        }
        let state = say!("{}", name(&vehicle.state(own.state).id));
        match lines.iter_mut().find(|(known, _)| *known == words) {
            Some((_, states)) => states.push(state),
            None => lines.push((words, vec![state])),
        }
    }
    if lines.is_empty() {
        return;
    }
    told.heading("What no longer works");
    for (words, states) in lines {
        told.item(say!("  "), 2, say!("{}: {}", joined(states, ", "), words));
    }
}

fn no_longer(vehicle: &Vehicle, own: &Aftermath) -> Line {
    let named = |what: &str, loads: Vec<LoadId>| {
        let names = loads.iter().map(|id| say!("{}", name(&vehicle.load(*id).id)));
        (!loads.is_empty()).then(|| say!("{}{}", what, joined(names, ", ")))
    };
    let parts = [named("dead: ", own.dead()), named("below their minimum: ", own.short())];
    joined(parts.into_iter().flatten(), "; ")
}

/// What the file cuts off from home, and where a real vehicle's current would go.
fn lost_way(told: &mut Told, vehicle: &Vehicle, lost: &LostWay) {
    let from = joined(lost.from.iter().map(|own| place(vehicle, *own)), ", ");
    // A body of metal, or a lead, has lost its way to the battery; a battery that to the metal.
    let batteries = vehicle.batteries.iter().flat_map(|own| [own.positive, own.negative]);
    let posts: Vec<_> = batteries.map(Where::Point).collect();
    let side = if lost.from.iter().all(|own| posts.contains(own)) { "to " } else { "from " };
    let mut words = say!("Your file has no other way home {}{}.", side, from);
    if !lost.look.is_empty() {
        words.extend(say!(
            " On a real vehicle the current finds one. Inspect these (common practice): {}.",
            lost.look.join("; ")
        ));
    }
    told.gap();
    told.paragraph(words);
}

fn place(vehicle: &Vehicle, own: Where) -> Line {
    match own {
        Where::Structure(at) => {
            vehicle.structures.get(at).map_or_else(Line::new, |own| say!("{}", name(&own.name)))
        }
        Where::Point(id) => say!("{}", name(&vehicle.point(id).id)),
    }
}

/// What is said where nothing that the file shows was loaded beyond what it bears.
fn nothing_hot(found: &After<'_>) -> Line {
    let (vehicle, all) = (found.vehicle, &found.states);
    let own = name(found.fault.name(vehicle));
    let mut words = say!("Nothing that your file shows was loaded beyond what it bears");
    let first = |own: &Aftermath| own.findings.first().map(|first| (own.state, *first));
    words.extend(if all.iter().any(|own| !own.settled) {
        say!(" in the states that settled.")
    } else if found.lost.as_ref().is_some_and(|own| !own.look.is_empty()) {
        say!("; what it does not show, listed above, may have been. Mend {} first.", own)
    } else if all.iter().any(|own| !own.dead().is_empty() || !own.short().is_empty()) {
        say!(". What no longer works comes back with {}.", own)
    } else if let Some((state, first)) = all.iter().find_map(first) {
        let state = name(&vehicle.state(state).id);
        let first = finding(vehicle, &first);
        say!(", and every load still works. But in {}: {}. Mend {}.", state, first, own)
    } else {
        say!(", and every load still works. Mend {}.", own)
    });
    words
}

fn state(told: &mut Told, vehicle: &Vehicle, own: &Aftermath) {
    told.heading(names::state(vehicle, own.state));
    told.rows(own.carried.iter().take(MOST_CARRIED), |own| {
        let warm = own.endurance.map(|endurance| match endurance.melts_after {
            Some(time) if endurance.melts() => say!("melts in {}", soon(time)).into(),
            _ => Span::from(temperature(endurance.at_end)),
        });
        [
            left("carries more", names::piece(vehicle, own.piece)),
            right("before", amperes(own.before)),
            right("after, share", with_share(own.amps, own.share)),
            right("reaches", or_stroke(warm)),
        ]
    });
    more(told, own.carried.len(), MOST_CARRIED);
}
