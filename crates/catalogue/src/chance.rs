//! How likely a joint is bad before anything is measured: our judgement, in one place for all who ask.

use units::{Ohms, Ratio};

use crate::Catalogue;

/// Chance that a joint is bad of which the file states a resistance that is bad for its kind.
///
/// Not one: what was written down may have been mended since (our judgement).
pub const STATED_BAD: Ratio = Ratio(0.95);

/// Chance that a joint is bad, from where the vehicle lives, the joint's kind, its protection and the
/// resistance that the file states of it.
///
/// Our judgement, scaled so that a vehicle of a hundred joints has about one bad one when it is old
/// and unprotected on a salted road. `protection` is what the file says: a word that says that there is
/// nothing is worse than silence, and only a known one of [`Catalogue::joint_protections`] is better.
/// A resistance stated above the clean range of the kind trebles the chance, one within it halves it;
/// one that is bad for the kind settles it ([`STATED_BAD`]).
#[must_use]
pub fn bad_joint_chance(
    environment: &str,
    kind: &str,
    protection: Option<&str>,
    stated: Option<Ohms>,
) -> Ratio {
    if stated_bad(kind, stated) {
        return STATED_BAD;
    }
    let place = match environment {
        "dry" => 0.5,
        "salted roads" | "coast" => 1.5,
        "sea" => 2.0,
        _ => 1.0,
    };
    let of_kind = match kind {
        "post clamp" | "ring on thread-formed stud" | "self-tapping screw" => 1.5,
        "soldered splice" | "welded seam" => 0.3,
        _ => 1.0,
    };
    let catalogue = Catalogue::standard();
    let protection = protection.and_then(|word| catalogue.joint_protections.find(word));
    let protection = protection.map_or(1.0, |row| if row.guards { 0.7 } else { 1.5 });
    let measured = match (catalogue.joint_kinds.find(kind), stated) {
        (Some(row), Some(ohms)) if ohms > row.clean_high => 3.0,
        (Some(_), Some(_)) => 0.5,
        _ => 1.0,
    };
    Ratio((0.004_f64 * place * of_kind * protection).min(0.05) * measured)
}

/// True when a resistance that the file states of a joint is one at which a joint of its kind is bad.
///
/// Whoever asks whether a joint is sound asks this: what the file says of it is one thing everywhere.
#[must_use]
pub fn stated_bad(kind: &str, stated: Option<Ohms>) -> bool {
    let row = Catalogue::standard().joint_kinds.find(kind);
    row.zip(stated).is_some_and(|(row, ohms)| ohms >= row.bad_low)
}

#[cfg(test)]
mod laws {
    use super::*;

    fn protected(word: Option<&str>) -> Ratio {
        bad_joint_chance("inland", "bolted lug", word, None)
    }

    #[test]
    fn salt_and_a_bare_clamp_are_worse_than_a_dry_waxed_lug() {
        let clamp = bad_joint_chance("coast", "post clamp", Some("none"), None);
        let lug = bad_joint_chance("dry", "bolted lug", Some("wax"), None);
        assert!(clamp > lug * 5.0, "{clamp:?} {lug:?}");
        assert!(Ratio(0.0) < lug && clamp <= Ratio(0.05));
    }

    #[test]
    fn only_what_is_known_to_keep_water_off_makes_a_joint_safer() {
        let silent = protected(None);
        assert!(protected(Some("petroleum jelly")) < silent);
        assert!(protected(Some("Heat  Shrink")) < silent);
        assert!((protected(Some("rusted away")).0 - silent.0).abs() < 1e-15);
        for word in ["none", "None ", " NO", "nothing", "bare"] {
            assert!(protected(Some(word)) > silent, "{word}");
        }
    }

    #[test]
    fn a_resistance_at_which_its_kind_is_bad_settles_that_a_joint_is_bad() {
        for row in &Catalogue::standard().joint_kinds {
            let kind = crate::Row::key(row);
            let chance = |ohms| bad_joint_chance("inland", kind, None, Some(ohms));
            assert!(stated_bad(kind, Some(row.bad_low)) && !stated_bad(kind, None), "{kind}");
            assert!(!stated_bad(kind, Some(row.bad_low * 0.99)), "{kind}");
            assert_eq!(chance(row.bad_low), STATED_BAD, "{kind}");
            let silent = bad_joint_chance("inland", kind, None, None);
            assert!(chance(row.clean_typical) < silent, "{kind}");
        }
    }
}
