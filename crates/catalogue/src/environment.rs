//! Where a vehicle lives, and what that does to its joints.

use crate::column;
use crate::read::table;

table! {
    /// A place in which a vehicle lives.
    Environment "environments"
        "Where vehicles live: how often joints go bad there, and what is held against their faces"
        "environment";
    /// How many times as likely a joint is bad there as inland.
    pub chance_times: f64 = NUMBER => "bad joints, times";
    /// The row of galvanic allowances that is held against faces there.
    pub allowance: String = PLAIN => "galvanic allowance";
    /// The ISO 9223 class of its air.
    pub air: String = PLAIN => "air";
    /// True where it is afloat, so that the rules for boats hold.
    pub afloat: bool = MAY_LACK => "afloat" by |row| column::yes(row.afloat);
    /// True for the one that is taken where nobody says.
    pub usual: bool = MAY_LACK => "usual" by |row| column::yes(row.usual);
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Row};

    #[test]
    fn every_environment_names_an_allowance_and_a_class_of_air_that_are_listed() {
        let catalogue = Catalogue::standard();
        for row in catalogue.environments.iter() {
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
