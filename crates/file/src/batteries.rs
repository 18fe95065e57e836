//! Batteries: what the file says of each, and what follows from its rating or its size.

use catalogue::{BatteryResistance, Catalogue};
use model::{Battery, Code, Likely, Problem};
use physics::source::Plates;
use units::{Amperes, Coulombs, Dimension, Ohms, Ratio, UnitSystem, Volts, print};

use crate::defaults::{regulated, taken};
use crate::document::Entry;
use crate::likely::{MIDDLE_OF_RANGE, geometric_middle};
use crate::read::Reader;
use crate::states::KnownState;

/// Highest direct voltage that this program deals with (class A of ISO 6469-3, from memory).
const HIGHEST: Volts = Volts(60.0);
/// The rule behind a cranking current of which nothing is said.
const USUAL_RATING: &str = "SAE CCA";
/// The size for which the catalogue's usual resistances hold.
const USUAL_SIZE: Coulombs = Coulombs(80.0 * 3600.0);
/// Why the resistance of a battery was taken that states no rating.
const BY_SIZE: &str = "from chemistry and capacity (from memory, unconfirmed)";

/// A battery of the file while it is read.
struct Own<'e, 'd> {
    name: &'e str,
    entry: &'e Entry<'d>,
    nominal: Volts,
    /// Blocks of 12 V, for which the catalogue's rows hold.
    blocks: f64,
    chemistry: &'e str,
    capacity: Coulombs,
}

/// What a battery loses while it delivers.
struct Loss {
    resistance: Ohms,
    plates: Plates,
    cold_times: Ratio,
    likely: Option<Likely<Ohms>>,
}

/// Open-circuit voltages of a battery.
struct Rest {
    /// At its own state of charge.
    own: Volts,
    /// In each state, with the state of charge there.
    states: Vec<(Volts, Ratio)>,
    likely: Option<Likely<Volts>>,
}

impl Reader<'_> {
    pub(crate) fn batteries(&mut self) {
        for (name, entry) in self.root.clone().tables("batteries") {
            let (positive, negative) = self.terminal_pair(name.name, "");
            let own = self.battery_of(name.name, &entry);
            let (charge, said) = self.battery_charge(&own);
            let loss = self.battery_loss(&own);
            let rest = self.battery_rest(&own, charge, said);
            let battery = Battery {
                id: name.name.to_owned(),
                positive,
                negative,
                nominal: own.nominal,
                chemistry: own.chemistry.to_owned(),
                capacity: own.capacity,
                charge_resistance: charge_resistance(
                    &own,
                    &rest,
                    loss.resistance,
                    self.vehicle.nominal,
                ),
                open_circuit: rest.states.iter().map(|(volts, _)| *volts).collect(),
                rested: rest.own,
                likely_voltage: rest.likely,
                resistance: loss.resistance,
                plates: loss.plates,
                cold_times: loss.cold_times,
                likely_resistance: loss.likely,
                charge,
                note: entry.owned("note"),
            };
            self.vehicle.batteries.push(battery);
        }
    }

    fn battery_of<'e, 'd>(&mut self, name: &'e str, entry: &'e Entry<'d>) -> Own<'e, 'd>
    where
        'd: 'e,
    {
        let stated = entry.quantity("nominal", Dimension::Voltage).map(Volts);
        let nominal = stated.unwrap_or(self.vehicle.nominal);
        if nominal > HIGHEST {
            let problem = Problem::error(
                Code::VoltageTooHigh,
                entry.place_of("nominal"),
                format!("`{name}` has {}", print::volts(nominal)),
                "at most 60 V DC",
            );
            self.problems.push(problem.hint(
                "above 60 V DC, orange cables and anything of a traction battery are outside this tool and for qualified people",
            ));
        }
        let chemistry = entry.text("chemistry").unwrap_or_else(|| {
            self.fills.note(format!("{name}.chemistry"), "flooded", "the commonest kind");
            "flooded"
        });
        let capacity = entry.quantity("capacity", Dimension::Charge).map(Coulombs);
        let capacity = capacity.unwrap_or_else(|| {
            let usual = taken().battery_capacity;
            let why = "a usual size (common practice)";
            let shown = format!("{} Ah", usual.ampere_hours());
            self.fills.note(format!("{name}.capacity"), shown, why);
            usual
        });
        Own { name, entry, nominal, blocks: nominal.0 / 12.0, chemistry, capacity }
    }

    /// Its state of charge, and whether the file says so.
    fn battery_charge(&mut self, own: &Own<'_, '_>) -> (Ratio, bool) {
        if let Some(stated) = own.entry.quantity("charge", Dimension::Ratio) {
            return (Ratio(stated), true);
        }
        let why = "a battery in ordinary use (common practice)";
        self.fills.note(format!("{}.charge", own.name), "90 %", why);
        (taken().battery_charge, false)
    }

    /// What it loses: as the file states it, from its rating, or from its size.
    fn battery_loss(&mut self, own: &Own<'_, '_>) -> Loss {
        let stated = own.entry.quantity("resistance", Dimension::Resistance).map(Ohms);
        let likely = self.likely_ohms(own.name, own.entry, "likely-resistance", stated);
        if let Some(whole) = stated {
            return Loss { likely, ..Loss::whole(whole) };
        }
        let key = format!("{}.resistance", own.name);
        if let Some(range) = likely {
            let middle = geometric_middle(range.low, range.high);
            self.fills.note(key, print::ohms(middle), MIDDLE_OF_RANGE);
            return Loss { likely, ..Loss::whole(middle) };
        }
        let Some(row) = of_chemistry(own.chemistry) else { return Loss::whole(Ohms::ZERO) };
        let plates =
            Plates { polarisation: row.polarisation * own.blocks, knee: row.knee * own.blocks };
        let (resistance, why) = match own.entry.quantity("cranking", Dimension::Current) {
            Some(rated) => self.by_rating(own, Amperes(rated), row),
            None => {
                let share = USUAL_SIZE.0 / own.capacity.0;
                (row.typical * own.blocks * share, BY_SIZE.to_owned())
            }
        };
        self.fills.note(key, print::ohms(resistance), why);
        let key = format!("{}.polarisation", own.name);
        let why = "beside its resistance, so that it keeps its rating in the cold (from memory, unconfirmed)";
        self.fills.note(key, print::volts(plates.polarisation), why);
        Loss { resistance, plates, cold_times: row.cold_times, likely }
    }

    /// The warm resistance of a battery that keeps the definition of its own rating.
    fn by_rating(
        &mut self,
        own: &Own<'_, '_>,
        rated: Amperes,
        row: &BatteryResistance,
    ) -> (Ohms, String) {
        let catalogue = Catalogue::standard();
        let stated = own.entry.text("rating");
        let word = stated.unwrap_or(USUAL_RATING);
        if stated.is_none() {
            let why = "the usual rule behind a cranking current";
            self.fills.note(format!("{}.rating", own.name), USUAL_RATING, why);
        }
        let Some(rule) = catalogue.cranking_ratings.find(word) else {
            return (row.typical * own.blocks, BY_SIZE.to_owned());
        };
        let least = rule.least + taken().battery_rating_in_hand_12_v;
        let full = open_circuit(own.chemistry, Ratio(1.0));
        let tested = Battery::cold_of(row.cold_times, rule.temperature);
        let plates = Plates { polarisation: row.polarisation, knee: row.knee };
        let resistance = plates.resistance(rated, (full - least).max(Volts(0.1)), tested);
        let why = format!(
            "from the cranking current: {} falls to {} at {} ({}, with {} in hand)",
            print::volts(full),
            print::volts(rule.least),
            UnitSystem::Metric.temperature(rule.temperature),
            rule.provenance.source,
            print::volts(taken().battery_rating_in_hand_12_v),
        );
        (resistance * own.blocks, why)
    }

    /// Its voltages at rest. What the file says of the battery holds in every state that does not itself say
    /// how full its batteries are.
    fn battery_rest(&mut self, own: &Own<'_, '_>, charge: Ratio, said: bool) -> Rest {
        let stated = own.entry.quantity("voltage", Dimension::Voltage).map(Volts);
        let likely = self.likely_volts(own.name, own.entry, "likely-voltage", stated);
        // Between two voltages the middle is halfway.
        let middle = likely.map(|range| Volts(f64::midpoint(range.low.0, range.high.0)));
        let key = format!("{}.voltage", own.name);
        if let Some(middle) = middle.filter(|_| stated.is_none()) {
            self.fills.note(key.clone(), print::volts(middle), MIDDLE_OF_RANGE);
        }
        let known = Catalogue::standard().open_circuit(own.chemistry, charge);
        if let (None, Some((volts, provenance))) = (stated, known) {
            let why = format!(
                "{} at {} ({}, {})",
                own.chemistry,
                print::percent(charge),
                provenance.confidence.word(),
                provenance.source
            );
            self.fills.note(key, print::volts(volts * own.blocks), why);
        }
        let stated = stated.or(middle);
        let at = |charge: Ratio| open_circuit(own.chemistry, charge) * own.blocks;
        let silent = !said && stated.is_none();
        let in_state = |state: &KnownState| match (state.charge, state.usual_charge) {
            (Some(told), _) => (at(told), told),
            (None, Some(usual)) if silent => (at(usual), usual),
            _ => (stated.unwrap_or_else(|| at(charge)), charge),
        };
        let states: Vec<(Volts, Ratio)> = self.states.solved().map(in_state).collect();
        if silent
            && self.states.solved().any(|own| own.charge.is_none() && own.usual_charge.is_some())
        {
            let shown = print::percent(taken().battery_charge_when_charging);
            let why = "a battery that is being charged (common practice)";
            self.fills.note(format!("{}.charge in charging", own.name), shown, why);
        }
        Rest { own: stated.unwrap_or_else(|| at(charge)), states, likely }
    }
}

impl Loss {
    /// A resistance that is the whole of what the battery loses: in the cold it grows as the cranking
    /// ability falls.
    fn whole(resistance: Ohms) -> Self {
        Self {
            resistance,
            plates: Plates { polarisation: Volts::ZERO, knee: Volts::ZERO },
            cold_times: Battery::whole_in_the_cold(),
            likely: None,
        }
    }
}

/// Apparent resistance while it is being charged, in each state.
fn charge_resistance(
    own: &Own<'_, '_>,
    rest: &Rest,
    resistance: Ohms,
    vehicle: Volts,
) -> Vec<Ohms> {
    let stated = own.entry.quantity("acceptance", Dimension::Current);
    let held = regulated(vehicle).0 * (own.nominal.0 / vehicle.0);
    let of = |&(rest, charge): &(Volts, Ratio)| {
        let usual = || own.capacity.ampere_hours() * acceptance_share(own.chemistry, charge);
        let amps = stated.unwrap_or_else(usual);
        let above = (held - rest).0.max(0.2 * own.blocks);
        Ohms((above / amps).max(resistance.0))
    };
    rest.states.iter().map(of).collect()
}

/// Voltage at rest of a battery of the 12 V class.
fn open_circuit(chemistry: &str, charge: Ratio) -> Volts {
    let known = Catalogue::standard().open_circuit(chemistry, charge);
    known.map_or(taken().battery_rested_12_v, |(volts, _)| volts)
}

/// What the catalogue knows of batteries of a chemistry; of flooded ones where it does not know it.
fn of_chemistry(chemistry: &str) -> Option<&'static BatteryResistance> {
    let rows = &Catalogue::standard().battery_resistances;
    rows.find(chemistry).or_else(|| rows.find("flooded"))
}

/// Charging current that a battery accepts at the regulated voltage, as a share of its capacity an
/// hour.
fn acceptance_share(chemistry: &str, charge: Ratio) -> f64 {
    let own = of_chemistry(chemistry).and_then(|row| row.acceptance);
    own.map_or_else(|| (1.0 - charge.0).max(taken().least_acceptance.0), |share| share.0)
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::spec::CHEMISTRIES;

    #[test]
    fn every_chemistry_that_a_file_may_name_has_a_resistance_and_a_voltage_in_the_catalogue() {
        let catalogue = Catalogue::standard();
        for word in CHEMISTRIES {
            assert!(catalogue.battery_resistances.find(word).is_some(), "{word}");
            assert!(catalogue.open_circuit(word, Ratio(0.9)).is_some(), "{word}");
        }
        let at = |charge| acceptance_share("lithium iron phosphate", Ratio(charge));
        assert!(at(0.9) > acceptance_share("AGM", Ratio(0.9)));
        assert!(acceptance_share("gel", Ratio(1.0)) > 0.0);
    }
}
