//! Single values that are taken where nobody says better: each a row with its reason, and a field with
//! its quantity.
//!
//! The rows are for people, who look them up like any other table. Whoever computes takes the field: a
//! value that is missing, or stands in another unit than its field, is found when the tables are read.

use units::{
    Amperes, Coulombs, JoulesPerKelvin, Kelvin, Metres, Ohms, Ratio, Seconds, SquareMetres, Volts,
};

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
    Amperes "A" Amperes;
    Seconds "s" Seconds;
    Kelvin "°C" Kelvin::from_celsius;
    Metres "m" Metres;
    SquareMetres "mm²" SquareMetres::from_mm2;
    JoulesPerKelvin "J/K" JoulesPerKelvin;
    Coulombs "A·h" Coulombs::from_ampere_hours;
}

macro_rules! assumed {
    (
        $(#[$rows_doc:meta])* $values:ident,
        $(#[$row_doc:meta])* $row:ident $table:literal $description:literal;
        $($(#[$doc:meta])* $field:ident: $quantity:ident,)*
    ) => {
        $crate::read::table! {
            $(#[$row_doc])*
            $row $table $description "what";
            value: f64 = NUMBER => "value";
            unit: String = MAY_LACK => "unit";
            why: String = PLAIN => "why";
        }

        $(#[$rows_doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $values {
            $($(#[$doc])* pub $field: $quantity,)*
        }

        impl $values {
            /// The values of some rows; nothing where one is missing or has another unit.
            pub(crate) fn of(rows: &$crate::row::Rows<$row>) -> Option<Self> {
                Some(Self { $($field: {
                    let row = rows.find(&stringify!($field).replace('_', " "))?;
                    (row.unit == <$quantity as $crate::assumed::Assumed>::UNIT)
                        .then(|| <$quantity as $crate::assumed::Assumed>::made(row.value))?
                },)* })
            }

            #[cfg(test)]
            pub(super) const FIELDS: &'static [&'static str] = &[$(stringify!($field)),*];
        }
    };
}

mod defaults;
mod duty;
mod faults;
mod readings;
mod repairs;
mod sights;
mod symptoms;
mod verdicts;

pub use defaults::{Default, Defaults};
pub use duty::{DutyJudgement, DutyJudgements};
pub use faults::{Judgement, Judgements};
pub use readings::{ReadingJudgement, ReadingJudgements};
pub use repairs::{RepairJudgement, RepairJudgements};
pub use sights::{SightJudgement, SightJudgements};
pub use symptoms::{SymptomJudgement, SymptomJudgements};
pub use verdicts::{VerdictJudgement, VerdictJudgements};

#[cfg(test)]
mod laws {
    use super::*;
    use crate::row::{Row, Rows};
    use crate::standard::Catalogue;

    #[test]
    fn every_field_has_a_row_of_its_unit_and_every_row_a_field() {
        let catalogue = Catalogue::standard();
        macro_rules! same {
            ($($values:ident $rows:ident;)*) => {$(
                assert!($values::of(&catalogue.$rows).is_some(), stringify!($rows));
                let named = $values::FIELDS.iter().map(|field| field.replace('_', " "));
                let keys: Vec<&str> = catalogue.$rows.keys().collect();
                assert_eq!(keys, named.collect::<Vec<_>>());
            )*};
        }
        same! {
            Judgements judgements;
            ReadingJudgements reading_judgements;
            SymptomJudgements symptom_judgements;
            SightJudgements sight_judgements;
            VerdictJudgements verdict_judgements;
            RepairJudgements repair_judgements;
            DutyJudgements duty_judgements;
            Defaults defaults;
        }
    }

    #[test]
    fn every_value_says_why() {
        for table in Catalogue::standard().tables() {
            if table.heads != Judgement::HEADS {
                continue;
            }
            for row in table.rows {
                assert!(row.cells[3].len() > 5, "{}: {}", table.name, row.cells[0]);
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
