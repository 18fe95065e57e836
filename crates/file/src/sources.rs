//! Batteries, alternators, chargers and converters.

use catalogue::{BatteryResistance, Catalogue};
use model::{
    AlternatorMode, Battery, Code, Converter, Earth, JointOf, PointId, PointOwner, Problem,
    Regulated, RegulatedId, RegulatedKind,
};
use units::{Amperes, Coulombs, Dimension, Ohms, Ratio, Volts, print};

use crate::defaults::taken;
use crate::document::{Entry, Named};
use crate::likely::{MIDDLE_OF_RANGE, geometric_middle};
use crate::read::Reader;

/// Highest direct voltage that this program deals with (class A of ISO 6469-3, from memory).
const HIGHEST: Volts = Volts(60.0);

impl<'d> Reader<'d> {
    /// Adds the terminals of every source.
    pub(crate) fn source_points(&mut self) {
        for (name, entry) in self.root.clone().tables("batteries") {
            self.names.take(&name, "battery", &mut self.problems);
            self.battery_names.insert(name.name.to_owned());
            self.terminals(&name, &entry);
        }
        for key in ["alternators", "chargers", "converters"] {
            for (name, entry) in self.root.clone().tables(key) {
                self.names.take(&name, "source", &mut self.problems);
                self.terminals(&name, &entry);
                if key == "converters" {
                    self.names.add_point(
                        format!("{}/in+", name.name),
                        PointOwner::Positive,
                        Some(&entry),
                    );
                    self.names.add_point(
                        format!("{}/in-", name.name),
                        PointOwner::Negative,
                        Some(&entry),
                    );
                }
            }
        }
        self.equaliser_points();
    }

    /// Adds the two terminals of a device.
    pub(crate) fn terminals(&mut self, name: &Named<&str>, entry: &Entry<'d>) {
        self.names.add_point(format!("{}/+", name.name), PointOwner::Positive, Some(entry));
        self.names.add_point(format!("{}/-", name.name), PointOwner::Negative, Some(entry));
    }

    /// The two terminals of a device whose points were added.
    pub(crate) fn terminal_pair(&self, name: &str, prefix: &str) -> (PointId, PointId) {
        let find =
            |sign: &str| self.names.find(&format!("{name}/{prefix}{sign}")).unwrap_or(PointId(0));
        (find("+"), find("-"))
    }

    /// Live and earthed terminal.
    pub(crate) fn live_and_earthed(&self, (plus, minus): (PointId, PointId)) -> (PointId, PointId) {
        match self.vehicle.earth {
            Earth::Negative => (plus, minus),
            Earth::Positive => (minus, plus),
        }
    }

    pub(crate) fn batteries(&mut self) {
        for (name, entry) in self.root.clone().tables("batteries") {
            let (positive, negative) = self.terminal_pair(name.name, "");
            let nominal = Volts(
                entry.quantity("nominal", Dimension::Voltage).unwrap_or(self.vehicle.nominal.0),
            );
            if nominal > HIGHEST {
                let problem = Problem::error(
                    Code::VoltageTooHigh,
                    entry.place_of("nominal"),
                    format!("`{}` has {}", name.name, print::volts(nominal)),
                    "at most 60 V DC",
                );
                self.problems.push(problem.hint(
                    "above 60 V DC, orange cables and anything of a traction battery are outside this tool and for qualified people",
                ));
            }
            let blocks = nominal.0 / 12.0;
            let chemistry = entry.text("chemistry").unwrap_or_else(|| {
                self.fills.note(
                    format!("{}.chemistry", name.name),
                    "flooded",
                    "the commonest kind",
                );
                "flooded"
            });
            let stated_capacity = entry.quantity("capacity", Dimension::Charge).map(Coulombs);
            let capacity = stated_capacity.unwrap_or_else(|| {
                self.fills.note(
                    format!("{}.capacity", name.name),
                    format!("{} Ah", taken().battery_capacity.ampere_hours()),
                    "a usual size (common practice)",
                );
                taken().battery_capacity
            });
            let charge = entry.quantity("charge", Dimension::Ratio).unwrap_or_else(|| {
                self.fills.note(
                    format!("{}.charge", name.name),
                    "90 %",
                    "a battery in ordinary use (common practice)",
                );
                taken().battery_charge.0
            });
            let stated = entry.quantity("resistance", Dimension::Resistance).map(Ohms);
            let likely_resistance =
                self.likely_ohms(name.name, &entry, "likely-resistance", stated);
            let resistance = match (stated, likely_resistance) {
                (None, Some(range)) => {
                    let middle = geometric_middle(range.low, range.high);
                    let key = format!("{}.resistance", name.name);
                    self.fills.note(key, print::ohms(middle), MIDDLE_OF_RANGE);
                    middle
                }
                _ => self.battery_resistance(name.name, &entry, chemistry, capacity, blocks),
            };
            let charges: Vec<(f64, bool)> = self
                .states
                .solved()
                .map(|state| state.charge.map_or((charge, false), |own| (own.0, true)))
                .collect();
            let stated = entry.quantity("voltage", Dimension::Voltage);
            let likely_voltage =
                self.likely_volts(name.name, &entry, "likely-voltage", stated.map(Volts));
            // Between two voltages the middle is halfway.
            let middle = likely_voltage.map(|own| 0.5 * (own.low.0 + own.high.0));
            if let Some(middle) = middle.filter(|_| stated.is_none()) {
                let key = format!("{}.voltage", name.name);
                self.fills.note(key, print::volts(Volts(middle)), MIDDLE_OF_RANGE);
            }
            let stated = stated.or(middle);
            let rested =
                stated.map_or_else(|| self.open_circuit(chemistry, charge) * blocks, Volts);
            let open_circuit: Vec<Volts> = charges
                .iter()
                .map(|&(charge, from_state)| match stated {
                    Some(volts) if !from_state => Volts(volts),
                    _ => self.open_circuit(chemistry, charge) * blocks,
                })
                .collect();
            if stated.is_none()
                && let Some((volts, provenance)) =
                    Catalogue::standard().open_circuit(&chemistry.to_lowercase(), Ratio(charge))
            {
                self.fills.note(
                    format!("{}.voltage", name.name),
                    print::volts(volts * blocks),
                    format!(
                        "{chemistry} at {} ({}, {})",
                        print::percent(Ratio(charge)),
                        provenance.confidence.word(),
                        provenance.source
                    ),
                );
            }
            let acceptance = entry.quantity("acceptance", Dimension::Current);
            let charge_resistance = charges
                .iter()
                .zip(&open_circuit)
                .map(|(&(charge, _), emf)| {
                    let amps = acceptance
                        .unwrap_or(capacity.ampere_hours() * acceptance_share(chemistry, charge));
                    let above = (taken().regulated_12_v.0 * blocks - emf.0).max(0.2 * blocks);
                    Ohms((above / amps).max(resistance.0))
                })
                .collect();
            self.vehicle.batteries.push(Battery {
                id: name.name.to_owned(),
                positive,
                negative,
                nominal,
                chemistry: chemistry.to_owned(),
                capacity,
                open_circuit,
                rested,
                likely_voltage,
                resistance,
                likely_resistance,
                charge_resistance,
                charge: Ratio(charge),
                note: entry.owned("note"),
            });
        }
    }

    fn open_circuit(&self, chemistry: &str, charge: f64) -> Volts {
        let known = Catalogue::standard().open_circuit(&chemistry.to_lowercase(), Ratio(charge));
        known.map_or(taken().battery_rested_12_v, |(volts, _)| volts)
    }

    fn battery_resistance(
        &mut self,
        name: &str,
        entry: &Entry<'d>,
        chemistry: &str,
        capacity: Coulombs,
        blocks: f64,
    ) -> Ohms {
        if let Some(ohms) = entry.quantity("resistance", Dimension::Resistance) {
            return Ohms(ohms);
        }
        let (ohms, why) = match entry.quantity("cranking", Dimension::Current) {
            Some(cranking) => (
                (taken().battery_rested_12_v.0 - taken().battery_cranking_12_v.0) * blocks
                    / cranking
                    / taken().cold_resistance_times.0,
                "from the cranking current: 12.6 V falls to 7.2 V at −18 °C (SAE J537), where the resistance is about 2.1 times that of 25 °C (from memory)",
            ),
            None => (
                typical_resistance(chemistry).0 * blocks * 80.0 / capacity.ampere_hours(),
                "from chemistry and capacity (from memory, unconfirmed)",
            ),
        };
        self.fills.note(format!("{name}.resistance"), print::ohms(Ohms(ohms)), why);
        Ohms(ohms)
    }

    pub(crate) fn regulated(&mut self) {
        for (name, entry) in self.root.clone().tables("alternators") {
            let full = entry.quantity("output", Dimension::Current).unwrap_or(0.0);
            let idle = entry.quantity("idle-output", Dimension::Current).unwrap_or_else(|| {
                self.fills.note(
                    format!("{}.idle-output", name.name),
                    print::amperes(Amperes(full * taken().idle_share.0)),
                    "40 % of the rated output (between 33 % hot and 50 % cold of a maker's curve at 1300 per minute)",
                );
                full * taken().idle_share.0
            });
            let limit = self
                .states
                .solved()
                .map(|state| {
                    Amperes(match state.state.alternators {
                        AlternatorMode::Off => 0.0,
                        AlternatorMode::Idle => idle,
                        AlternatorMode::Full => full,
                    })
                })
                .collect();
            self.source(&name, &entry, RegulatedKind::Alternator, full, limit, None);
        }
        for (name, entry) in self.root.clone().tables("chargers") {
            let solar = entry.text("kind") == Some("solar");
            let usual: &[&str] =
                if solar { &["resting", "key-on", "running", "charging"] } else { &["charging"] };
            let full = entry.quantity("output", Dimension::Current).unwrap_or(0.0);
            let limit = self.limit_by_states(&name, &entry, usual, full);
            let kind = if solar { RegulatedKind::Solar } else { RegulatedKind::Charger };
            self.source(&name, &entry, kind, full, limit, None);
        }
        for (name, entry) in self.root.clone().tables("converters") {
            let full = entry.quantity("output", Dimension::Current).unwrap_or(0.0);
            let limit = self.limit_by_states(&name, &entry, &CONVERTER_STATES, full);
            let (positive, negative) = self.terminal_pair(name.name, "in");
            let efficiency = entry
                .quantity("efficiency", Dimension::Ratio)
                .filter(|share| *share > 0.0)
                .unwrap_or_else(|| {
                    self.fills.note(
                        format!("{}.efficiency", name.name),
                        "90 %",
                        "usual for a converter (common practice)",
                    );
                    taken().converter_efficiency.0
                });
            // The least voltage follows once everything that feeds it is known.
            let minimum = Volts::ZERO;
            let input = Converter { positive, negative, efficiency: Ratio(efficiency), minimum };
            self.source(&name, &entry, RegulatedKind::Converter, full, limit, Some(input));
        }
        self.equalisers();
    }

    pub(crate) fn limit_by_states(
        &mut self,
        name: &Named<&str>,
        entry: &Entry<'d>,
        usual: &[&str],
        full: f64,
    ) -> Vec<Amperes> {
        let on: Vec<String> = match entry.names("on") {
            Some(names) => {
                self.states.check(&names, &mut self.problems);
                names.iter().map(|name| name.name.to_owned()).collect()
            }
            None => {
                self.fills.note(
                    format!("{}.on", name.name),
                    usual.join(", "),
                    "the usual states of such a source",
                );
                usual.iter().map(|&name| name.to_owned()).collect()
            }
        };
        let on = self.states.and_those_like(on.iter().map(String::as_str));
        self.states
            .solved()
            .map(|state| Amperes(if on.contains(&state.state.id) { full } else { 0.0 }))
            .collect()
    }

    fn source(
        &mut self,
        name: &Named<&str>,
        entry: &Entry<'d>,
        kind: RegulatedKind,
        full: f64,
        limit: Vec<Amperes>,
        input: Option<Converter>,
    ) {
        let (positive, negative) = self.terminal_pair(name.name, "");
        let blocks = self.vehicle.nominal.0 / 12.0;
        let set_point = entry.quantity("voltage", Dimension::Voltage).unwrap_or_else(|| {
            let (volts, why) = if kind == RegulatedKind::Converter {
                (taken().converter_12_v.0 * blocks, "usual for a converter (common practice)")
            } else {
                (taken().regulated_12_v.0 * blocks, "middle setting at 25 °C, TM 10-3930-621-12")
            };
            self.fills.note(format!("{}.voltage", name.name), print::volts(Volts(volts)), why);
            volts
        });
        let sense = entry
            .text("sense")
            .and_then(|point| self.names.point(point, entry.place_of("sense"), &mut self.problems));
        let id = RegulatedId::at(self.vehicle.regulated.len());
        let (live, earthed) = self.live_and_earthed((positive, negative));
        self.output_lead(name.name, entry, live);
        self.return_lead(name.name, entry, earthed);
        let case = self.case(name.name, entry, JointOf::SourceCase(id));
        let sense = sense.map(|point| match self.vehicle.earth {
            Earth::Negative => (point, negative),
            Earth::Positive => (positive, point),
        });
        self.vehicle.regulated.push(Regulated {
            id: name.name.to_owned(),
            kind,
            positive,
            negative,
            case,
            set_point: Volts(set_point),
            droop: Ohms(taken().regulator_fall_12_v.0 * blocks / full.max(1e-6)),
            sense,
            follows: None,
            limit,
            input,
            note: entry.owned("note"),
        });
    }
}

/// What the catalogue knows of batteries of a chemistry; of flooded ones where it does not know it.
fn of_chemistry(chemistry: &str) -> Option<&'static BatteryResistance> {
    let rows = &Catalogue::standard().battery_resistances;
    rows.find(chemistry).or_else(|| rows.find("flooded"))
}

/// Resistance of an 80 Ah, 12 V battery about which only the chemistry is known.
fn typical_resistance(chemistry: &str) -> Ohms {
    of_chemistry(chemistry).map_or(Ohms::ZERO, |row| row.typical)
}

/// Charging current that a battery accepts at the regulated voltage, as a share of its capacity an
/// hour.
fn acceptance_share(chemistry: &str, charge: f64) -> f64 {
    let own = of_chemistry(chemistry).and_then(|row| row.acceptance);
    own.map_or_else(|| (1.0 - charge).max(taken().least_acceptance.0), |share| share.0)
}

/// States in which a converter works when the file does not say.
pub(crate) const CONVERTER_STATES: [&str; 6] =
    ["key-on", "preheat", "cranking", "idle", "running", "charging"];

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
        assert!(acceptance_share("lithium iron phosphate", 0.9) > acceptance_share("AGM", 0.9));
        assert!(acceptance_share("gel", 1.0) > 0.0);
    }
}
