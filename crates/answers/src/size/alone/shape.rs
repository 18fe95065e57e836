//! The JSON of a conductor by itself.

use catalogue::Row;
use physics::heat::Outcome;
use serde::Serialize;
use units::UnitSystem;
use utoipa::ToSchema;

use super::Found;
use super::found::{Choice, Judged};
use super::told::{DROP_ALONE, warnings};
use crate::told::sources::Sourced;
use crate::told::written;

/// Units of texts in answers to other programs.
const METRIC: UnitSystem = UnitSystem::Metric;

/// Sizes of a conductor by itself.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SizesAlone {
    /// The number of the contract.
    pub format: u32,
    /// The current.
    pub current_amperes: f64,
    /// Along the feed conductor.
    pub length_metres: f64,
    /// Along the return conductor; null when there is none.
    pub return_length_metres: Option<f64>,
    /// The drop that is allowed.
    pub allowed_drop_volts: f64,
    /// The metal.
    pub material: String,
    /// The air about the conductor.
    pub ambient_kelvin: f64,
    /// The insulation.
    pub insulation: String,
    /// True when nobody named the insulation.
    pub insulation_assumed: bool,
    /// What all joints take together.
    pub joints: SizeJoints,
    /// One for each list of sizes that is made of the metal.
    pub families: Vec<FamilyAlone>,
    /// What is not met, in words.
    pub warnings: Vec<String>,
    /// What to know beside it.
    pub notes: [&'static str; 1],
}

/// All joints together.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SizeJoints {
    /// Their kind.
    pub kind: String,
    /// How many.
    pub count: u32,
    /// Their drop when they are as sound ones typically are.
    pub drop_volts: f64,
    /// Of the best.
    pub lowest_drop_volts: f64,
    /// Of the worst that are sound.
    pub highest_drop_volts: f64,
    /// Where that comes from.
    #[serde(flatten)]
    pub sourced: Sourced,
}

/// The sizes about the limit in one list of sizes.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FamilyAlone {
    /// The standard that lists the sizes.
    pub family: &'static str,
    /// The next smaller; null when there is none.
    pub smaller: Option<SizeAlone>,
    /// The smallest that keeps the drop; null when none does.
    pub chosen: Option<SizeAlone>,
    /// The next larger; null when there is none.
    pub larger: Option<SizeAlone>,
}

/// A size.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SizeAlone {
    /// Its name.
    pub size: String,
    /// Metal area.
    pub area_square_metres: f64,
    /// At 20 °C.
    pub ohms_per_metre: f64,
    /// What the resistance rests on.
    pub basis: String,
    /// Of cable and joints, the cable as warm as the air.
    pub drop_volts: f64,
    /// True when that is allowed.
    pub keeps_the_drop: bool,
    /// Where the metal settles; null when it does not settle or no law holds.
    pub settled_kelvin: Option<f64>,
    /// The drop then.
    pub warm_drop_volts: Option<f64>,
    /// True when that is above what the insulation bears.
    pub too_warm: bool,
    /// Where its resistance comes from.
    #[serde(flatten)]
    pub sourced: Sourced,
}

pub(in crate::size) fn of(found: &Found) -> SizesAlone {
    let wanted = &found.wanted;
    let joint = wanted.joint;
    SizesAlone {
        format: crate::FORMAT,
        current_amperes: wanted.current.0,
        length_metres: wanted.length.0,
        return_length_metres: wanted.return_length.map(|length| length.0),
        allowed_drop_volts: wanted.allowed.0,
        material: wanted.material.key().to_owned(),
        ambient_kelvin: wanted.ambient.0,
        insulation: wanted.insulation.key().to_owned(),
        insulation_assumed: wanted.insulation_assumed,
        joints: SizeJoints {
            kind: joint.key().to_owned(),
            count: wanted.n_joints,
            drop_volts: wanted.joints_drop(joint.clean_typical).0,
            lowest_drop_volts: wanted.joints_drop(joint.clean_low).0,
            highest_drop_volts: wanted.joints_drop(joint.clean_high).0,
            sourced: Sourced::from(&joint.provenance),
        },
        families: found.choices.iter().map(|choice| family(found, choice)).collect(),
        warnings: warnings(found).iter().map(|line| written(line, METRIC)).collect(),
        notes: [DROP_ALONE],
    }
}

fn family(found: &Found, choice: &Choice) -> FamilyAlone {
    let size = |own: &Option<Judged>| own.as_ref().map(|own| size(found, own));
    FamilyAlone {
        family: choice.family.name(),
        smaller: size(&choice.smaller),
        chosen: size(&choice.chosen),
        larger: size(&choice.larger),
    }
}

fn size(found: &Found, judged: &Judged) -> SizeAlone {
    let candidate = &judged.candidate;
    SizeAlone {
        size: candidate.name.clone(),
        area_square_metres: candidate.area.0,
        ohms_per_metre: candidate.per_metre.0,
        basis: candidate.basis.clone(),
        drop_volts: judged.drop.0,
        keeps_the_drop: judged.keeps(&found.wanted),
        settled_kelvin: match judged.settled {
            Some(Outcome::Settles(temperature)) => Some(temperature.0),
            Some(Outcome::Exceeds(_)) | None => None,
        },
        warm_drop_volts: judged.warm_drop.map(|drop| drop.0),
        too_warm: found.too_warm(judged),
        sourced: Sourced::from(&candidate.provenance),
    }
}
