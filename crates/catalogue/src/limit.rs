//! Published and taught limits of loss and of resistance, as named rule sets that may contradict.

use serde::Deserialize;
use units::{Amperes, Ohms, Ratio, Volts};

use crate::column;
use crate::read::table;

/// The circuit that a limit is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Circuit {
    /// Battery to starter and home, while cranking.
    Starter,
    /// Alternator to battery and home, while charging.
    Charging,
    /// The small current that operates a relay or solenoid.
    Control,
    /// Any other circuit in use.
    Running,
    /// A bond that is not there to carry load current.
    Bonding,
}

/// The piece of the circuit across which the meter is put.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Part {
    /// The whole insulated side.
    Feed,
    /// The whole ground side.
    Return,
    /// Both sides together.
    Total,
    /// One cable.
    Cable,
    /// One connection.
    Connection,
    /// One switch.
    Switch,
    /// One solenoid or magnetic switch.
    Solenoid,
    /// From the case or frame of equipment to the structure.
    Case,
}

/// A limit in the terms in which its source states it.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Limit {
    /// So many volts, whatever the current; zero asks for no measurable drop.
    #[serde(rename = "volts")]
    Fixed(#[serde(deserialize_with = "column::volts")] Volts),
    /// So many volts for each hundred amperes.
    #[serde(rename = "volts_per_100_a")]
    PerHundredAmperes(#[serde(deserialize_with = "column::volts")] Volts),
    /// A share of the nominal voltage.
    #[serde(rename = "percent_of_nominal")]
    ShareOfNominal(#[serde(deserialize_with = "column::percent")] Ratio),
    /// A resistance.
    #[serde(rename = "milliohms")]
    Resistance(#[serde(deserialize_with = "column::milliohms")] Ohms),
}

impl Limit {
    /// The loss that it allows at a current in a system of a nominal voltage.
    #[must_use]
    pub fn allowed(self, current: Amperes, nominal: Volts) -> Volts {
        match self {
            Self::Fixed(volts) => volts,
            Self::PerHundredAmperes(volts) => volts * (current.abs() / Amperes(100.0)),
            Self::ShareOfNominal(share) => nominal * share.0,
            Self::Resistance(resistance) => resistance * current.abs(),
        }
    }

    /// True when the limit grows with the current that really flowed.
    #[must_use]
    pub fn follows_current(self) -> bool {
        matches!(self, Self::PerHundredAmperes(_) | Self::Resistance(_))
    }
}

impl std::fmt::Display for Limit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match *self {
            Self::Fixed(volts) => write!(f, "{} V", column::number(volts.0)),
            Self::PerHundredAmperes(volts) => {
                write!(f, "{} V per 100 A", column::number(volts.0))
            }
            Self::ShareOfNominal(share) => {
                write!(f, "{} % of nominal", column::number(share.0 * 1e2))
            }
            Self::Resistance(resistance) => write!(f, "{} mΩ", column::number(resistance.0 * 1e3)),
        }
    }
}

table! {
    /// One limit of a rule set.
    DropLimit "limits"
        "Published and taught limits of voltage drop and bond resistance; rule sets contradict"
        "key";
    /// The rule set that it belongs to, such as `SAE J541`.
    pub rule_set: String = PLAIN => "rule set";
    /// The circuit it is for.
    pub circuit: Circuit = PLAIN;
    /// The piece of the circuit across which the meter is put.
    pub part: Part = PLAIN;
    /// What is tested, in words.
    pub test: String = PLAIN => "test";
    /// Nominal voltage that it is for; none where it holds for any.
    pub nominal: Option<Volts> = VOLTS "nominal_v" => "nominal, V" by |row| {
        row.nominal.map_or_else(|| "any".to_owned(), |volts| column::number(volts.0))
    };
    /// The limit.
    pub limit: Limit = PLAIN => "limit";
    /// True for the one limit of its circuit, part and voltage that is shown where there is room for
    /// one: of a military training or maintenance manual where there is one, else common practice.
    pub default: bool = MAY_LACK;
}

impl DropLimit {
    /// True when the limit is meant for systems of this nominal voltage.
    #[must_use]
    pub fn is_for(&self, nominal: Volts) -> bool {
        self.nominal.is_none_or(|own| (own - nominal).abs() < Volts(0.5))
    }
}

#[cfg(test)]
mod published {
    use crate::Catalogue;
    use units::{Amperes, Ohms, Volts};

    fn allowed(key: &str, current: f64, nominal: f64) -> Volts {
        let row = Catalogue::standard().limits.find(key).expect(key);
        assert!(row.is_for(Volts(nominal)), "{key}");
        row.limit.allowed(Amperes(current), Volts(nominal))
    }

    /// SAE J541 at 200 A: 0.40 V light duty, 0.20 V heavy duty.
    #[test]
    fn two_hundred_amperes_may_lose_four_tenths_of_a_volt_by_j541() {
        let light = allowed("J541 light and medium duty, 12 V", 200.0, 12.0);
        let heavy = allowed("J541 heavy duty, 12 V", 200.0, 12.0);
        assert!((light - Volts(0.40)).abs() < Volts(1e-9));
        assert!((heavy - Volts(0.20)).abs() < Volts(1e-9));
    }

    /// SAE J3053: 1.2 mΩ is 0.60 V at 500 A and 0.144 V at 120 A.
    #[test]
    fn a_j3053_resistance_is_a_drop_at_the_current_that_flowed() {
        let key = "J3053 medium duty, 12 V";
        assert!((allowed(key, 500.0, 12.0) - Volts(0.60)).abs() < Volts(0.005));
        assert!((allowed(key, 120.0, 12.0) - Volts(0.144)).abs() < Volts(0.005));
    }

    /// A connection of 3 mΩ by AC 43.13-1B carries 100 A at 0.30 V.
    #[test]
    fn three_milliohms_lose_three_tenths_at_a_hundred_amperes() {
        let key = "AC 43.13-1B bonding jumper connection";
        assert!((allowed(key, 100.0, 28.0) - Ohms(0.003) * Amperes(100.0)).abs() < Volts(1e-9));
    }

    #[test]
    fn three_percent_of_twelve_volts_is_360_millivolts() {
        assert!((allowed("ABYC E-11 critical", 10.0, 12.0) - Volts(0.36)).abs() < Volts(1e-9));
    }
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Confidence};
    use units::Volts;

    #[test]
    fn a_default_limit_is_a_military_manuals_or_common_practice_and_one_of_its_test() {
        let defaults: Vec<_> =
            Catalogue::standard().limits.iter().filter(|row| row.default).collect();
        assert!(defaults.len() >= 10, "{}", defaults.len());
        for row in &defaults {
            let military =
                ["Army TM ", "NAVEDTRA "].iter().any(|own| row.provenance.source.starts_with(own));
            let confidence = row.provenance.confidence;
            let sure = military && confidence == Confidence::Confirmed;
            assert!(sure || confidence == Confidence::CommonPractice, "{row:?}");
            assert!(!row.limit.follows_current(), "{row:?}");
            let same = defaults.iter().filter(|own| {
                (own.circuit, own.part, own.nominal) == (row.circuit, row.part, row.nominal)
            });
            assert_eq!(same.count(), 1, "{row:?}");
        }
    }

    #[test]
    fn a_24_volt_limit_is_not_for_a_12_volt_vehicle() {
        let row = Catalogue::standard().limits.find("J541 light and medium duty, 24 V");
        assert!(!row.expect("listed").is_for(Volts(12.0)));
    }
}
