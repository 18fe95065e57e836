//! The voltages across a contact at which its hottest place softens and melts.

use serde::Deserialize;
use units::Volts;

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, from_fields};

/// Softening and melting of the hottest place of a contact of one metal.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContactVoltage {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Lasting voltage across the contact at which its hottest place softens.
    #[serde(rename = "softening_v", deserialize_with = "read::volts")]
    pub softening: Volts,
    /// Voltage at which it melts.
    #[serde(rename = "melting_v", deserialize_with = "read::volts")]
    pub melting: Volts,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for ContactVoltage {
    const TABLE: &'static str = "contact-voltages";
    const DESCRIPTION: &'static str =
        "Voltage across a contact at which its hottest place softens and melts, by metal";
    const HEADS: &'static [&'static str] = &["metal", "softens at, V", "melts at, V", "note"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.softening.0),
            cell::number(self.melting.0),
            self.note.clone(),
        ]
    }
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Row};

    #[test]
    fn a_contact_softens_before_it_melts() {
        for row in &Catalogue::standard().contact_voltages {
            assert!(row.softening < row.melting, "{}", row.key());
        }
    }

    /// Kohlrausch's law from 20 °C, U² = 4 L (T² − T₀²), against the melting points of the metals:
    /// within a quarter, for L itself differs from metal to metal (nickel is 22 % off).
    #[test]
    fn melting_voltages_agree_with_melting_points() {
        let catalogue = Catalogue::standard();
        let mut compared = 0;
        for row in &catalogue.contact_voltages {
            let Some(metal) = catalogue.materials.find(row.key()) else { continue };
            let square = metal.melting.0.powi(2) - 293.15_f64.powi(2);
            let law = (4.0 * 2.44e-8 * square).sqrt();
            assert!((row.melting.0 / law - 1.0).abs() < 0.25, "{} {law}", row.key());
            compared += 1;
        }
        assert!(compared >= 3, "{compared}");
    }
}
