//! Metals that carry current, and where each stands in the galvanic order.

use serde::Deserialize;
use units::{Kelvin, OhmMetres, Volts};

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, from_fields};

/// A metal, at 20 °C.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Resistivity at 20 °C.
    #[serde(rename = "resistivity_nohm_m", deserialize_with = "read::nano_ohm_metres")]
    pub resistivity: OhmMetres,
    /// Lowest published resistivity, where sources or alloys differ.
    #[serde(rename = "lowest_nohm_m", default, deserialize_with = "read::nano_ohm_metres")]
    pub lowest: Option<OhmMetres>,
    /// Highest published resistivity, where sources or alloys differ.
    #[serde(rename = "highest_nohm_m", default, deserialize_with = "read::nano_ohm_metres")]
    pub highest: Option<OhmMetres>,
    /// Relative rise of resistance per kelvin about 20 °C.
    pub temperature_coefficient: f64,
    /// Density, in kilograms per cubic metre.
    pub density_kg_per_m3: f64,
    /// Specific heat, in joules per kilogram and kelvin.
    pub specific_heat_j_per_kg_k: f64,
    /// Temperature at which it begins to melt.
    #[serde(rename = "melting_celsius", deserialize_with = "read::celsius")]
    pub melting: Kelvin,
    /// Source of density, specific heat and melting point.
    pub thermal: Provenance,
    /// Constants for short, adiabatic heating, where the standard gives them.
    pub iec_60949: Option<AdiabaticConstants>,
    /// Anodic index against gold; a larger number corrodes first.
    #[serde(rename = "anodic_index_v", default, deserialize_with = "read::volts")]
    pub anodic_index: Option<Volts>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Source of resistivity and temperature coefficient.
    pub provenance: Provenance,
}

/// Constants of the adiabatic heating law of IEC 60949.
///
/// ```text
/// I² t = K² S² ln((β + θ_final) / (β + θ_initial))        I in A, S in mm², θ in °C
/// K² = Q_c (β + 20) / ρ₂₀
/// ```
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AdiabaticConstants {
    /// K, in A·√s/mm².
    pub k: f64,
    /// Reciprocal of the temperature coefficient at 0 °C (β), in kelvin.
    pub beta: f64,
    /// Heat capacity by volume (`Q_c`), in joules per cubic millimetre and kelvin.
    pub heat_j_per_mm3_k: f64,
    /// Resistivity that the standard uses, which is its own for steel and lead.
    #[serde(rename = "resistivity_nohm_m", deserialize_with = "read::nano_ohm_metres")]
    pub resistivity: OhmMetres,
    /// Where the constants come from.
    pub provenance: Provenance,
}

impl Row for Material {
    const TABLE: &'static str = "materials";
    const DESCRIPTION: &'static str = "Metals at 20 °C: resistivity, how it rises with temperature, heat and melting, anodic index";
    const HEADS: &'static [&'static str] = &[
        "material",
        "resistivity, nΩ·m",
        "from",
        "to",
        "temperature coefficient, /K",
        "density, kg/m³",
        "specific heat, J/(kg·K)",
        "melts at, °C",
        "K, A·√s/mm²",
        "anodic index, V",
        "note",
    ];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        let nano = |resistivity: OhmMetres| resistivity.0 * 1e9;
        vec![
            self.key.clone(),
            cell::number(nano(self.resistivity)),
            cell::optional(self.lowest.map(nano)),
            cell::optional(self.highest.map(nano)),
            cell::number(self.temperature_coefficient),
            cell::number(self.density_kg_per_m3),
            cell::number(self.specific_heat_j_per_kg_k),
            cell::number(self.melting.celsius()),
            cell::optional(self.iec_60949.as_ref().map(|constants| constants.k)),
            cell::optional(self.anodic_index.map(|index| index.0)),
            self.note.clone(),
        ]
    }
}

/// A group of metals and finishes with one anodic index.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AnodicGroup {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Anodic index against gold; a larger number corrodes first.
    #[serde(rename = "index_v", deserialize_with = "read::volts")]
    pub index: Volts,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for AnodicGroup {
    const TABLE: &'static str = "anodic-groups";
    const DESCRIPTION: &'static str =
        "Anodic index of metals and finishes against gold; of two that touch, the larger corrodes";
    const HEADS: &'static [&'static str] = &["metal or finish", "also", "index, V"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![self.key.clone(), self.aliases.join(", "), cell::number(self.index.0)]
    }
}

/// The difference of anodic index that an environment allows.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GalvanicAllowance {
    key: String,
    /// Largest difference of anodic index between two bare metals that touch.
    #[serde(rename = "difference_v", deserialize_with = "read::volts")]
    pub difference: Volts,
    /// What the environment is.
    pub environment: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for GalvanicAllowance {
    const TABLE: &'static str = "galvanic-allowances";
    const DESCRIPTION: &'static str =
        "Difference of anodic index that is taken as acceptable between metals that touch";
    const HEADS: &'static [&'static str] = &["severity", "environment", "difference, V"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![self.key.clone(), self.environment.clone(), cell::number(self.difference.0)]
    }
}

#[cfg(test)]
mod published {
    use crate::Catalogue;

    /// The factor k, in A·√s/mm², between two temperatures of the conductor (IEC 60364-5-54 Annex A).
    fn k(material: &str, initial: f64, last: f64) -> f64 {
        let row = Catalogue::standard().materials.find(material).expect(material);
        let constants = row.iec_60949.as_ref().expect(material);
        let root = constants.heat_j_per_mm3_k * (constants.beta + 20.0);
        let rise = ((constants.beta + last) / (constants.beta + initial)).ln();
        (root / (constants.resistivity.0 * 1e3) * rise).sqrt()
    }

    /// IEC 60364-5-54 (NEN 1010 clause 543, BS 7671 tables 43.1 and 54.2 to 54.5), whole numbers.
    #[test]
    fn k_factors_agree_with_iec_60364_5_54() {
        let printed = [
            ("copper", 70.0, 160.0, 115.0),
            ("copper", 70.0, 140.0, 103.0),
            ("copper", 90.0, 250.0, 143.0),
            ("copper", 85.0, 220.0, 134.0),
            ("copper", 30.0, 160.0, 143.0),
            ("copper", 30.0, 500.0, 228.0),
            ("aluminium", 70.0, 160.0, 76.0),
            ("aluminium", 90.0, 250.0, 94.0),
            ("aluminium", 30.0, 250.0, 116.0),
            ("carbon steel", 30.0, 160.0, 52.0),
            ("carbon steel", 30.0, 500.0, 82.0),
            ("carbon steel", 60.0, 200.0, 51.0),
            ("lead", 60.0, 200.0, 26.0),
            ("lead", 80.0, 200.0, 23.0),
        ];
        for (material, initial, last, expected) in printed {
            let computed = k(material, initial, last);
            assert!((computed - expected).abs() < 0.65, "{material} {initial}: {computed}");
        }
    }

    /// IEC 60028: 10.371 Ω·cmil/ft; at 100 °C 1.3144 times as much.
    #[test]
    fn annealed_copper_is_the_international_standard() {
        let copper = Catalogue::standard().materials.find("copper").expect("listed");
        let foot_mil = copper.resistivity.0 * 0.3048 / units::size::SQUARE_METRES_PER_CIRCULAR_MIL;
        assert!((foot_mil / 10.371 - 1.0).abs() < 1e-4, "{foot_mil}");
        assert!((1.0 + copper.temperature_coefficient * 80.0 - 1.3144).abs() < 1e-4);
    }

    /// Conductor temperature factors to 20 °C: 1.064, 0.962, 0.893, 0.781 at 5, 30, 50, 90 °C.
    #[test]
    fn copper_temperature_factors_agree_with_cable_tables() {
        let copper = Catalogue::standard().materials.find("copper").expect("listed");
        for (celsius, printed) in [(5.0, 1.064), (30.0, 0.962), (50.0, 0.893), (90.0, 0.781)] {
            let factor = 1.0 / (1.0 + copper.temperature_coefficient * (celsius - 20.0));
            // The tables use a coefficient of 0.004.
            assert!((factor / printed - 1.0).abs() < 5e-3, "{celsius}: {factor}");
        }
    }

    /// Dellinger 1911: the coefficient of copper is in proportion to its conductivity.
    #[test]
    fn tinned_copper_gains_as_many_ohms_per_kelvin_as_plain() {
        let materials = &Catalogue::standard().materials;
        let slope = |key| {
            let row = materials.find(key).expect(key);
            row.resistivity.0 * row.temperature_coefficient
        };
        assert!((slope("tinned copper") / slope("copper") - 1.0).abs() < 5e-3);
    }

    /// Difference between copper and steel 0.50 V, tin plate and steel 0.20 V.
    #[test]
    fn copper_on_steel_is_half_a_volt_of_anodic_index() {
        let catalogue = Catalogue::standard();
        let index = |key| catalogue.anodic_groups.find(key).expect(key).index.0;
        assert!((index("carbon steel") - index("copper") - 0.50).abs() < 1e-9);
        assert!((index("carbon steel") - index("tin plate") - 0.20).abs() < 1e-9);
    }
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Row};

    /// IEC 60949: K is 226 for copper, 148 for aluminium, 78 for steel, 41 for lead.
    #[test]
    fn k_follows_from_the_other_constants_of_its_row() {
        for row in &Catalogue::standard().materials {
            if let Some(c) = &row.iec_60949 {
                let root = c.heat_j_per_mm3_k * (c.beta + 20.0) / (c.resistivity.0 * 1e3);
                assert!((root.sqrt() - c.k).abs() < 0.5, "{}", row.key());
            }
        }
    }

    #[test]
    fn every_range_of_resistivity_holds_its_value() {
        for row in &Catalogue::standard().materials {
            assert!(row.lowest.is_none_or(|low| low <= row.resistivity), "{}", row.key());
            assert!(row.highest.is_none_or(|high| row.resistivity <= high), "{}", row.key());
        }
    }

    #[test]
    fn a_metal_has_the_anodic_index_of_a_group() {
        let catalogue = Catalogue::standard();
        for row in &catalogue.materials {
            if let Some(index) = row.anodic_index {
                let listed = catalogue
                    .anodic_groups
                    .iter()
                    .any(|group| (group.index - index).abs() < units::Volts(1e-9));
                assert!(listed, "{}", row.key());
            }
        }
    }
}
