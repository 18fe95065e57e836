//! Plus and minus changed: batteries and sources the wrong way round, an `earth` that the metal denies,
//! equalisers at the wrong posts.

use std::collections::BTreeMap;
use std::ops::Range;

use model::{
    BatteryId, Code, Conducts, Earth, LoadId, PointOwner, Problem, Regulated, RegulatedKind,
    StateId, Vehicle,
};
use units::{Volts, print};

use crate::potentials::Potentials;

/// Share of what it should be by which the middle of a bank may be off: batteries of one kind are alike.
const MIDDLE: f64 = 0.2;

/// Batteries that are reached from the vehicle's metal by the post that should lie away from it: in some state
/// so, and in none as they should be.
pub(crate) fn reversed(vehicle: &Vehicle) -> Vec<BatteryId> {
    let mut right = vec![false; vehicle.batteries.len()];
    let mut wrong = right.clone();
    for state in (0..vehicle.states.len()).map(StateId::at) {
        for (id, by_live) in reached(vehicle, state) {
            if by_live { wrong[id.index()] = true } else { right[id.index()] = true }
        }
    }
    let all = (0..vehicle.batteries.len()).map(BatteryId::at);
    all.filter(|id| wrong[id.index()] && !right[id.index()]).collect()
}

/// Each battery that the metal reaches in a state, the fewest batteries first, and whether by its live post.
fn reached(vehicle: &Vehicle, state: StateId) -> Vec<(BatteryId, bool)> {
    let roots = vehicle.parts(|piece| vehicle.conducts(piece, state) == Conducts::BothWays).roots();
    let Some(ground) = ground(vehicle, &roots) else { return Vec::new() };
    let mut near = vec![ground];
    let mut found: Vec<(BatteryId, bool)> = Vec::new();
    loop {
        let mut next = Vec::new();
        for id in (0..vehicle.batteries.len()).map(BatteryId::at) {
            let (live, earthed) = vehicle.battery_terminals(id);
            let (live, earthed) = (roots[live.index()], roots[earthed.index()]);
            let (by_live, right) = (near.contains(&live), near.contains(&earthed));
            if by_live == right || found.iter().any(|(own, _)| *own == id) {
                continue;
            }
            next.push(if by_live { earthed } else { live });
            found.push((id, by_live));
        }
        if next.is_empty() {
            return found;
        }
        near.extend(next);
    }
}

/// The metal of the vehicle: where most points of structures hang together, or without any where most loads and
/// batteries have the terminal that goes home.
fn ground(vehicle: &Vehicle, roots: &[usize]) -> Option<usize> {
    let most = |points: &mut dyn Iterator<Item = usize>| {
        let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
        for at in points {
            *counts.entry(roots[at]).or_default() += 1;
        }
        let most =
            counts.into_iter().max_by_key(|(root, count)| (*count, std::cmp::Reverse(*root)));
        most.map(|(root, _)| root)
    };
    let points = vehicle.points.iter().enumerate();
    let structures = points.filter(|(_, own)| matches!(own.owner, PointOwner::Structure(_)));
    let batteries =
        (0..vehicle.batteries.len()).map(|at| vehicle.battery_terminals(BatteryId::at(at)).1);
    let loads = (0..vehicle.loads.len()).map(|at| vehicle.load_terminals(LoadId::at(at)).1);
    let homes = batteries.chain(loads).map(|own| own.index());
    most(&mut structures.map(|(at, _)| at)).or_else(|| most(&mut { homes }))
}

/// Tells what is the wrong way round.
pub(crate) fn check(vehicle: &Vehicle, places: &BTreeMap<String, Range<usize>>) -> Vec<Problem> {
    let place = |name: &str| places.get(name).cloned().unwrap_or(0..0);
    let reversed = reversed(vehicle);
    let [live, earthed] = match vehicle.earth {
        Earth::Negative => ["plus", "minus"],
        Earth::Positive => ["minus", "plus"],
    };
    if !reversed.is_empty() && reversed.len() == vehicle.batteries.len() {
        return vec![wrong_earth(vehicle, place(&vehicle.battery(reversed[0]).id))];
    }
    let mut problems = Vec::new();
    for id in &reversed {
        let own = vehicle.battery(*id);
        let problem = Problem::warning(
            Code::BatteryWrongWayRound,
            place(&own.id),
            format!(
                "`{0}` is the wrong way round: its {live} is joined to where its {earthed} belongs, on the side of the vehicle's metal",
                own.id
            ),
            format!("the {earthed} of a battery towards the metal, its {live} away from it"),
        );
        problems.push(problem.hint(reversed_hint(vehicle, *id)));
    }
    if reversed.is_empty() {
        problems.extend(sources(vehicle, &place));
        problems.extend(equalisers(vehicle, &place));
    }
    problems
}

/// What a reversed battery does to the alternators beside it.
fn reversed_hint(vehicle: &Vehicle, id: BatteryId) -> String {
    let own = vehicle.battery(id);
    let mut parts =
        vehicle.parts(|piece| vehicle.conducts(piece, StateId::at(0)) == Conducts::BothWays);
    let fed = vehicle.regulated.iter().find(|source| {
        source.kind != RegulatedKind::Equaliser
            && parts.joined(source.positive.index(), own.negative.index())
    });
    let change = format!("change `{0}/+` and `{0}/-` in the conductors that end there", own.id);
    match fed {
        Some(source) => format!(
            "{change}; as it stands `{}/+` delivers to its minus, and hundreds of amperes would flow",
            source.id
        ),
        None => change,
    }
}

/// The batteries stand on the metal by the post that `earth` says is live.
fn wrong_earth(vehicle: &Vehicle, place: Range<usize>) -> Problem {
    let (said, is, post) = match vehicle.earth {
        Earth::Negative => ("negative", "positive", "plus"),
        Earth::Positive => ("positive", "negative", "minus"),
    };
    let whose = match vehicle.batteries.as_slice() {
        [own] => format!("the {post} of `{}`", own.id),
        _ => format!("the {post} of every battery"),
    };
    Problem::warning(
        Code::EarthAgainstMetal,
        place,
        format!("the vehicle's `earth` is {said}, but {whose} stands on its metal"),
        format!("`earth = \"{is}\"` in `[vehicle]`, or the other post on the metal"),
    )
    .hint("which of the two is right is seen at the vehicle: the post whose cable goes to body, frame or engine")
}

/// Volts by batteries alone in every state.
fn nominal(vehicle: &Vehicle) -> Vec<Potentials> {
    let states = (0..vehicle.states.len()).map(StateId::at);
    states.map(|state| Potentials::nominal(vehicle, state)).collect()
}

/// Alternators, chargers and converters whose plus meets the minus of the batteries between their terminals.
fn sources(vehicle: &Vehicle, place: &impl Fn(&str) -> Range<usize>) -> Vec<Problem> {
    let states = nominal(vehicle);
    let turned = |own: &&Regulated| {
        let known = states.iter().filter_map(|volts| volts.across(own.positive, own.negative));
        own.kind != RegulatedKind::Equaliser
            && known.reduce(Volts::max).is_some_and(|most| most < Volts::ZERO)
    };
    let problems = vehicle.regulated.iter().filter(turned).map(|own| {
        Problem::warning(
            Code::SourceWrongWayRound,
            place(&own.id),
            format!(
                "`{0}` is the wrong way round: `{0}/+` is joined to the minus of the batteries, `{0}/-` to their plus",
                own.id
            ),
            "plus to plus and minus to minus",
        )
        .hint(format!("change `{0}/+` and `{0}/-`, or look whether `earth` is right", own.id))
    });
    problems.collect()
}

/// Equalisers whose middle is in no state at half of what lies between their ends.
fn equalisers(vehicle: &Vehicle, place: &impl Fn(&str) -> Range<usize>) -> Vec<Problem> {
    let states = nominal(vehicle);
    let halves =
        vehicle.regulated.iter().filter_map(|own| Some((own, own.id.strip_suffix(".lower")?)));
    let miswired = halves.filter_map(|(own, name)| {
        let said: Option<Vec<String>> =
            states.iter().map(|volts| miswired(own, name, volts)).collect();
        Some((name, said?.into_iter().next()?))
    });
    let problems = miswired.map(|(name, what)| {
        Problem::warning(
            Code::EqualiserMiswired,
            place(name),
            what,
            format!(
                "`{name}/+` at the bank's highest post, `{name}/mid` between its halves, `{name}/-` at its lowest"
            ),
        )
        .hint("the answers take it as it is wired: it then moves current between the wrong batteries, or none")
    });
    problems.collect()
}

/// What is wrong with an equaliser's posts; nothing where they are right.
fn miswired(own: &Regulated, name: &str, volts: &Potentials) -> Option<String> {
    let bank = own.follows?;
    let whole = volts.across(bank.top, bank.bottom);
    let lower = volts.across(own.positive, bank.bottom);
    Some(match (whole, lower) {
        (Some(whole), _) if whole < Volts::ZERO => format!(
            "the ends of `{name}` are changed: `{name}/+` is at the lowest post of the bank, `{name}/-` at its highest"
        ),
        (Some(whole), _) if whole == Volts::ZERO => {
            format!("`{name}/+` and `{name}/-` are at the same post")
        }
        (Some(whole), Some(lower)) if (lower - whole * 0.5).abs() <= whole * MIDDLE => return None,
        (Some(whole), Some(lower)) => format!(
            "`{name}/mid` is not at the middle of the batteries: {} above `{name}/-`, and `{name}/+` is {} above it",
            print::volts(lower),
            print::volts(whole)
        ),
        (Some(_), None) => format!("no battery joins `{name}/mid` to `{name}/+` and `{name}/-`"),
        (None, Some(_)) => format!("no battery joins `{name}/+` to `{name}/mid` and `{name}/-`"),
        (None, None) => format!("no battery joins `{name}/-` to `{name}/+`"),
    })
}
