//! How likely a joint is bad before anything is measured: our judgement, in one place for all who ask.

use units::Ratio;

/// Chance that a joint is bad, from where the vehicle lives, the joint's kind and its protection.
///
/// Our judgement, scaled so that a vehicle of a hundred joints has about one bad one when it is old
/// and unprotected on a salted road. `protection` is what the file says; `none` is worse than silence.
#[must_use]
pub fn bad_joint_chance(environment: &str, kind: &str, protection: Option<&str>) -> Ratio {
    let place = match environment {
        "dry" => 0.5,
        "salted roads" | "coast" => 1.5,
        "sea" => 2.0,
        _ => 1.0,
    };
    let kind = match kind {
        "post clamp" | "ring on thread-formed stud" | "self-tapping screw" => 1.5,
        "soldered splice" | "welded seam" => 0.3,
        _ => 1.0,
    };
    let protection = match protection {
        Some("none") => 1.5,
        Some(_) => 0.7,
        None => 1.0,
    };
    Ratio((0.004_f64 * place * kind * protection).min(0.05))
}

#[cfg(test)]
mod laws {
    use super::*;

    #[test]
    fn salt_and_a_bare_clamp_are_worse_than_a_dry_waxed_lug() {
        let clamp = bad_joint_chance("coast", "post clamp", Some("none"));
        let lug = bad_joint_chance("dry", "bolted lug", Some("wax"));
        assert!(clamp > lug * 5.0, "{clamp:?} {lug:?}");
        assert!(Ratio(0.0) < lug && clamp <= Ratio(0.05));
    }
}
