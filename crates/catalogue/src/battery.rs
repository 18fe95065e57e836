//! Batteries: voltage at rest, resistance, cold, and what the cranking ratings mean.

use units::{Kelvin, Ohms, Ratio, Seconds, Volts};

use crate::provenance::Provenance;
use crate::read::table;
use crate::row::Rows;

table! {
    /// Voltage of a rested battery at one state of charge.
    RestedVoltage "rested-voltages"
        "Open-circuit voltage of rested 12 V batteries against state of charge, 25 °C"
        "key";
    /// Chemistry: `flooded`, `agm`, `gel`, `lithium iron phosphate`.
    pub chemistry: String = PLAIN => "chemistry";
    /// State of charge.
    pub charge: Ratio = PERCENT "charge_percent" => "charge, %";
    /// Open-circuit voltage of a battery of the 12 V class (six lead cells, or four of lithium).
    pub open_circuit: Volts = VOLTS "open_circuit_v" => "volts";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

/// Open-circuit voltage at a state of charge, by straight lines between the rows of a chemistry.
///
/// Below the lowest and above the highest row the voltage of that row is held. The provenance is
/// that of the less sure of the two rows.
pub(crate) fn open_circuit<'a>(
    rows: &'a Rows<RestedVoltage>,
    chemistry: &str,
    charge: Ratio,
) -> Option<(Volts, &'a Provenance)> {
    let chemistry = chemistry.to_lowercase();
    let mut below: Option<&RestedVoltage> = None;
    let mut above: Option<&RestedVoltage> = None;
    for row in rows.iter().filter(|row| row.chemistry == chemistry) {
        if row.charge <= charge && below.is_none_or(|best| best.charge < row.charge) {
            below = Some(row);
        }
        if charge <= row.charge && above.is_none_or(|best| row.charge < best.charge) {
            above = Some(row);
        }
    }
    let (below, above) = (below.or(above)?, above.or(below)?);
    let span = (above.charge - below.charge).0;
    let share = if span > 0.0 { (charge - below.charge).0 / span } else { 0.0 };
    let volts = below.open_circuit + share * (above.open_circuit - below.open_circuit);
    let sure = if above.provenance.confidence < below.provenance.confidence {
        &below.provenance
    } else {
        &above.provenance
    };
    Some((volts, sure))
}

table! {
    /// Ohmic resistance to expect of a sound, charged battery of the 12 V class.
    BatteryResistance "battery-resistances"
        "Ohmic resistance to expect of sound, charged 12 V batteries; no published table was found"
        "chemistry";
    /// Lowest, warm.
    pub low: Option<Ohms> = MILLIOHMS "low_mohm" => "from, mΩ";
    /// Highest, warm.
    pub high: Option<Ohms> = MILLIOHMS "high_mohm" => "to, mΩ";
    /// To be taken for a battery of 80 A·h of which nothing else is known.
    pub typical: Ohms = OHMS_AS_MILLIOHMS "typical_ohm" => "typical of 80 A·h, mΩ";
    /// Share of its capacity an hour that it accepts at the regulated voltage; what is missing of its
    /// charge where the row does not say.
    pub acceptance: Option<Ratio> = RATIO => "accepts, share an hour";
    /// How much the plates of six lead cells, or four of lithium, polarise.
    pub polarisation: Volts = VOLTS "polarisation_v" => "polarises, V";
    /// Volts lost in the warm resistance at the exchange current of the plates.
    pub knee: Volts = VOLTS "knee_v" => "knee, V";
    /// Resistance at −18 °C over that of 20 °C.
    pub cold_times: Ratio = RATIO => "times at −18 °C";
    /// What it holds for.
    pub holds_for: String = PLAIN => "holds for";
}

table! {
    /// What cold leaves of a fully charged lead-acid battery.
    ColdCapacity "cold-capacity"
        "Cranking ability of a fully charged lead-acid battery against temperature"
        "temperature";
    /// Temperature of the electrolyte.
    pub temperature: Kelvin = CELSIUS "temperature_celsius";
    /// Share of the cranking ability at 26.7 °C.
    pub remains: Ratio = PERCENT "remains_percent" => "remains, %";
}

/// The least that is taken of a battery's cranking ability: no row speaks of such cold.
const LEAST_ABILITY: f64 = 0.05;

/// Cranking ability at a temperature, by straight lines between the rows, which stand from warm to cold: that
/// of the warmest row above it, the last line prolonged below the coldest.
pub(crate) fn cranking_ability(rows: &Rows<ColdCapacity>, temperature: Kelvin) -> Ratio {
    let mut line: Option<(&ColdCapacity, &ColdCapacity)> = None;
    let mut before: Option<&ColdCapacity> = None;
    for row in rows.iter() {
        if let Some(before) = before
            && (line.is_none() || temperature < before.temperature)
        {
            line = Some((before, row));
        }
        before = Some(row);
    }
    let Some((warm, cold)) = line else { return Ratio(1.0) };
    let span = warm.temperature.0 - cold.temperature.0;
    let share = ((temperature.0 - cold.temperature.0) / span).min(1.0);
    let remains = cold.remains.0 + share * (warm.remains.0 - cold.remains.0);
    Ratio(remains.max(LEAST_ABILITY))
}

table! {
    /// What a cranking rating of a 12 V battery promises.
    CrankingRating "cranking-ratings"
        "What the cranking ratings of 12 V batteries promise; their amperes do not compare"
        "rating";
    /// Temperature of the test.
    pub temperature: Kelvin = CELSIUS "temperature_celsius" => "at, °C";
    /// The current drawn.
    pub current: String = PLAIN => "current";
    /// When the voltage is read.
    pub after: Seconds = SECONDS "after_s" => "after, s";
    /// The voltage it must still have.
    pub least: Volts = VOLTS "least_v" => "volts at least";
    /// What else it must do.
    pub note: String = MAY_LACK => "note";
}

table! {
    /// Least voltage of a 12 V battery in the half-rating load test.
    LoadTestMinimum "load-test-minima"
        "Least voltage of a 12 V battery after 15 s at half its cold-cranking current, at least 75 % charged"
        "temperature";
    /// Temperature of the electrolyte.
    pub temperature: Kelvin = CELSIUS "temperature_celsius";
    /// Voltage it must still have after 15 s at half its cold-cranking current.
    pub least: Volts = VOLTS "least_v" => "volts at least";
}

#[cfg(test)]
mod published {
    use crate::Catalogue;
    use units::{Ratio, Volts};

    /// BCI table: 12.65 V full, 12.24 V half; handbook fit 11.876 + 0.764 · charge within 0.02 V.
    #[test]
    fn a_flooded_battery_at_rest_follows_the_bci_table() {
        let catalogue = Catalogue::standard();
        let at = |charge| catalogue.open_circuit("flooded", Ratio(charge)).expect("listed").0;
        assert!((at(1.0) - Volts(12.65)).abs() < Volts(1e-9));
        assert!((at(0.5) - Volts(12.24)).abs() < Volts(1e-9));
        for tenth in 0..=10 {
            let charge = f64::from(tenth) / 10.0;
            let fit = Volts(11.876 + 0.764 * charge);
            assert!((at(charge) - fit).abs() < Volts(0.02), "{charge}");
        }
    }
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Confidence};
    use units::{Kelvin, Ratio, Volts};

    #[test]
    fn voltage_at_rest_rises_with_charge_in_every_chemistry() {
        let catalogue = Catalogue::standard();
        for chemistry in ["flooded", "AGM", "gel", "lithium iron phosphate"] {
            let mut last = Volts::ZERO;
            for percent in 0..=100 {
                let charge = Ratio(f64::from(percent) / 100.0);
                let (volts, _) = catalogue.open_circuit(chemistry, charge).expect(chemistry);
                assert!(last <= volts, "{chemistry} {percent}");
                last = volts;
            }
        }
        assert_eq!(catalogue.open_circuit("nickel iron", Ratio(1.0)), None);
    }

    /// The rows themselves, and what lies between and beyond.
    #[test]
    fn cold_takes_cranking_ability_as_the_table_says() {
        let at = |celsius| Catalogue::standard().cranking_ability(Kelvin::from_celsius(celsius)).0;
        for (celsius, share) in [(40.0, 1.0), (26.7, 1.0), (0.0, 0.65), (-17.8, 0.4), (-28.8, 0.2)]
        {
            assert!((at(celsius) - share).abs() < 1e-9, "{celsius}");
        }
        assert!((at(-8.9) - 0.525).abs() < 1e-9);
        for tenth in -600..600 {
            let celsius = f64::from(tenth) / 10.0;
            assert!(at(celsius) <= at(celsius + 0.1) && at(celsius) >= 0.05, "{celsius}");
        }
    }

    #[test]
    fn lithium_voltages_are_shown_as_unconfirmed() {
        let (_, provenance) = Catalogue::standard()
            .open_circuit("lithium iron phosphate", Ratio(0.7))
            .expect("listed");
        assert_eq!(provenance.confidence, Confidence::Unconfirmed);
    }
}
