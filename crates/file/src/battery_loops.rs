//! Batteries that drive a current round each other: of unlike voltage side by side, or in a ring.

use std::collections::BTreeMap;
use std::ops::Range;

use model::{Battery, BatteryId, Code, Conducts, Problem, StateId, Vehicle};
use units::{Volts, print};

/// Share of a battery's nominal voltage by which two ways through metal and batteries may differ: batteries
/// in parallel that are charged differently are no mistake.
const ALIKE: f64 = 0.25;

/// Tells each battery that closes such a ring, in the first state in which it does.
pub(crate) fn check(vehicle: &Vehicle, places: &BTreeMap<String, Range<usize>>) -> Vec<Problem> {
    let mut told: Vec<usize> = Vec::new();
    let mut problems = Vec::new();
    // One the wrong way round is told as that; what it drives follows from it.
    let reversed = crate::polarity::reversed(vehicle);
    for state in (0..vehicle.states.len()).map(StateId::at) {
        for (at, volts) in rings(vehicle, state, &reversed) {
            if told.contains(&at) {
                continue;
            }
            told.push(at);
            let own = &vehicle.batteries[at];
            let place = places.get(&own.id).cloned().unwrap_or(0..0);
            let state = &vehicle.state(state).id;
            let what = format!(
                "in the state `{state}` {} drives a current round `{}` and the other batteries, with nothing \
                 between but metal",
                print::volts(volts.abs()),
                own.id
            );
            let problem = Problem::warning(
                Code::BatteriesOpposed,
                place,
                what,
                "batteries in parallel joined plus to plus and minus to minus, in series plus to minus once",
            );
            problems.push(problem.hint(format!(
                "`{}` is taken as a battery of {}: look at its `nominal`, and at which of its posts is joined to which",
                own.id,
                print::volts(own.nominal)
            )));
        }
    }
    problems
}

/// Batteries that close a ring of metal and batteries in a state, with the volts that are left over in it.
fn rings(vehicle: &Vehicle, state: StateId, reversed: &[BatteryId]) -> Vec<(usize, Volts)> {
    let mut parts = vehicle.parts(|piece| vehicle.conducts(piece, state) == Conducts::BothWays);
    let edges: Vec<(usize, usize, &Battery)> = vehicle
        .batteries
        .iter()
        .enumerate()
        .map(|(at, own)| {
            let (low, high) = (parts.root(own.negative.index()), parts.root(own.positive.index()));
            let turned = reversed.contains(&BatteryId::at(at));
            if turned { (high, low, own) } else { (low, high, own) }
        })
        .collect();
    // Volts of each piece of metal against the one from which it was reached.
    let mut known: BTreeMap<usize, Volts> = BTreeMap::new();
    let mut used = vec![false; edges.len()];
    let mut found = Vec::new();
    for first in 0..edges.len() {
        known.entry(edges[first].0).or_insert(Volts::ZERO);
        // One that touches what is known, until none does.
        while let Some(at) = (0..edges.len()).find(|at| {
            let (low, high, _) = edges[*at];
            !used[*at] && (known.contains_key(&low) || known.contains_key(&high))
        }) {
            used[at] = true;
            let (low, high, own) = edges[at];
            // Both posts on one piece of metal are a short circuit, told as such.
            if low == high {
                continue;
            }
            match (known.get(&low).copied(), known.get(&high).copied()) {
                (Some(low), Some(high)) => {
                    let left = high - low - own.nominal;
                    if left.abs() > own.nominal * ALIKE {
                        found.push((at, left));
                    }
                }
                (Some(volts), None) => {
                    known.insert(high, volts + own.nominal);
                }
                (None, Some(volts)) => {
                    known.insert(low, volts - own.nominal);
                }
                (None, None) => {}
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use model::Code;

    /// How many are told to be opposed, and how many to be the wrong way round.
    fn told(batteries: &[(&str, &str, &str)]) -> (usize, usize) {
        let mut text = String::from(
            "format = 1\n[vehicle]\nname = \"two\"\nnominal = \"12 V\"\nstates = [\"key-on\"]\n[points.bus]\n[points.home]\n\
             [loads.lamp]\nkind = \"lamp\"\ndraws = \"21 W\"\non = [\"key-on\"]\n\
             feed = { from = \"bus\", size = \"1.5 mm²\", length = \"1 m\" }\n\
             return = { to = \"home\", size = \"1.5 mm²\", length = \"1 m\" }\n",
        );
        for (name, plus, minus) in batteries {
            text += &format!(
                "[batteries.{name}]\n[conductors.{name}-plus]\nfrom = \"{name}/+\"\nto = \"{plus}\"\nsize = \"25 mm²\"\n\
                 length = \"1 m\"\n[conductors.{name}-minus]\nfrom = \"{name}/-\"\nto = \"{minus}\"\nsize = \"25 mm²\"\n\
                 length = \"1 m\"\n"
            );
        }
        let read = crate::read(text.as_bytes());
        assert_eq!(read.errors(), 0, "{:?}", read.problems);
        let of = |code| read.problems.iter().filter(|own| own.code == code).count();
        (of(Code::BatteriesOpposed), of(Code::BatteryWrongWayRound))
    }

    #[test]
    fn two_batteries_in_parallel_drive_nothing_round_each_other() {
        assert_eq!(told(&[("one", "bus", "home"), ("two", "bus", "home")]), (0, 0));
    }

    #[test]
    fn a_reversed_second_battery_is_told_once() {
        assert_eq!(told(&[("one", "bus", "home"), ("two", "home", "bus")]), (0, 1));
    }

    #[test]
    fn a_ring_of_two_batteries_has_one_reversed_and_a_row_of_two_has_none() {
        assert_eq!(told(&[("one", "bus", "two/+"), ("two", "one/-", "home")]), (0, 0));
        assert_eq!(told(&[("one", "bus", "home"), ("two", "home", "one/+")]), (0, 1));
    }

    #[test]
    fn two_in_series_beside_one_are_opposed_and_none_is_reversed() {
        let bank = [("one", "bus", "home"), ("two", "bus", "three/+"), ("three", "two/-", "home")];
        assert_eq!(told(&bank), (1, 0));
    }
}
