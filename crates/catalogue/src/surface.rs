//! What faces are made of where they touch, and what the air does to them.

use serde::Deserialize;
use units::{Metres, OhmMetres, Pascals};

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, from_fields};

/// A metal or plating as one face of a contact.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContactMetal {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Lowest resistivity.
    #[serde(rename = "resistivity_low_nohm_m", deserialize_with = "read::nano_ohm_metres")]
    pub resistivity_low: OhmMetres,
    /// Highest resistivity.
    #[serde(rename = "resistivity_high_nohm_m", deserialize_with = "read::nano_ohm_metres")]
    pub resistivity_high: OhmMetres,
    /// Lowest contact hardness.
    #[serde(rename = "hardness_low_mpa", deserialize_with = "read::megapascals")]
    pub hardness_low: Pascals,
    /// Highest contact hardness.
    #[serde(rename = "hardness_high_mpa", deserialize_with = "read::megapascals")]
    pub hardness_high: Pascals,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for ContactMetal {
    const TABLE: &'static str = "contact-metals";
    const DESCRIPTION: &'static str =
        "Metals as faces of a contact: resistivity and contact hardness, for the least resistance";
    const HEADS: &'static [&'static str] =
        &["metal", "also", "resistivity from, nΩ·m", "to, nΩ·m", "hardness from, MPa", "to, MPa"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            self.aliases.join(", "),
            cell::number(self.resistivity_low.0 * 1e9),
            cell::number(self.resistivity_high.0 * 1e9),
            cell::number(self.hardness_low.0 * 1e-6),
            cell::number(self.hardness_high.0 * 1e-6),
        ]
    }
}

/// A class of air by what it takes of a metal in the first year.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Corrosivity {
    key: String,
    /// Most carbon steel lost in the first year.
    #[serde(rename = "steel_um", deserialize_with = "read::micrometres")]
    pub steel: Metres,
    /// Most zinc lost in the first year.
    #[serde(rename = "zinc_um", deserialize_with = "read::micrometres")]
    pub zinc: Metres,
    /// Most copper lost in the first year.
    #[serde(rename = "copper_um", deserialize_with = "read::micrometres")]
    pub copper: Metres,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for Corrosivity {
    const TABLE: &'static str = "corrosivity";
    const DESCRIPTION: &'static str =
        "ISO 9223 classes of open air by the most that the first year takes";
    const HEADS: &'static [&'static str] =
        &["class", "steel, µm", "zinc, µm", "copper, µm", "note"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        let micrometres = |loss: Metres| cell::number(loss.0 * 1e6);
        vec![
            self.key.clone(),
            micrometres(self.steel),
            micrometres(self.zinc),
            micrometres(self.copper),
            self.note.clone(),
        ]
    }
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Row};

    #[test]
    fn a_harsher_class_takes_more_of_every_metal() {
        let rows: Vec<_> = Catalogue::standard().corrosivity.iter().collect();
        for pair in rows.windows(2) {
            let (mild, harsh) = (pair[0], pair[1]);
            assert!(mild.steel < harsh.steel, "{}", harsh.key());
            assert!(mild.zinc < harsh.zinc, "{}", harsh.key());
            assert!(mild.copper < harsh.copper, "{}", harsh.key());
        }
    }

    /// ISO 9223:2012 prints mass and depth of the same loss: 15 g/m² of zinc are 2.1 µm at 7.14 g/cm³,
    /// 400 g/m² of steel 50 µm at 7.86 g/cm³, 25 g/m² of copper 2.8 µm at 8.96 g/cm³.
    #[test]
    fn depths_of_loss_are_the_printed_masses_over_the_density() {
        let rows = &Catalogue::standard().corrosivity;
        for (class, zinc, steel, copper) in
            [("C3", 15.0, 400.0, 12.0), ("C4", 30.0, 650.0, 25.0), ("C5", 60.0, 1500.0, 50.0)]
        {
            let row = rows.find(class).expect("a class");
            let close = |found: f64, mass: f64, density: f64| {
                let printed = mass / density;
                assert!((found * 1e6 / printed - 1.0).abs() < 0.06, "{class}: {found} {printed}");
            };
            close(row.zinc.0, zinc, 7.14);
            close(row.steel.0, steel, 7.86);
            close(row.copper.0, copper, 8.96);
        }
    }

    #[test]
    fn every_contact_metal_has_an_anodic_index() {
        let catalogue = Catalogue::standard();
        for row in &catalogue.contact_metals {
            let words = std::iter::once(row.key()).chain(row.aliases().iter().map(String::as_str));
            for word in words {
                assert!(catalogue.anodic_groups.find(word).is_some(), "{word}");
            }
            assert!(
                row.hardness_low < row.hardness_high && row.resistivity_low <= row.resistivity_high
            );
        }
    }
}
