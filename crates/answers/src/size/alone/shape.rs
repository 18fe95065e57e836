//! The JSON of a conductor by itself.

use catalogue::Row;
use physics::heat::Outcome;
use units::UnitSystem;

use super::Found;
use super::found::{Choice, Judged};
use super::told::{DROP_ALONE, warnings};
use super::wanted::Wanted;
use crate::told::sources::Sourced;
use crate::told::written;

/// Units of texts in answers to other programs.
const METRIC: UnitSystem = UnitSystem::Metric;

shape! {
    /// Sizes of a conductor by itself.
    pub struct SizesAlone from pub(in crate::size) (found: &Found) {
        let wanted = &found.wanted;
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The current.
        pub current_amperes: f64 = wanted.current.0,
        /// Along the feed conductor.
        pub length_metres: f64 = wanted.length.0,
        /// Along the return conductor; null when there is none.
        pub return_length_metres: Option<f64> = wanted.return_length.map(|length| length.0),
        /// The drop that is allowed.
        pub allowed_drop_volts: f64 = wanted.allowed.0,
        /// The metal.
        pub material: String = wanted.material.key().to_owned(),
        /// The air about the conductor.
        pub ambient_kelvin: f64 = wanted.ambient.0,
        /// The insulation.
        pub insulation: String = wanted.insulation.key().to_owned(),
        /// True when nobody named the insulation.
        pub insulation_assumed: bool = wanted.insulation_assumed,
        /// What all joints take together.
        pub joints: SizeJoints = SizeJoints::of(wanted),
        /// One for each list of sizes that is made of the metal.
        pub families: Vec<FamilyAlone> =
            found.choices.iter().map(|choice| FamilyAlone::of(found, choice)).collect(),
        /// What is not met, in words.
        pub warnings: Vec<String> =
            warnings(found).iter().map(|line| written(line, METRIC)).collect(),
        /// What to know beside it.
        pub notes: [&'static str; 1] = [DROP_ALONE],
    }

    /// All joints together.
    pub struct SizeJoints from (wanted: &Wanted) {
        let joint = wanted.joint;
        /// Their kind.
        pub kind: String = joint.key().to_owned(),
        /// How many.
        pub count: u32 = wanted.n_joints,
        /// Their drop when they are as sound ones typically are.
        pub drop_volts: f64 = wanted.joints_drop(joint.clean_typical).0,
        /// Of the best.
        pub lowest_drop_volts: f64 = wanted.joints_drop(joint.clean_low).0,
        /// Of the worst that are sound.
        pub highest_drop_volts: f64 = wanted.joints_drop(joint.clean_high).0,
        /// Where that comes from.
        #[serde(flatten)]
        pub sourced: Sourced = Sourced::from(&joint.provenance),
    }

    /// The sizes about the limit in one list of sizes.
    pub struct FamilyAlone from (found: &Found, choice: &Choice) {
        let size = |own: &Option<Judged>| own.as_ref().map(|own| SizeAlone::of(found, own));
        /// The standard that lists the sizes.
        pub family: &'static str = choice.family.name(),
        /// The next smaller; null when there is none.
        pub smaller: Option<SizeAlone> = size(&choice.smaller),
        /// The smallest that keeps the drop; null when none does.
        pub chosen: Option<SizeAlone> = size(&choice.chosen),
        /// The next larger; null when there is none.
        pub larger: Option<SizeAlone> = size(&choice.larger),
    }

    /// A size.
    pub struct SizeAlone from (found: &Found, judged: &Judged) {
        let candidate = &judged.candidate;
        /// Its name.
        pub size: String = candidate.name.clone(),
        /// Metal area.
        pub area_square_metres: f64 = candidate.area.0,
        /// At 20 °C.
        pub ohms_per_metre: f64 = candidate.per_metre.0,
        /// What the resistance rests on.
        pub basis: String = candidate.basis.clone(),
        /// Of cable and joints, the cable as warm as the air.
        pub drop_volts: f64 = judged.drop.0,
        /// True when that is allowed.
        pub keeps_the_drop: bool = judged.keeps(&found.wanted),
        /// Where the metal settles; null when it does not settle or no law holds.
        pub settled_kelvin: Option<f64> = match judged.settled {
            Some(Outcome::Settles(temperature)) => Some(temperature.0),
            Some(Outcome::Exceeds(_)) | None => None,
        },
        /// The drop then.
        pub warm_drop_volts: Option<f64> = judged.warm_drop.map(|drop| drop.0),
        /// True when that is above what the insulation bears.
        pub too_warm: bool = found.too_warm(judged),
        /// Where its resistance comes from.
        #[serde(flatten)]
        pub sourced: Sourced = Sourced::from(&candidate.provenance),
    }
}
