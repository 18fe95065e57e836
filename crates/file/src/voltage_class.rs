//! What is made for one voltage and fed with another: a load, a converter's input, a battery being charged.

use std::collections::BTreeMap;
use std::ops::Range;

use catalogue::Judgements;
use model::{Code, Conducts, Filled, Load, Problem, RegulatedId, RegulatedKind, StateId, Vehicle};
use units::{Volts, print};

use crate::potentials::Potentials;

/// Volts of a point pair in every state, batteries by their own and sources by what they hold.
fn in_states(vehicle: &Vehicle) -> Vec<(StateId, Potentials)> {
    let states = (0..vehicle.states.len()).map(StateId::at);
    states
        .map(|state| {
            let joins = |piece| vehicle.conducts(piece, state) != Conducts::Not;
            let battery = |id| {
                let own: &model::Battery = vehicle.battery(id);
                own.open_circuit.get(state.index()).copied().unwrap_or(own.nominal)
            };
            let source = |id: RegulatedId| {
                let own = vehicle.regulated_source(id);
                let holds = own.runs_in(state) && own.kind != RegulatedKind::Equaliser;
                holds.then_some(own.set_point)
            };
            (state, Potentials::of(vehicle, joins, battery, source))
        })
        .collect()
}

/// True for volts that are of another class than what is made for so many.
fn other_class(seen: Volts, nominal: Volts) -> bool {
    let own = Judgements::standard();
    seen > nominal * own.fed_too_high_times.0 || seen < nominal * own.fed_too_low_times.0
}

/// Tells what does not fit.
pub(crate) fn check(vehicle: &Vehicle, places: &BTreeMap<String, Range<usize>>) -> Vec<Problem> {
    let place = |name: &str| places.get(name).cloned().unwrap_or(0..0);
    let states = in_states(vehicle);
    let mut problems = Vec::new();
    for load in &vehicle.loads {
        problems.extend(of_load(vehicle, load, &states).map(|own| (place(&load.id), own)));
    }
    problems.extend(converters(vehicle, &states).map(|(name, own)| (place(name), own)));
    problems.extend(chargers(vehicle).map(|(name, own)| (place(name), own)));
    let told = problems.into_iter().map(|(place, own)| {
        Problem::warning(Code::VoltageClass, place, own.what, own.expected).hint(own.hint)
    });
    told.collect()
}

/// What is said of one that does not fit.
struct Misfit {
    what: String,
    expected: String,
    hint: String,
}

fn of_load(vehicle: &Vehicle, load: &Load, states: &[(StateId, Potentials)]) -> Option<Misfit> {
    let fed = states
        .iter()
        .filter(|(state, _)| load.is_on_in(*state))
        .filter_map(|(state, own)| Some((*state, own.across(load.positive, load.negative)?)));
    let (state, seen) = fed
        .filter(|(_, seen)| *seen > Volts::ZERO && other_class(*seen, load.nominal))
        // What works on less than its class says so by its minimum.
        .find(|(_, seen)| *seen > load.nominal || load.minimum.is_none_or(|own| *seen < own))?;
    let key = format!("{}.rated", load.id);
    let stated = !vehicle.filled.iter().any(|own: &Filled| own.key == key);
    let made = print::volts(load.law.rated_volts());
    let hint = if stated {
        "feed it from its own voltage: a tap, a converter; if it works on both, write the `rated` voltage of this feed"
    } else {
        "its `rated` voltage is not written, so it is taken as made for the vehicle's: write what stands on it"
    };
    Some(Misfit {
        what: format!(
            "`{}` is made for {made} and would see about {} in the state `{}`",
            load.id,
            print::volts(seen),
            vehicle.state(state).id
        ),
        expected: format!("a feed of {}", print::volts(load.nominal)),
        hint: hint.to_owned(),
    })
}

/// Converters whose feed is below the least that their file states.
fn converters<'v>(
    vehicle: &'v Vehicle,
    states: &'v [(StateId, Potentials)],
) -> impl Iterator<Item = (&'v str, Misfit)> {
    let all = vehicle.regulated.iter().filter(|own| own.kind == RegulatedKind::Converter);
    all.filter_map(move |own| {
        let input = own.input.as_ref()?;
        let key = format!("{}.input-minimum", own.id);
        let stated = !vehicle.filled.iter().any(|own: &Filled| own.key == key);
        let (state, seen) = states
            .iter()
            .filter(|(state, _)| own.runs_in(*state))
            .filter_map(|(state, volts)| Some((state, volts.across(input.positive, input.negative)?)))
            .find(|(_, seen)| stated && *seen > Volts::ZERO && *seen < input.minimum)?;
        Some((
            own.id.as_str(),
            Misfit {
                what: format!(
                    "`{}` works from {} on and would see about {} in the state `{}`: it gives nothing",
                    own.id,
                    print::volts(input.minimum),
                    print::volts(seen),
                    vehicle.state(*state).id
                ),
                expected: "a feed above its `input-minimum`".to_owned(),
                hint: format!("look where `{0}/in+` and `{0}/in-` are joined", own.id),
            },
        ))
    })
}

/// Sources that hold the voltage of another class over the batteries between their terminals.
fn chargers(vehicle: &Vehicle) -> impl Iterator<Item = (&str, Misfit)> {
    let states = (0..vehicle.states.len()).map(StateId::at);
    let nominal: Vec<(StateId, Potentials)> =
        states.map(|state| (state, Potentials::nominal(vehicle, state))).collect();
    let all = vehicle.regulated.iter().filter(|own| own.kind != RegulatedKind::Equaliser);
    all.filter_map(move |own| {
        let running = nominal.iter().filter(|(state, _)| own.runs_in(*state));
        let bank = running
            .filter_map(|(_, volts)| volts.across(own.positive, own.negative))
            .find(|bank| *bank > Volts::ZERO && other_class(own.set_point, *bank))?;
        let (more, bank) = (own.set_point > bank, print::volts(bank));
        Some((
            own.id.as_str(),
            Misfit {
                what: format!(
                    "`{}` holds {}, and the batteries between its terminals are made for {bank}: {}",
                    own.id,
                    print::volts(own.set_point),
                    if more { "they would be overcharged and gas" } else { "it never charges them" }
                ),
                expected: format!("a source made for {bank}, or other batteries"),
                hint: format!(
                    "look at its `voltage`, and at the posts where `{0}/+` and `{0}/-` are joined",
                    own.id
                ),
            },
        ))
    })
}
