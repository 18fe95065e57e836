//! Where a vehicle lives, and what that does to its joints.

use serde::Deserialize;

use crate::cell;
use crate::provenance::Provenance;
use crate::row::{Row, from_fields};

/// A place in which a vehicle lives.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Environment {
    key: String,
    /// How many times as likely a joint is bad there as inland.
    pub chance_times: f64,
    /// The row of galvanic allowances that is held against faces there.
    pub allowance: String,
    /// The ISO 9223 class of its air.
    pub air: String,
    /// True where it is afloat, so that the rules for boats hold.
    #[serde(default)]
    pub afloat: bool,
    /// True for the one that is taken where nobody says.
    #[serde(default)]
    pub usual: bool,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for Environment {
    const TABLE: &'static str = "environments";
    const DESCRIPTION: &'static str =
        "Where vehicles live: how often joints go bad there, and what is held against their faces";
    const HEADS: &'static [&'static str] =
        &["environment", "bad joints, times", "galvanic allowance", "air", "afloat", "usual"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.chance_times),
            self.allowance.clone(),
            self.air.clone(),
            cell::yes(self.afloat),
            cell::yes(self.usual),
        ]
    }
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Row};

    #[test]
    fn every_environment_names_an_allowance_and_a_class_of_air_that_are_listed() {
        let catalogue = Catalogue::standard();
        for row in &catalogue.environments {
            let key = row.key();
            assert!(catalogue.galvanic_allowances.find(&row.allowance).is_some(), "{key}");
            assert!(catalogue.corrosivity.find(&row.air).is_some(), "{key}");
        }
    }

    #[test]
    fn one_environment_is_taken_where_nobody_says_and_the_others_are_held_against_it() {
        let rows = &Catalogue::standard().environments;
        assert_eq!(rows.iter().filter(|row| row.usual).count(), 1);
        let usual = Catalogue::standard().usual_environment();
        assert_eq!((usual.word(), usual.chance_times.to_bits()), ("inland", 1.0_f64.to_bits()));
    }
}
