//! What faces are made of where they touch, and what the air does to them.

use units::{Metres, OhmMetres, Pascals};

use crate::read::table;

table! {
    /// A metal or plating as one face of a contact.
    ContactMetal "contact-metals"
        "Metals as faces of a contact: resistivity and contact hardness, for the least resistance"
        "metal" also "also";
    /// Lowest resistivity.
    pub resistivity_low: OhmMetres = NANO_OHM_METRES "resistivity_low_nohm_m" => "resistivity from, nΩ·m";
    /// Highest resistivity.
    pub resistivity_high: OhmMetres = NANO_OHM_METRES "resistivity_high_nohm_m" => "to, nΩ·m";
    /// Lowest contact hardness.
    pub hardness_low: Pascals = MEGAPASCALS "hardness_low_mpa" => "hardness from, MPa";
    /// Highest contact hardness.
    pub hardness_high: Pascals = MEGAPASCALS "hardness_high_mpa" => "to, MPa";
}

table! {
    /// A class of air by what it takes of a metal in the first year.
    Corrosivity "corrosivity"
        "ISO 9223 classes of open air by the most that the first year takes"
        "class";
    /// Most carbon steel lost in the first year.
    pub steel: Metres = MICROMETRES "steel_um" => "steel, µm";
    /// Most zinc lost in the first year.
    pub zinc: Metres = MICROMETRES "zinc_um" => "zinc, µm";
    /// Most copper lost in the first year.
    pub copper: Metres = MICROMETRES "copper_um" => "copper, µm";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
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
        for row in catalogue.contact_metals.iter() {
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
