//! The terminals of every source; alternators, chargers and converters.

use model::{
    AlternatorMode, Converter, Earth, JointOf, PointId, PointOwner, Regulated, RegulatedId,
    RegulatedKind,
};
use units::{Amperes, Dimension, Ohms, Ratio, Volts, print};

use crate::defaults::{regulated, taken};
use crate::document::{Entry, Named};
use crate::joints::Seat;
use crate::read::Reader;

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
                (taken().converter_12_v * blocks, "usual for a converter (common practice)")
            } else {
                regulated(self.vehicle.nominal)
            };
            self.fills.note(format!("{}.voltage", name.name), print::volts(volts), why);
            volts.0
        });
        let sense = entry
            .text("sense")
            .and_then(|point| self.names.point(point, entry.place_of("sense"), &mut self.problems));
        let id = RegulatedId::at(self.vehicle.regulated.len());
        let (live, earthed) = self.live_and_earthed((positive, negative));
        self.output_lead(name.name, entry, live);
        self.return_lead(name.name, entry, earthed);
        let case = self.case(name.name, entry, JointOf::SourceCase(id), Seat::Case);
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

/// States in which a converter works when the file does not say.
pub(crate) const CONVERTER_STATES: [&str; 6] =
    ["key-on", "preheat", "cranking", "idle", "running", "charging"];
