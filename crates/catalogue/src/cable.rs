//! Conductor sizes whose areas or resistances are tabulated: metric cable, SAE gauges, braids.

use units::{Metres, Ohms, SquareMetres};

use crate::read::table;

table! {
    /// A metric size of flexible cable of conductor class 5.
    FlexibleCable "flexible-cables"
        "IEC 60228 class 5 flexible copper conductors: highest resistance at 20 °C"
        "size";
    /// Nominal area, by which the size is named.
    pub area: SquareMetres = SQUARE_MILLIMETRES "area_mm2";
    /// Highest resistance of one metre at 20 °C, plain annealed copper.
    pub plain: Ohms = MILLIOHMS "plain_ohm_per_km" => "plain, mΩ/m";
    /// Highest resistance of one metre at 20 °C, tinned copper.
    pub tinned: Ohms = MILLIOHMS "tinned_ohm_per_km" => "tinned, mΩ/m";
}

table! {
    /// A metric size of road-vehicle cable.
    RoadVehicleCable "road-vehicle-cables"
        "ISO 6722-1 thin-wall road-vehicle cables: highest resistance at 20 °C, outer diameter"
        "size";
    /// Nominal area, by which the size is named.
    pub area: SquareMetres = SQUARE_MILLIMETRES "area_mm2";
    /// Highest resistance of one metre at 20 °C, bare copper.
    pub bare: Ohms = MILLIOHMS "bare_ohm_per_km" => "bare, mΩ/m";
    /// Highest resistance of one metre at 20 °C, tinned copper.
    pub tinned: Ohms = MILLIOHMS "tinned_ohm_per_km" => "tinned, mΩ/m";
    /// Largest outer diameter over thin-wall insulation.
    pub outer_diameter: Metres = MILLIMETRES "outer_diameter_mm" => "outer diameter, mm";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

table! {
    /// A gauge of the SAE cable standards.
    SaeGauge "sae-gauges"
        "SAE cable gauges (J1127, J1128): least metal area, 3 to 11 % below the same AWG number"
        "size";
    /// Gauge number, where 1/0, 2/0, 3/0 and 4/0 are 0, −1, −2 and −3.
    pub number: i32 = PLAIN;
    /// Least metal area.
    pub least_area: SquareMetres = CIRCULAR_MILS_AS_SQUARE_MILLIMETRES "least_area_cmil" => "least area, mm²";
    /// The metric size that service manuals pair with it; by convention, not by area.
    pub paired: Option<SquareMetres> = SQUARE_MILLIMETRES "paired_mm2" => "metric size paired with it, mm²";
}

table! {
    /// A construction of braid, such as 24-16-36.
    Braid "braids"
        "Copper braids by construction: carriers, ends of each, gauge of the strand, metal area"
        "construction";
    /// Number of carriers.
    pub carriers: u32 = PLAIN => "carriers";
    /// Number of strands on each carrier.
    pub ends: u32 = PLAIN => "ends";
    strand: i32 = PLAIN "strand_awg" => "strand, AWG";
    /// Sum of the areas of the strands.
    pub area: SquareMetres = SQUARE_MILLIMETRES "area_mm2" => "area, mm²";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

/// Sum of the areas of the strands of a braid, by its construction code (A-A-59569): carriers, ends of
/// each, gauge of the strand.
#[cfg(test)]
fn braid_area(carriers: u32, ends: u32, gauge: i32) -> SquareMetres {
    let strand = crate::AwgNumber::new(gauge).expect("a gauge");
    crate::awg_area(strand) * (f64::from(carriers) * f64::from(ends))
}

#[cfg(test)]
mod published {
    use super::braid_area;
    use crate::Catalogue;
    use units::size::SQUARE_METRES_PER_CIRCULAR_MIL;

    /// IEC 60228:2004 class 5, plain and tinned, in Ω/km.
    #[test]
    fn class_5_rows_are_those_of_iec_60228() {
        let rows = [
            ("0.5 mm²", 39.0, 40.1),
            ("0.75 mm²", 26.0, 26.7),
            ("1 mm²", 19.5, 20.0),
            ("1.5 mm²", 13.3, 13.7),
            ("2.5 mm²", 7.98, 8.21),
            ("4 mm²", 4.95, 5.09),
            ("6 mm²", 3.3, 3.39),
            ("10 mm²", 1.91, 1.95),
            ("16 mm²", 1.21, 1.24),
            ("25 mm²", 0.78, 0.795),
            ("35 mm²", 0.554, 0.565),
            ("50 mm²", 0.386, 0.393),
            ("70 mm²", 0.272, 0.277),
            ("95 mm²", 0.206, 0.21),
            ("120 mm²", 0.161, 0.164),
            ("150 mm²", 0.129, 0.132),
            ("185 mm²", 0.106, 0.108),
            ("240 mm²", 0.0801, 0.0817),
            ("300 mm²", 0.0641, 0.0654),
            ("400 mm²", 0.0486, 0.0495),
        ];
        assert_eq!(Catalogue::standard().flexible_cables.len(), rows.len());
        for (key, plain, tinned) in rows {
            let row = Catalogue::standard().flexible_cables.find(key).expect(key);
            assert!((row.plain.0 * 1e3 - plain).abs() < 1e-9, "{key}");
            assert!((row.tinned.0 * 1e3 - tinned).abs() < 1e-9, "{key}");
        }
    }

    #[test]
    fn a_class_5_maximum_is_10_to_16_percent_above_solid_copper() {
        let catalogue = Catalogue::standard();
        let copper = catalogue.materials.find("copper").expect("copper is a material");
        for row in catalogue.flexible_cables.iter() {
            let allowance = row.plain.0 * row.area.0 / copper.resistivity.0;
            assert!((1.10..1.16).contains(&allowance), "{row:?}: {allowance}");
        }
    }

    /// SAE areas are 3 to 11 % below those of the same AWG number.
    #[test]
    fn an_sae_gauge_is_smaller_than_the_same_awg() {
        for row in Catalogue::standard().sae_gauges.iter() {
            let awg = crate::awg_area(crate::AwgNumber::new(row.number).expect("a gauge"));
            let ratio = row.least_area / awg;
            // Gauges 20 and 22 are recalled, and 22 comes out on its AWG area.
            let highest = if row.number >= 20 { 1.0 } else { 0.975 };
            assert!((0.89..=highest).contains(&ratio), "{}: {ratio}", row.number);
        }
    }

    /// Trade stranding 16/30 for SAE 18 and braid 48-32-30: 1608 and 154 374 circular mils.
    #[test]
    fn sixteen_strands_of_thirty_gauge_make_1608_circular_mils() {
        let cmil = |area: units::SquareMetres| area.0 / SQUARE_METRES_PER_CIRCULAR_MIL;
        assert!((cmil(braid_area(16, 1, 30)) / 1608.0 - 1.0).abs() < 2e-3);
        assert!((cmil(braid_area(48, 32, 30)) / 154_374.0 - 1.0).abs() < 2e-3);
    }
}

#[cfg(test)]
mod laws {
    use super::braid_area;
    use crate::Catalogue;

    #[test]
    fn every_braid_has_the_area_of_its_strands() {
        for row in Catalogue::standard().braids.iter() {
            let area = braid_area(row.carriers, row.ends, row.strand);
            assert!((row.area / area - 1.0).abs() < 5e-3, "{row:?}");
        }
    }
}
