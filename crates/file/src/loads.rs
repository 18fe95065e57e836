//! Loads: how their current follows the voltage, when they are on, and their own leads.

use std::collections::BTreeSet;

use catalogue::Catalogue;
use model::{Code, Importance, JointOf, Load, LoadId, LoadKind, LoadLaw, Problem, StateId};
use units::{Amperes, Dimension, Ratio, Volts, print};

use crate::defaults::taken;
use crate::document::{Entry, Named};
use crate::joints::Seat;
use crate::read::Reader;
use crate::suggest::did_you_mean;

const ENGINE_ON: [&str; 3] = ["idle", "running", "charging"];
const RUNNING: &str = "voltage with the engine running (common practice)";
const NOMINAL: &str = "the nominal voltage";
const ALL_BUT_RESTING: [&str; 6] = ["key-on", "preheat", "cranking", "idle", "running", "charging"];

/// What a file that is silent gets, for each kind of load.
struct Usual {
    kind: LoadKind,
    /// Key of the catalogue's table of load laws; none for starters and preheat plugs.
    law: &'static str,
    /// Rated voltage over nominal, in twelfths.
    rated_12_v: f64,
    why_rated: &'static str,
    /// Share of the rated voltage below which the law gives way to a straight line.
    knee: f64,
    on: &'static [&'static str],
}

fn usual(word: &str) -> Option<Usual> {
    let (kind, law, rated_12_v, why_rated, knee, on): (_, _, _, _, _, &'static [&'static str]) =
        match word {
            "resistive" => (LoadKind::Resistive, "resistive", 12.0, NOMINAL, 0.01, &ENGINE_ON),
            "lamp" => (
                LoadKind::Lamp,
                "lamp",
                13.5,
                "test voltage of signal lamps (UN R37)",
                0.05,
                &ENGINE_ON,
            ),
            "motor" => (LoadKind::Motor, "motor", 13.5, RUNNING, 0.1, &ENGINE_ON),
            "fan" => (LoadKind::Fan, "fan", 13.5, RUNNING, 0.1, &ENGINE_ON),
            "pump" => (LoadKind::Pump, "pump", 13.5, RUNNING, 0.1, &ENGINE_ON),
            "winch" => (LoadKind::Winch, "winch", 12.0, NOMINAL, 0.0, &["running"]),
            "windlass" => (LoadKind::Windlass, "windlass", 12.0, NOMINAL, 0.0, &["running"]),
            "hydraulic pack" => {
                (LoadKind::HydraulicPack, "hydraulic pack", 12.0, NOMINAL, 0.0, &["running"])
            }
            "starter" => (
                LoadKind::Starter,
                "",
                10.0,
                "voltage at a starter while it turns (common practice)",
                0.0,
                &["cranking"],
            ),
            "preheat plug" => (LoadKind::PreheatPlug, "", 12.0, NOMINAL, 0.0, &["preheat"]),
            "self-regulating heater" => (
                LoadKind::SelfRegulatingHeater,
                "self-regulating heater",
                13.5,
                RUNNING,
                0.0,
                &ENGINE_ON,
            ),
            "electronics" => (LoadKind::Electronics, "electronics", 12.0, NOMINAL, 0.3, &ENGINE_ON),
            "inverter" => (LoadKind::Inverter, "inverter", 12.0, NOMINAL, 0.5, &ENGINE_ON),
            "module" => (LoadKind::Module, "electronics", 12.0, NOMINAL, 0.3, &ALL_BUT_RESTING),
            "switch-mode module" => (
                LoadKind::SwitchModeModule,
                "switch-mode module",
                12.0,
                NOMINAL,
                0.5,
                &ALL_BUT_RESTING,
            ),
            "sensor" => (LoadKind::Sensor, "electronics", 12.0, NOMINAL, 0.3, &ALL_BUT_RESTING),
            _ => return None,
        };
    Some(Usual { kind, law, rated_12_v, why_rated, knee, on })
}

fn volts_of(entry: &Entry<'_>, key: &str) -> Option<Volts> {
    entry.quantity(key, Dimension::Voltage).map(Volts)
}

/// The nominal voltage that a rated one belongs to: the vehicle's own where it may, or else the usual
/// one that lies nearest as a ratio, as 13.6 V to 12 V on a vehicle of 24 V.
fn nominal_of(rated: Volts, own: Volts) -> Volts {
    let off = |nominal: &Volts| (rated.0 / nominal.0).ln().abs();
    if off(&own) < 1.35_f64.ln() {
        return own;
    }
    let usual = [6.0, 12.0, 24.0, 36.0, 48.0].map(Volts);
    usual.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(own)
}

impl<'d> Reader<'d> {
    pub(crate) fn load_points(&mut self) {
        for (name, entry) in self.root.clone().tables("loads") {
            self.names.take(&name, "load", &mut self.problems);
            let at = self.load_positions.len();
            self.load_positions.insert(name.name.to_owned(), at);
            self.terminals(&name, &entry);
        }
    }

    /// Names of the states in which a load is on by its own word or by its kind.
    pub(crate) fn on_states(&mut self, name: &Named<&str>, entry: &Entry<'d>) -> BTreeSet<String> {
        let names: Vec<String> = match entry.names("on") {
            Some(names) => {
                self.states.check(&names, &mut self.problems);
                names.iter().map(|name| name.name.to_owned()).collect()
            }
            None => {
                let Some(usual) = entry.text("kind").and_then(usual) else {
                    return BTreeSet::new();
                };
                self.fills.note(
                    format!("{}.on", name.name),
                    usual.on.join(", "),
                    "the usual states of its kind",
                );
                usual.on.iter().map(|&name| name.to_owned()).collect()
            }
        };
        self.states.and_those_like(names.iter().map(String::as_str))
    }

    pub(crate) fn loads(&mut self, on: &[BTreeSet<String>]) {
        for (at, (name, entry)) in self.root.clone().tables("loads").into_iter().enumerate() {
            let Some(usual) = entry.text("kind").and_then(usual) else { continue };
            let id = LoadId::at(self.vehicle.loads.len());
            let (positive, negative) = self.terminal_pair(name.name, "");
            let (live, earthed) = self.live_and_earthed((positive, negative));
            self.feed_lead(name.name, &entry, live);
            self.return_lead(name.name, &entry, earthed);
            let starts = usual.kind == LoadKind::Starter;
            let seat = if starts { Seat::StarterCase } else { Seat::Case };
            let case = self.case(name.name, &entry, JointOf::LoadCase(id), seat);
            let Some(law) = self.load_law(name.name, &entry, &usual) else { continue };
            let rated = law.rated_volts();
            let minimum = volts_of(&entry, "minimum");
            let (nominal, usual_minimum) = self.usual_minimum(&name, &usual, rated, minimum);
            let likely = self.likely_amps(name.name, &entry, rated, law.rated_amps());
            let control = self.control(name.name, &entry);
            let on = on.get(at).map_or_else(Vec::new, |on| self.on_ids(name.name, on));
            self.vehicle.loads.push(Load {
                id: name.name.to_owned(),
                name: entry.owned("name").unwrap_or_else(|| name.name.replace('-', " ")),
                kind: usual.kind,
                positive,
                negative,
                case,
                law,
                likely,
                control,
                nominal,
                minimum,
                usual_minimum,
                dropout: volts_of(&entry, "dropout"),
                importance: match entry.text("importance") {
                    Some("comfort") => Importance::Comfort,
                    Some("vital") => Importance::Vital,
                    _ => Importance::Ordinary,
                },
                duty: Ratio(entry.quantity("duty", Dimension::Ratio).unwrap_or(1.0)),
                on,
                note: entry.owned("note"),
            });
        }
    }

    /// The nominal voltage that a load is made for, and what its kind needs at least on that.
    fn usual_minimum(
        &mut self,
        name: &Named<&str>,
        usual: &Usual,
        rated: Volts,
        stated: Option<Volts>,
    ) -> (Volts, Volts) {
        let nominal = nominal_of(rated, self.vehicle.nominal);
        let word = usual.kind.word();
        let Some(row) = Catalogue::standard().usual_minima.of(word, nominal) else {
            return (nominal, Volts::ZERO);
        };
        let least = nominal * row.share.0;
        if stated.is_none() {
            let why = format!("{} ({})", row.note, row.provenance.source);
            self.fills.note(format!("{}.minimum", name.name), print::volts(least), why);
        }
        (nominal, least)
    }

    /// The load that switches another on.
    fn control(&mut self, name: &str, entry: &Entry<'d>) -> Option<LoadId> {
        let wanted = entry.text("control")?;
        let found = self.load_positions.get(wanted).copied().filter(|_| wanted != name);
        if found.is_none() {
            let mut problem = Problem::error(
                Code::UnknownLoad,
                entry.place_of("control"),
                format!("there is no other load `{wanted}` that could switch `{name}` on"),
                "the name of the coil, written as a load of this file",
            );
            let others = self.load_positions.keys().map(String::as_str).filter(|own| *own != name);
            problem.hint = did_you_mean(wanted, others);
            self.problems.push(problem);
        }
        found.map(LoadId::at)
    }

    fn on_ids(&self, name: &str, on: &BTreeSet<String>) -> Vec<StateId> {
        self.states.where_solved(|state| {
            let named = on.contains(&state.state.id) || state.on.iter().any(|load| load == name);
            named && !state.off.iter().any(|load| load == name)
        })
    }

    fn load_law(&mut self, name: &str, entry: &Entry<'d>, usual: &Usual) -> Option<LoadLaw> {
        let rated = entry.quantity("rated", Dimension::Voltage).unwrap_or_else(|| {
            let rated = usual.rated_12_v * self.vehicle.nominal.0 / 12.0;
            self.fills.note(format!("{name}.rated"), print::volts(Volts(rated)), usual.why_rated);
            rated
        });
        let amps = entry
            .quantity("draws", Dimension::Current)
            .or_else(|| entry.quantity("draws", Dimension::Power).map(|watts| watts / rated))
            .or_else(|| entry.quantity("draws", Dimension::Resistance).map(|ohms| rated / ohms))?;
        if !(amps > 0.0 && rated > 0.0) {
            return None;
        }
        let (amps, rated) = (Amperes(amps), Volts(rated));
        Some(match usual.kind {
            LoadKind::Starter => {
                self.torque_law(name, entry, (amps, amps), rated, taken().starter_follows)
            }
            LoadKind::Winch | LoadKind::Windlass | LoadKind::HydraulicPack => {
                let row = Catalogue::standard().load_laws.find(usual.law)?;
                let pulling = self.pulling(name, entry, usual.kind, amps);
                self.torque_law(name, entry, (pulling, amps), rated, Ratio(row.exponent))
            }
            LoadKind::PreheatPlug => {
                let why =
                    "2.5 times the settled current (from memory: 20 to 30 A falling to 8 to 10 A)";
                let cold =
                    self.more_than(name, entry, "cold", amps, taken().preheat_cold_times.0, why);
                LoadLaw::Preheat { cold, settled: amps, rated }
            }
            LoadKind::SelfRegulatingHeater => {
                // Its exponent at the rated voltage is (1 − β) / (1 + β), β the logarithm of cold over settled.
                let row = Catalogue::standard().load_laws.find(usual.law)?;
                let times = ((1.0 - row.exponent) / (1.0 + row.exponent)).exp();
                let why = format!("{} ({})", row.note, row.provenance.source);
                let cold = self.more_than(name, entry, "cold", amps, times, &why);
                LoadLaw::SelfRegulating { cold, settled: amps, rated }
            }
            _ => {
                let row = Catalogue::standard().load_laws.find(usual.law)?;
                LoadLaw::Power { amps, rated, exponent: row.exponent, knee: rated * usual.knee }
            }
        })
    }

    /// The law of a motor against a torque, from what it draws and what it draws when fully loaded.
    fn torque_law(
        &mut self,
        name: &str,
        entry: &Entry<'d>,
        (amps, full): (Amperes, Amperes),
        rated: Volts,
        follows: Ratio,
    ) -> LoadLaw {
        let why =
            "2.5 times the cranking current; bench limits in workshop manuals give 2.3 to 3.2";
        let times = taken().starter_stall_times.0;
        let stall = rated / self.more_than(name, entry, "stall", full, times, why);
        LoadLaw::Starter { amps, rated, follows, stall }
    }

    /// What a winch draws with what hangs on its rope, from what it draws at its rated pull on the first layer:
    /// the torque beyond that of turning alone follows the pull and the radius of the layer.
    fn pulling(&mut self, name: &str, entry: &Entry<'d>, kind: LoadKind, full: Amperes) -> Amperes {
        if kind == LoadKind::HydraulicPack {
            return full;
        }
        let pull = entry.quantity("pull", Dimension::Ratio).unwrap_or(1.0);
        let layers = if entry.has_key("layer") { entry.count("layer").unwrap_or(1) } else { 1 };
        if layers == 1 && pull >= 1.0 {
            return full;
        }
        let stated = entry.quantity("idle", Dimension::Current).map(Amperes);
        let idle = stated.filter(|own| *own < full).unwrap_or_else(|| {
            let usual = full * taken().winch_idle_share.0;
            let why = "a fifth of what it draws at its rated pull (from memory)";
            self.fills.note(format!("{name}.idle"), print::amperes(usual), why);
            usual
        });
        let radius = 1.0 + taken().winch_layer.0 * (f64::from(layers) - 1.0);
        idle + (full - idle) * (pull * radius)
    }

    /// A current that a key states above another one, or so many times that one, noted with its reason.
    fn more_than(
        &mut self,
        name: &str,
        entry: &Entry<'d>,
        key: &'static str,
        amps: Amperes,
        times: f64,
        why: &str,
    ) -> Amperes {
        let stated = entry.quantity(key, Dimension::Current).map(Amperes);
        stated.filter(|stated| *stated > amps).unwrap_or_else(|| {
            let usual = amps * times;
            self.fills.note(format!("{name}.{key}"), print::amperes(usual), why);
            usual
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec::{Kind, LOAD};

    #[test]
    fn every_kind_of_load_that_a_file_may_name_has_a_law() {
        let Some(Kind::Choice(words)) =
            LOAD.keys.iter().find(|key| key.name == "kind").map(|key| key.kind)
        else {
            panic!("a load has a kind");
        };
        for word in words {
            let usual = usual(word).unwrap_or_else(|| panic!("{word}"));
            assert_eq!(usual.kind.word(), *word);
            assert!(
                usual.law.is_empty() || Catalogue::standard().load_laws.find(usual.law).is_some(),
                "{word}"
            );
        }
    }
}
