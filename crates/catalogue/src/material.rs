//! Metals that carry current, and where each stands in the galvanic order.

use serde::Deserialize;
use units::{Kelvin, OhmMetres, Volts};

use crate::column;
use crate::provenance::Provenance;
use crate::read::table;

table! {
    /// A metal, at 20 °C.
    Material "materials"
        "Metals at 20 °C: resistivity, how it rises with temperature, heat and melting, anodic index"
        "material";
    /// Resistivity at 20 °C.
    pub resistivity: OhmMetres = NANO_OHM_METRES "resistivity_nohm_m" => "resistivity, nΩ·m";
    /// Lowest published resistivity, where sources or alloys differ.
    pub lowest: Option<OhmMetres> = NANO_OHM_METRES "lowest_nohm_m" => "from";
    /// Highest published resistivity, where sources or alloys differ.
    pub highest: Option<OhmMetres> = NANO_OHM_METRES "highest_nohm_m" => "to";
    /// Relative rise of resistance per kelvin about 20 °C.
    pub temperature_coefficient: f64 = NUMBER => "temperature coefficient, /K";
    /// Density, in kilograms per cubic metre.
    pub density_kg_per_m3: f64 = NUMBER => "density, kg/m³";
    /// Specific heat, in joules per kilogram and kelvin.
    pub specific_heat_j_per_kg_k: f64 = NUMBER => "specific heat, J/(kg·K)";
    /// Temperature at which it begins to melt.
    pub melting: Kelvin = CELSIUS "melting_celsius" => "melts at, °C";
    /// Source of density, specific heat and melting point.
    pub thermal: Provenance = PLAIN;
    /// Constants for short, adiabatic heating, where the standard gives them.
    pub iec_60949: Option<AdiabaticConstants> = MAY_LACK => "K, A·√s/mm²" by |row| {
        column::optional(row.iec_60949.as_ref().map(|constants| constants.k))
    };
    /// Anodic index against gold; a larger number corrodes first.
    pub anodic_index: Option<Volts> = VOLTS "anodic_index_v" => "anodic index, V";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
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
    #[serde(rename = "resistivity_nohm_m", deserialize_with = "column::nano_ohm_metres")]
    pub resistivity: OhmMetres,
    /// Where the constants come from.
    pub provenance: Provenance,
}

table! {
    /// A group of metals and finishes with one anodic index.
    AnodicGroup "anodic-groups"
        "Anodic index of metals and finishes against gold; of two that touch, the larger corrodes"
        "metal or finish" also "also";
    /// Anodic index against gold; a larger number corrodes first.
    pub index: Volts = VOLTS "index_v" => "index, V";
}

table! {
    /// The difference of anodic index that an environment allows.
    GalvanicAllowance "galvanic-allowances"
        "Difference of anodic index that is taken as acceptable between metals that touch"
        "severity";
    /// What the environment is.
    pub environment: String = PLAIN => "environment";
    /// Largest difference of anodic index between two bare metals that touch.
    pub difference: Volts = VOLTS "difference_v" => "difference, V";
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
        for row in Catalogue::standard().materials.iter() {
            if let Some(c) = &row.iec_60949 {
                let root = c.heat_j_per_mm3_k * (c.beta + 20.0) / (c.resistivity.0 * 1e3);
                assert!((root.sqrt() - c.k).abs() < 0.5, "{}", row.key());
            }
        }
    }

    #[test]
    fn every_range_of_resistivity_holds_its_value() {
        for row in Catalogue::standard().materials.iter() {
            assert!(row.lowest.is_none_or(|low| low <= row.resistivity), "{}", row.key());
            assert!(row.highest.is_none_or(|high| row.resistivity <= high), "{}", row.key());
        }
    }

    #[test]
    fn a_metal_has_the_anodic_index_of_a_group() {
        let catalogue = Catalogue::standard();
        for row in catalogue.materials.iter() {
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
