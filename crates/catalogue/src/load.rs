//! Loads: how current follows voltage, what things usually draw, starters and preheat plugs.

use serde::Deserialize;
use units::{Amperes, Kelvin, NewtonMetres, Ohms, Ratio, Volts};

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, Rows, from_fields};

/// How the current of a kind of load follows the voltage across it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoadLaw {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Relative change of current per relative change of voltage.
    pub exponent: f64,
    /// Lowest exponent to expect.
    pub low: Option<f64>,
    /// Highest exponent to expect.
    pub high: Option<f64>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for LoadLaw {
    const TABLE: &'static str = "load-laws";
    const DESCRIPTION: &'static str =
        "Exponent of current against voltage by kind of load: 1 a resistance, −1 a constant power";
    const HEADS: &'static [&'static str] = &["load", "exponent", "from", "to", "note"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.exponent),
            cell::optional(self.low),
            cell::optional(self.high),
            self.note.clone(),
        ]
    }
}

/// What a thing usually draws.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TypicalDraw {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Kind of load, a key of the load laws.
    pub law: String,
    /// Voltage at which it draws that.
    #[serde(rename = "at_v", deserialize_with = "read::volts")]
    pub at: Volts,
    /// Lowest current.
    #[serde(rename = "low_a", default, deserialize_with = "read::amperes")]
    pub low: Option<Amperes>,
    /// Typical current.
    #[serde(rename = "typical_a", deserialize_with = "read::amperes")]
    pub typical: Amperes,
    /// Highest current.
    #[serde(rename = "high_a", default, deserialize_with = "read::amperes")]
    pub high: Option<Amperes>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for TypicalDraw {
    const TABLE: &'static str = "typical-draws";
    const DESCRIPTION: &'static str =
        "What things usually draw; a reading or the maker's figure overrides it";
    const HEADS: &'static [&'static str] =
        &["load", "kind", "at, V", "from, A", "typical, A", "to, A", "note"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            self.law.clone(),
            cell::number(self.at.0),
            cell::optional(self.low.map(|current| current.0)),
            cell::number(self.typical.0),
            cell::optional(self.high.map(|current| current.0)),
            self.note.clone(),
        ]
    }
}

/// The least voltage at which a kind of load does its job, where its own papers say nothing.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UsualMinimum {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// The one nominal voltage that the row is about; all for which there is no other when left out.
    #[serde(rename = "nominal_v", default, deserialize_with = "read::volts")]
    pub nominal: Option<Volts>,
    /// Share of the nominal voltage.
    #[serde(deserialize_with = "read::ratio")]
    pub share: Ratio,
    /// What becomes of it below.
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for UsualMinimum {
    const TABLE: &'static str = "usual-minima";
    const DESCRIPTION: &'static str =
        "Least voltage of a load whose own papers state none, as a share of the nominal voltage";
    const HEADS: &'static [&'static str] = &["load", "nominal, V", "share", "below it"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::optional(self.nominal.map(|volts| volts.0)),
            cell::number(self.share.0),
            self.note.clone(),
        ]
    }
}

impl Rows<UsualMinimum> {
    /// The row for a kind of load (`lamp`, `module`) on a nominal voltage.
    #[must_use]
    pub fn of(&self, kind: &str, nominal: Volts) -> Option<&UsualMinimum> {
        self.find(&format!("{kind} on {} V", cell::number(nominal.0)))
            .filter(|row| row.nominal == Some(nominal))
            .or_else(|| self.find(kind))
    }
}

/// What is done to a starter on the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum StarterTest {
    /// It turns freely.
    #[serde(rename = "no load")]
    NoLoad,
    /// It works against a brake.
    #[serde(rename = "load")]
    Load,
    /// It is held still.
    #[serde(rename = "stall")]
    Stall,
}

impl StarterTest {
    /// The words for it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NoLoad => "no load",
            Self::Load => "load",
            Self::Stall => "stall",
        }
    }
}

/// A bench figure of a starter: a limit to accept or reject by, not a point of one curve.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StarterFigure {
    key: String,
    /// Nominal voltage of the system.
    #[serde(rename = "nominal_v", deserialize_with = "read::volts")]
    pub nominal: Volts,
    /// What is done to it.
    pub test: StarterTest,
    /// Voltage at the starter.
    #[serde(rename = "at_v", deserialize_with = "read::volts")]
    pub at: Volts,
    /// Highest current.
    #[serde(rename = "current_a", deserialize_with = "read::amperes")]
    pub current: Amperes,
    /// Torque, where given.
    #[serde(rename = "torque_nm", default, deserialize_with = "read::newton_metres")]
    pub torque: Option<NewtonMetres>,
    /// Turns per minute, where given.
    pub turns_per_minute: Option<f64>,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for StarterFigure {
    const TABLE: &'static str = "starter-figures";
    const DESCRIPTION: &'static str =
        "Bench figures of starters; limits to accept or reject by, not points of one curve";
    const HEADS: &'static [&'static str] =
        &["starter", "nominal, V", "test", "at, V", "A", "torque, N·m", "turns per minute"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.nominal.0),
            self.test.words().to_owned(),
            cell::number(self.at.0),
            cell::number(self.current.0),
            cell::optional(self.torque.map(|torque| torque.0)),
            cell::optional(self.turns_per_minute),
        ]
    }
}

/// What an engine takes while it is cranked.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrankingFigure {
    key: String,
    /// Nominal voltage of the system.
    #[serde(rename = "nominal_v", deserialize_with = "read::volts")]
    pub nominal: Volts,
    /// Lowest current, where given.
    #[serde(rename = "low_a", default, deserialize_with = "read::amperes")]
    pub low_current: Option<Amperes>,
    /// Highest current, where given.
    #[serde(rename = "high_a", default, deserialize_with = "read::amperes")]
    pub high_current: Option<Amperes>,
    /// Lowest system voltage, where given.
    #[serde(rename = "low_v", default, deserialize_with = "read::volts")]
    pub low_voltage: Option<Volts>,
    /// Highest system voltage, where given.
    #[serde(rename = "high_v", default, deserialize_with = "read::volts")]
    pub high_voltage: Option<Volts>,
    /// Coldest air that the row speaks of, where it speaks of air.
    #[serde(rename = "low_air_celsius", default, deserialize_with = "read::celsius")]
    pub low_air: Option<Kelvin>,
    /// Warmest air that the row speaks of.
    #[serde(rename = "high_air_celsius", default, deserialize_with = "read::celsius")]
    pub high_air: Option<Kelvin>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl CrankingFigure {
    /// True when the row speaks of the system's voltage in such air.
    #[must_use]
    pub fn holds_in(&self, nominal: Volts, air: Kelvin) -> bool {
        let range = self.low_air.zip(self.high_air);
        self.nominal == nominal && range.is_some_and(|(low, high)| low <= air && air <= high)
    }
}

impl Row for CrankingFigure {
    const TABLE: &'static str = "cranking-figures";
    const DESCRIPTION: &'static str = "Current and system voltage while engines are cranked";
    const HEADS: &'static [&'static str] =
        &["engine or air", "nominal, V", "from, A", "to, A", "from, V", "to, V", "note"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.nominal.0),
            cell::optional(self.low_current.map(|current| current.0)),
            cell::optional(self.high_current.map(|current| current.0)),
            cell::optional(self.low_voltage.map(|volts| volts.0)),
            cell::optional(self.high_voltage.map(|volts| volts.0)),
            self.note.clone(),
        ]
    }
}

/// A preheat plug or intake heater.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PreheatPlug {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Voltage that it is made for.
    #[serde(rename = "rated_v", deserialize_with = "read::volts")]
    pub rated: Volts,
    /// Lowest resistance when cold, where given.
    #[serde(rename = "cold_low_ohm", default, deserialize_with = "read::ohms")]
    pub cold_low: Option<Ohms>,
    /// Highest resistance when cold, where given.
    #[serde(rename = "cold_high_ohm", default, deserialize_with = "read::ohms")]
    pub cold_high: Option<Ohms>,
    /// Lowest current once it glows, each.
    #[serde(rename = "settled_low_a", default, deserialize_with = "read::amperes")]
    pub settled_low: Option<Amperes>,
    /// Highest current once it glows, each.
    #[serde(rename = "settled_high_a", default, deserialize_with = "read::amperes")]
    pub settled_high: Option<Amperes>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for PreheatPlug {
    const TABLE: &'static str = "preheat-plugs";
    const DESCRIPTION: &'static str = "Preheat plugs and intake heaters: cold resistance, current";
    const HEADS: &'static [&'static str] =
        &["plug", "rated, V", "cold from, Ω", "cold to, Ω", "settled from, A", "to, A", "note"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.rated.0),
            cell::optional(self.cold_low.map(|resistance| resistance.0)),
            cell::optional(self.cold_high.map(|resistance| resistance.0)),
            cell::optional(self.settled_low.map(|current| current.0)),
            cell::optional(self.settled_high.map(|current| current.0)),
            self.note.clone(),
        ]
    }
}

#[cfg(test)]
mod published {
    use crate::Catalogue;

    /// Standard Handbook for Electrical Engineers: a lamp at 11.5 V of 13.5 V takes 0.9156 of it.
    #[test]
    fn a_lamp_at_eleven_and_a_half_volts_keeps_nine_tenths_of_its_current() {
        let lamp = Catalogue::standard().load_laws.find("lamp").expect("listed");
        let share = (11.5_f64 / 13.5).powf(lamp.exponent);
        assert!((share - 0.9156).abs() < 1e-4, "{share}");
    }
}

#[cfg(test)]
mod laws {
    use units::Volts;

    use crate::Catalogue;

    #[test]
    fn what_is_made_for_24_volts_has_a_minimum_of_its_own() {
        let minima = &Catalogue::standard().usual_minima;
        let least = |kind: &str, nominal: f64| {
            minima.of(kind, Volts(nominal)).expect("listed").share.0 * nominal
        };
        assert!((least("module", 12.0) - 6.0).abs() < 1e-9);
        assert!((least("module", 24.0) - 10.0).abs() < 0.01);
        assert!((least("lamp", 24.0) - 12.0).abs() < 1e-9);
    }

    #[test]
    fn every_typical_draw_names_a_listed_load_law() {
        let catalogue = Catalogue::standard();
        for row in &catalogue.typical_draws {
            assert!(catalogue.load_laws.find(&row.law).is_some(), "{row:?}");
        }
    }
}
