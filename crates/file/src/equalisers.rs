//! Battery equalisers: over a bank in series, each as two sources, of which one works at a time.

use model::{Bank, Converter, PointOwner, Regulated, RegulatedId, RegulatedKind};
use units::{Amperes, Dimension, Ohms, Ratio, Volts, print};

use crate::defaults::{regulated, taken};
use crate::document::{Entry, Named};
use crate::read::Reader;

/// The halves of a bank, as they end the names of an equaliser's two sources.
const HALVES: [&str; 2] = ["lower", "upper"];

impl<'d> Reader<'d> {
    /// Adds the three terminals of every equaliser.
    pub(crate) fn equaliser_points(&mut self) {
        for (name, entry) in self.root.clone().tables("equalisers") {
            self.names.take(&name, "source", &mut self.problems);
            self.terminals(&name, &entry);
            let middle = format!("{}/mid", name.name);
            self.names.add_point(middle, PointOwner::Positive, Some(&entry));
        }
    }

    /// Two sources for each: what gives to the lower half and takes from the upper, and the other way.
    pub(crate) fn equalisers(&mut self) {
        for (name, entry) in self.root.clone().tables("equalisers") {
            let half = self.half_of_the_bank(&entry);
            let limit = self.limit_of_states(&name, &entry, half);
            let efficiency = self.equaliser_efficiency(&name, &entry);
            let minimum = half * taken().converter_least_input.0;
            self.fills.note(
                format!("{}.input-minimum", name.name),
                print::volts(minimum),
                "three quarters of half of the bank, as for a converter (common practice)",
            );
            let (top, bottom) = self.terminal_pair(name.name, "");
            let middle = self.names.find(&format!("{}/mid", name.name)).unwrap_or(top);
            let full = limit.iter().fold(1e-6, |most: f64, own| most.max(own.0));
            let first = self.vehicle.regulated.len();
            for (at, word) in HALVES.into_iter().enumerate() {
                let (lower, upper) = ((middle, bottom), (top, middle));
                let (gives, takes) = if at == 0 { (lower, upper) } else { (upper, lower) };
                self.vehicle.regulated.push(Regulated {
                    id: format!("{}.{word}", name.name),
                    kind: RegulatedKind::Equaliser,
                    positive: gives.0,
                    negative: gives.1,
                    case: None,
                    set_point: regulated(half + half).0 * 0.5,
                    droop: Ohms(taken().regulator_fall_12_v.0 * half.0 / 12.0 / full),
                    sense: None,
                    follows: Some(Bank { top, bottom, twin: RegulatedId::at(first + 1 - at) }),
                    limit: limit.clone(),
                    input: Some(Converter {
                        positive: takes.0,
                        negative: takes.1,
                        efficiency: Ratio(efficiency),
                        minimum,
                    }),
                    note: entry.owned("note"),
                });
            }
        }
    }

    /// Nominal volts of half of the bank.
    fn half_of_the_bank(&self, entry: &Entry<'d>) -> Volts {
        let bank = entry.quantity("nominal", Dimension::Voltage);
        Volts(bank.unwrap_or(self.vehicle.nominal.0) / 2.0)
    }

    /// The most that it gives in each state: its current, or its power at the nominal volts of a half.
    fn limit_of_states(
        &mut self,
        name: &Named<&str>,
        entry: &Entry<'d>,
        half: Volts,
    ) -> Vec<Amperes> {
        let amps = entry.quantity("output", Dimension::Current).unwrap_or(0.0);
        let by_power = entry.quantity("power", Dimension::Power).map(|watts| watts / half.0);
        let full = by_power.map_or(amps, |own| own.min(amps));
        if entry.names("on").is_some() {
            return self.limit_by_states(name, entry, &[], full);
        }
        self.fills.note(
            format!("{}.on", name.name),
            "every state",
            "an equaliser is wired to the bank for good (common practice)",
        );
        self.states.solved().map(|_| Amperes(full)).collect()
    }

    fn equaliser_efficiency(&mut self, name: &Named<&str>, entry: &Entry<'d>) -> f64 {
        let stated = entry.quantity("efficiency", Dimension::Ratio).filter(|share| *share > 0.0);
        stated.unwrap_or_else(|| {
            self.fills.note(
                format!("{}.efficiency", name.name),
                "90 %",
                "usual for an equaliser (from memory, common practice)",
            );
            taken().equaliser_efficiency.0
        })
    }
}
