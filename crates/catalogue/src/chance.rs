//! How likely a joint is bad before anything is measured: our judgement, in one place for all who ask.

use units::{Ohms, Ratio};

use crate::{Environment, Finish, JointKind, JointProtection, Judgements};

/// Chance that a joint is bad, from where the vehicle lives, the joint's kind, its protection, the finish
/// of its faces and the resistance that the file states of it.
///
/// The factors and their reasons are [`Judgements`] and columns of the rows. `protection` is what the
/// file says: that there is nothing is worse than silence.
/// A resistance stated above the clean range of the kind raises the chance, one within it lowers it;
/// one that is bad for the kind settles it.
#[must_use]
pub fn bad_joint_chance(
    environment: &Environment,
    kind: &JointKind,
    protection: Option<&JointProtection>,
    finish: Option<&Finish>,
    stated: Option<Ohms>,
) -> Ratio {
    let own = Judgements::standard();
    if stated_bad(kind, stated) {
        return own.joint_stated_bad;
    }
    let protection = match protection {
        Some(row) if row.guards => own.joint_protected_times.0,
        Some(_) => own.joint_unprotected_times.0,
        None => 1.0,
    };
    let painted = finish.is_some_and(Finish::painted);
    let painted = if painted { own.joint_painted_times.0 } else { 1.0 };
    let measured = match stated {
        Some(ohms) if ohms > kind.clean_high => own.joint_above_clean_times.0,
        Some(_) => own.joint_within_clean_times.0,
        None => 1.0,
    };
    let chance =
        own.joint_bad.0 * environment.chance_times * kind.chance_times * protection * painted;
    Ratio(chance.min(own.joint_bad_at_most.0) * measured)
}

/// True when a resistance that the file states of a joint is one at which a joint of its kind is bad.
///
/// Whoever asks whether a joint is sound asks this: what the file says of it is one thing everywhere.
#[must_use]
pub fn stated_bad(kind: &JointKind, stated: Option<Ohms>) -> bool {
    stated.is_some_and(|ohms| ohms >= kind.bad_low)
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::Catalogue;

    fn chance(place: &str, kind: &str, protection: Option<&str>) -> Ratio {
        let catalogue = Catalogue::standard();
        let place = catalogue.environments.find(place).expect("an environment");
        let kind = catalogue.joint_kinds.find(kind).expect("a kind of joint");
        let protection = protection.and_then(|word| catalogue.joint_protections.find(word));
        bad_joint_chance(place, kind, protection, None, None)
    }

    fn protected(word: Option<&str>) -> Ratio {
        chance("inland", "bolted lug", word)
    }

    #[test]
    fn salt_and_a_bare_clamp_are_worse_than_a_dry_waxed_lug() {
        let clamp = chance("coast", "post clamp", Some("none"));
        let lug = chance("dry", "bolted lug", Some("wax"));
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
    fn paint_under_an_eye_makes_it_likelier_bad_and_bare_metal_does_not() {
        let catalogue = Catalogue::standard();
        let (place, stud) = (catalogue.usual_environment(), "ring on thread-formed stud");
        let stud = catalogue.joint_kinds.find(stud).expect("a kind of joint");
        let chance = |words: Option<&str>| {
            let finish = words.map(Finish::read);
            bad_joint_chance(&place, stud, None, finish.as_ref(), None)
        };
        for words in ["tin on painted steel", "tin on primed steel", "zinc on powder-coated steel"]
        {
            assert!(chance(Some(words)) > chance(None) * 2.0, "{words}");
        }
        for words in ["tin on bare steel", "tin on unpainted steel", "steel, paint removed"] {
            assert_eq!(chance(Some(words)), chance(None), "{words}");
        }
    }

    #[test]
    fn a_resistance_at_which_its_kind_is_bad_settles_that_a_joint_is_bad() {
        let inland = Catalogue::standard().usual_environment();
        for row in Catalogue::standard().joint_kinds.iter() {
            let kind = crate::Row::key(row);
            let chance = |stated| bad_joint_chance(&inland, row, None, None, stated);
            assert!(stated_bad(row, Some(row.bad_low)) && !stated_bad(row, None), "{kind}");
            assert!(!stated_bad(row, Some(row.bad_low * 0.99)), "{kind}");
            let settled = Judgements::standard().joint_stated_bad;
            assert_eq!(chance(Some(row.bad_low)), settled, "{kind}");
            assert!(chance(Some(row.clean_typical)) < chance(None), "{kind}");
        }
    }
}
