//! The voltages across a contact at which its hottest place softens and melts.

use units::Volts;

use crate::read::table;

table! {
    /// Softening and melting of the hottest place of a contact of one metal.
    ContactVoltage "contact-voltages"
        "Voltage across a contact at which its hottest place softens and melts, by metal"
        "metal";
    /// Lasting voltage across the contact at which its hottest place softens.
    pub softening: Volts = VOLTS "softening_v" => "softens at, V";
    /// Voltage at which it melts.
    pub melting: Volts = VOLTS "melting_v" => "melts at, V";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Row};

    #[test]
    fn a_contact_softens_before_it_melts() {
        for row in Catalogue::standard().contact_voltages.iter() {
            assert!(row.softening < row.melting, "{}", row.key());
        }
    }

    /// Kohlrausch's law from 20 °C, U² = 4 L (T² − T₀²), against the melting points of the metals:
    /// within a quarter, for L itself differs from metal to metal (nickel is 22 % off).
    #[test]
    fn melting_voltages_agree_with_melting_points() {
        let catalogue = Catalogue::standard();
        let mut compared = 0;
        for row in catalogue.contact_voltages.iter() {
            let Some(metal) = catalogue.materials.find(row.key()) else { continue };
            let square = metal.melting.0.powi(2) - 293.15_f64.powi(2);
            let law = (4.0 * 2.44e-8 * square).sqrt();
            assert!((row.melting.0 / law - 1.0).abs() < 0.25, "{} {law}", row.key());
            compared += 1;
        }
        assert!(compared >= 3, "{compared}");
    }
}
