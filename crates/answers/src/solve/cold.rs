//! Cranking from warm to cold, beside what is published of it.

use catalogue::{Catalogue, CrankingFigure};
use model::{LoadId, LoadKind, StateId, Vehicle};
use network::{LoadPoint, Network};
use units::{Kelvin, Volts};

use super::shape::status_word;
use super::told::short;
use crate::told::quantity::{amperes, temperature, volts};
use crate::told::{Column, Quantity, Told, aside, attention, name, names, strong};
use crate::unsettled;

/// Degrees Celsius of air, engine and batteries at which it is cranked.
const AIR: [f64; 7] = [27.0, 20.0, 10.0, 0.0, -7.0, -18.0, -28.0];

/// One starter, cranked in some air.
#[derive(Debug, Clone)]
pub(super) struct Cranked {
    state: StateId,
    starter: LoadId,
    air: Kelvin,
    battery: Volts,
    load: LoadPoint,
    settled: bool,
    published: Option<&'static CrankingFigure>,
}

shape! {
    /// A starter cranked in some air.
    pub struct ColdCrank from pub(super) (vehicle: &Vehicle, own: &Cranked) {
        /// The state.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// The starter.
        pub starter: String = vehicle.load(own.starter).id.clone(),
        /// Temperature of air, engine and batteries.
        pub celsius: f64 = own.air.celsius(),
        /// Volts of the battery that gives most.
        pub battery_volts: f64 = own.battery.0,
        /// Volts at the starter.
        pub starter_volts: f64 = own.load.volts.0,
        /// What it draws.
        pub amps: f64 = own.load.amps.0,
        /// How it fares, as in `loads`.
        pub status: &'static str = status_word(own.load.status),
        /// True when the starter stands still there: the engine does not turn.
        pub stalled: bool = own.load.stalled,
        /// True when the state settled there.
        pub found: bool = own.settled,
        /// Published volts of a system of this nominal voltage in such air.
        pub published: Option<PublishedVolts> = own.published.map(PublishedVolts::of),
    }

    /// What is published of volts while cranking.
    pub struct PublishedVolts from (row: &CrankingFigure) {
        /// Lowest.
        pub low: Option<f64> = row.low_voltage.map(|own| own.0),
        /// Highest.
        pub high: Option<f64> = row.high_voltage.map(|own| own.0),
        /// Where it was published.
        pub source: String = row.provenance.source.clone(),
    }
}

/// Every starter in the first of these states in which it turns, from warm to cold: the temperatures of the state
/// itself do not count here, and so its others say the same.
pub(super) fn cranked(vehicle: &Vehicle, states: &[StateId]) -> Vec<Cranked> {
    let starters = (0..vehicle.loads.len())
        .map(LoadId::at)
        .filter(|id| vehicle.load(*id).kind == LoadKind::Starter);
    let turned = starters.filter_map(|starter| {
        let state = states.iter().find(|state| vehicle.load(starter).is_on_in(**state))?;
        Some((*state, starter))
    });
    turned
        .flat_map(|(state, starter)| {
            AIR.map(|celsius| in_air(vehicle, state, starter, Kelvin::from_celsius(celsius)))
        })
        .collect()
}

fn in_air(vehicle: &Vehicle, state: StateId, starter: LoadId, air: Kelvin) -> Cranked {
    let mut other = vehicle.clone();
    let own = &mut other.states[state.index()];
    (own.air, own.engine_space, own.batteries) = (air, air, air);
    let point = Network::new(&other).operating_point(state);
    let most = point.batteries.iter().max_by(|a, b| a.amps.0.total_cmp(&b.amps.0));
    let rows = &Catalogue::standard().cranking_figures;
    Cranked {
        state,
        starter,
        air,
        battery: most.map_or(Volts::ZERO, |own| own.volts),
        load: *point.load(starter),
        settled: unsettled::is_found(&point),
        published: rows.iter().find(|row| row.holds_in(vehicle.nominal, air)),
    }
}

pub(super) fn told(told: &mut Told, vehicle: &Vehicle, cranked: &[Cranked]) {
    for group in cranked.chunk_by(|a, b| (a.state, a.starter) == (b.state, b.starter)) {
        let Some(first) = group.first() else { continue };
        let starter = name(&vehicle.load(first.starter).id);
        let at = names::state(vehicle, first.state);
        told.line(say!("{} · {}, from warm to cold", strong(starter), strong(at)));
        told.gap();
        let columns = [
            Column::Right("air"),
            Column::Right("battery"),
            Column::Right("starter"),
            Column::Right("current"),
            Column::Left("published"),
            Column::Left(""),
        ];
        told.table(columns, group.iter().map(|own| row(vehicle, own)).collect());
        told.gap();
    }
    let source = cranked.iter().find_map(|own| own.published).map(|row| &row.provenance.source);
    if let Some(source) = source {
        told.paragraph(say!(
            "{}",
            aside(say!(
                "published: volts of a system while it is cranked in such air, from heavy machines \
                 ({}); a car's battery holds more. Cold takes from the battery and thickens the oil: \
                 air, engine and batteries have the temperature of the row.",
                source.as_str()
            ))
        ));
        told.gap();
    }
}

fn row(vehicle: &Vehicle, own: &Cranked) -> Vec<crate::told::Line> {
    let published = match own.published.and_then(|row| row.low_voltage.zip(row.high_voltage)) {
        Some((low, high)) => {
            say!("{} to {}", Quantity::Volts(low), Quantity::Volts(high))
        }
        None => say!(""),
    };
    vec![
        say!("{}", temperature(own.air)),
        say!("{}", volts(own.battery)),
        say!("{}", volts(own.load.volts)),
        say!("{}", amperes(own.load.amps)),
        published,
        match short(vehicle.load(own.starter), &own.load) {
            _ if !own.settled => say!("no operating point"),
            Some(words) => attention(true, words),
            None => say!(""),
        },
    ]
}
