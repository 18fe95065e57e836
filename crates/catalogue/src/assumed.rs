//! Single values that are taken where nobody says better: each a row with its reason, and a field with
//! its quantity.
//!
//! The rows are for people, who look them up like any other table. Whoever computes takes the field: a
//! value that is missing, or stands in another unit than its field, is found when the tables are read.

use std::sync::LazyLock;

use serde::Deserialize;
use units::{Coulombs, JoulesPerKelvin, Metres, Ohms, Ratio, SquareMetres, Volts};

use crate::cell;
use crate::provenance::Provenance;
use crate::row::{Row, Rows, from_fields};
use crate::standard::Catalogue;

/// A quantity that a row may hold, in the one unit in which such rows state it.
trait Assumed: Sized {
    const UNIT: &'static str;
    fn made(value: f64) -> Self;
}

macro_rules! assumed_units {
    ($($quantity:ident $unit:literal $make:expr;)*) => {$(
        impl Assumed for $quantity {
            const UNIT: &'static str = $unit;
            fn made(value: f64) -> Self {
                $make(value)
            }
        }
    )*};
}

assumed_units! {
    Ratio "" Ratio;
    Volts "V" Volts;
    Ohms "Ω" Ohms;
    Metres "m" Metres;
    SquareMetres "mm²" SquareMetres::from_mm2;
    JoulesPerKelvin "J/K" JoulesPerKelvin;
    Coulombs "A·h" Coulombs::from_ampere_hours;
}

macro_rules! assumed {
    (
        $(#[$rows_doc:meta])* $values:ident,
        $(#[$row_doc:meta])* $row:ident $table:literal $description:literal from $rows:ident;
        $($(#[$doc:meta])* $field:ident: $quantity:ident,)*
    ) => {
        $(#[$row_doc])*
        #[derive(Debug, Clone, PartialEq, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $row {
            key: String,
            value: f64,
            #[serde(default)]
            unit: String,
            why: String,
            /// Where the row comes from.
            pub provenance: Provenance,
        }

        impl Row for $row {
            const TABLE: &'static str = $table;
            const DESCRIPTION: &'static str = $description;
            const HEADS: &'static [&'static str] = &["what", "value", "unit", "why"];

            from_fields!(key: str, provenance: Provenance);

            fn cells(&self) -> Vec<String> {
                let value = cell::number(self.value);
                vec![self.key.clone(), value, self.unit.clone(), self.why.clone()]
            }
        }

        $(#[$rows_doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $values {
            $($(#[$doc])* pub $field: $quantity,)*
        }

        impl $values {
            /// The values that ship with the program.
            #[must_use]
            pub fn standard() -> &'static Self {
                static STANDARD: LazyLock<$values> = LazyLock::new(|| {
                    $values::of(&Catalogue::standard().$rows)
                        .expect("a test finds a row of the right unit for every field")
                });
                &STANDARD
            }

            /// The values of some rows; nothing where one is missing or has another unit.
            fn of(rows: &Rows<$row>) -> Option<Self> {
                Some(Self { $($field: {
                    let row = rows.find(&stringify!($field).replace('_', " "))?;
                    (row.unit == <$quantity as Assumed>::UNIT)
                        .then(|| <$quantity as Assumed>::made(row.value))?
                },)* })
            }

            #[cfg(test)]
            const FIELDS: &'static [&'static str] = &[$(stringify!($field)),*];
        }
    };
}

assumed! {
    /// Chances before any reading, the factors and spreads by which readings are weighed, the harm of what fails, and
    /// what joints hold of heat.
    Judgements,
    /// A chance, factor, spread or harm with its reason.
    Judgement "judgements" "Chances and factors of our judgement: how likely things are at fault, how far they spread, how much harm they do" from judgements;
    /// Chance that a joint is bad of which nothing is known, inland.
    joint_bad: Ratio,
    /// The most of that chance, whatever its place, kind and protection say against it.
    joint_bad_at_most: Ratio,
    /// Chance that a joint is bad of which the file states a resistance that is bad for its kind.
    joint_stated_bad: Ratio,
    /// How many times as likely a joint is bad of which the file says that nothing protects it.
    joint_unprotected_times: Ratio,
    /// How many times as likely a joint is bad of which the file says what protects it.
    joint_protected_times: Ratio,
    /// How many times as likely a joint is bad that is stated above the clean range of its kind.
    joint_above_clean_times: Ratio,
    /// How many times as likely a joint is bad that is stated within the clean range of its kind.
    joint_within_clean_times: Ratio,
    /// What a joint costs of a 12 V vehicle at the largest current that it carries in any state from which it is bad.
    bad_drop_12_v: Volts,
    /// Spread of a resistance that the file states.
    stated_spread: Ratio,
    /// Spread of a resistance that the file states of a joint that is bad at it.
    stated_bad_spread: Ratio,
    /// Spread of a conductor's resistance.
    conductor_spread: Ratio,
    /// Spread of the resistance of a structure's metal.
    structure_spread: Ratio,
    /// Spread of the resistance of a fuse's or a switch's contacts.
    inline_spread: Ratio,
    /// Spread of what a load draws.
    draw_spread: Ratio,
    /// Spread of what a starter draws.
    starter_draw_spread: Ratio,
    /// Spread of a 12 V battery's voltage at rest.
    battery_rest_spread_12_v: Volts,
    /// Spread of a battery's resistance.
    battery_spread: Ratio,
    /// Spread of what a 12 V regulator holds.
    regulator_spread_12_v: Volts,
    /// Middle of the logarithm of how many times the resistance from which it is bad a bad piece has.
    bad_multiple_middle: Ratio,
    /// Spread of that logarithm.
    bad_multiple_spread: Ratio,
    /// Chance that a conductor has rotted.
    conductor_rotten: Ratio,
    /// Chance that the contacts of a fuse or switch are bad.
    inline_bad: Ratio,
    /// Chance that a conductor is open.
    conductor_open: Ratio,
    /// Chance that a motor draws too much; a third of it for other loads.
    load_drags: Ratio,
    /// Chance that a load does not draw.
    load_open: Ratio,
    /// Chance that a battery is discharged.
    battery_low: Ratio,
    /// Chance that a battery is worn.
    battery_worn: Ratio,
    /// Chance that a regulated source holds too little.
    source_low: Ratio,
    /// What a 12 V alternator at fault holds more.
    source_low_middle_12_v: Volts,
    /// Spread of that.
    source_low_spread_12_v: Volts,
    /// Chance that two bodies are joined by a path that the file lacks.
    extra_path: Ratio,
    /// Middle of the logarithm of such a path in ohms.
    extra_path_middle: Ratio,
    /// Spread of that logarithm.
    extra_path_spread: Ratio,
    /// Share of the bad joints that have a hundred times the resistance of a sound one; the rest have ten times.
    worn_hundredfold: Ratio,
    /// Share of the bad joints that are open.
    joint_open: Ratio,
    /// How many times as likely as others of its kind a joint that is bad already gets worse.
    bad_joint_worsens_times: Ratio,
    /// The most of that chance.
    bad_joint_worsens_at_most: Ratio,
    /// Chance that a conductor is broken through.
    conductor_broken: Ratio,
    /// Chance that a conductor is worn to a tenth of its strands.
    conductor_frayed_tenfold: Ratio,
    /// Chance that a conductor is worn to a hundredth of its strands.
    conductor_frayed_hundredfold: Ratio,
    /// How many times as likely a braid outside wears.
    braid_outside_times: Ratio,
    /// Chance that a fuse is blown or its clips burnt.
    fuse_blown: Ratio,
    /// Chance that a battery has a broken link or a clamp off.
    battery_lost: Ratio,
    /// Chance that an alternator or other source is dead.
    source_lost: Ratio,
    /// Harm of a conductor that melts.
    harm_conductor_melts: Ratio,
    /// Harm of a conductor that passes its limit.
    harm_conductor_past_limit: Ratio,
    /// Harm of a conductor that would pass its limit if the state lasted longer than usual.
    harm_conductor_near_limit: Ratio,
    /// Harm of an incidental path that carries what it just does not bear.
    harm_path: Ratio,
    /// How many times that at most, for more current.
    harm_path_at_most_times: Ratio,
    /// Harm of a joint that melts and makes much heat.
    harm_joint_melts: Ratio,
    /// Harm of a joint that is too hot and makes much heat.
    harm_joint_hot: Ratio,
    /// The least part of that, for little heat.
    harm_joint_least_part: Ratio,
    /// Harm of a vital load lost.
    harm_load_vital: Ratio,
    /// Harm of an ordinary load lost.
    harm_load_ordinary: Ratio,
    /// Harm of a comfort lost.
    harm_load_comfort: Ratio,
    /// Part of that where a load is only below its minimum.
    harm_load_low_part: Ratio,
    /// Part of the harm of each load that counts beside the worst that fails with it.
    harm_further_load_part: Ratio,
    /// Harm of a fuse above its rating.
    harm_fuse_over_rating: Ratio,
    /// Harm of a battery that gives more than its part.
    harm_battery_unfair: Ratio,
    /// Harm of a network that cannot settle.
    harm_unsettled: Ratio,
    /// So much of its cable holds as much heat as a lug and its bolt.
    lug_holds_as_cable: Metres,
    /// Heat that a battery clamp holds.
    clamp_holds: JoulesPerKelvin,
    /// Heat that the case of a device holds about its mounting.
    case_holds: JoulesPerKelvin,
    /// Copper of a cable that carries heat off a joint where the file gives no size.
    joint_unknown_cable: SquareMetres,
}

assumed! {
    /// What is taken where a file is silent.
    Defaults,
    /// A value that is taken where a file is silent, with its reason.
    Default "defaults" "What is taken where a file is silent" from defaults;
    /// Radius of a lug or washer seat on sheet metal, for the spreading of current around it.
    seat_radius: Metres,
    /// Distance taken between fixings on a shell where their places are not given.
    shell_distance: Metres,
    /// Resistance between two points of a body of metal about which nothing is said.
    body: Ohms,
    /// Share of the space between strands that is metal.
    strand_fill: Ratio,
    /// Thickness of thin-wall insulation on a conductor without metal.
    insulation_base: Metres,
    /// How much thicker thin-wall insulation gets with the diameter of the metal.
    insulation_slope: Ratio,
    /// The thinnest insulation.
    insulation_thinnest: Metres,
    /// The thickest insulation.
    insulation_thickest: Metres,
    /// Heat that one cubic metre of plastic insulation takes for one kelvin.
    insulation_heat: JoulesPerKelvin,
    /// Regulated voltage of a 12 V system at 25 °C.
    regulated_12_v: Volts,
    /// Output voltage of a converter for 12 V loads.
    converter_12_v: Volts,
    /// Fall of a regulator's voltage from nothing to full output, on 12 V.
    regulator_fall_12_v: Volts,
    /// Output of an alternator at idle over its rated output.
    idle_share: Ratio,
    /// Efficiency of a converter.
    converter_efficiency: Ratio,
    /// Capacity taken for a battery without one.
    battery_capacity: Coulombs,
    /// State of charge taken for a battery without one.
    battery_charge: Ratio,
    /// Voltage of a 12 V battery at rest from which the cold cranking test begins.
    battery_rested_12_v: Volts,
    /// Voltage that a 12 V battery holds at its cold cranking current, −18 °C.
    battery_cranking_12_v: Volts,
    /// Resistance of a battery at −18 °C over that of 25 °C.
    cold_resistance_times: Ratio,
    /// Least share of its capacity an hour that a battery accepts at the regulated voltage; as much as is missing where that is more.
    least_acceptance: Ratio,
    /// Voltage lost in a fuse at its rating.
    fuse_drop: Volts,
    /// Resistance of a fuse or link about which nothing is known.
    fuse: Ohms,
    /// Resistance of a diode above its forward voltage.
    diode: Ohms,
    /// Forward voltage of a diode at low current.
    diode_drop: Volts,
    /// Share of a starter's current that follows the voltage; the rest is set by torque.
    starter_follows: Ratio,
    /// Stall current of a starter over its cranking current at the same voltage.
    starter_stall_times: Ratio,
    /// First current of a preheat plug over its settled one.
    preheat_cold_times: Ratio,
    /// Conductors at least this thick end in bolted lugs, thinner ones in pins and spades.
    lug_from: SquareMetres,
}

#[cfg(test)]
mod laws {
    use super::*;

    #[test]
    fn every_field_has_a_row_of_its_unit_and_every_row_a_field() {
        let catalogue = Catalogue::standard();
        assert!(Judgements::of(&catalogue.judgements).is_some());
        assert!(Defaults::of(&catalogue.defaults).is_some());
        let named = |fields: &[&str]| -> Vec<String> {
            fields.iter().map(|field| field.replace('_', " ")).collect()
        };
        let keys: Vec<&str> = catalogue.judgements.keys().collect();
        assert_eq!(keys, named(Judgements::FIELDS));
        let keys: Vec<&str> = catalogue.defaults.keys().collect();
        assert_eq!(keys, named(Defaults::FIELDS));
    }

    #[test]
    fn every_value_says_why() {
        let tables =
            [Catalogue::standard().judgements.table(), Catalogue::standard().defaults.table()];
        for table in tables {
            for row in table.rows {
                assert!(row.cells[3].len() > 5, "{}", row.cells[0]);
            }
        }
    }

    #[test]
    fn a_row_that_is_missing_or_has_another_unit_makes_no_values() {
        let read = |unit: &str| {
            let text = include_str!("../data/defaults.toml");
            crate::read::rows(&text.replacen("unit = \"m\"", unit, 1)).expect("readable")
        };
        assert!(Defaults::of(&read("unit = \"m\"")).is_some());
        assert_eq!(Defaults::of(&read("unit = \"mm\"")), None);
        assert_eq!(Defaults::of(&read("")), None);
        assert_eq!(Defaults::of(&Rows::new(Vec::new())), None);
    }
}
