//! The JSON of a conductor in a vehicle.

use catalogue::{Material, Row};
use serde::Serialize;
use units::UnitSystem;
use utoipa::ToSchema;

use super::Found;
use super::found::{Choice, Size};
use super::told::{BEFORE, HOW, cost};
use super::why;
use crate::cautions::{CautionTold, Cautions, told};
use crate::protect::verdict_word;
use crate::told::sources::Sourced;
use crate::told::written;

/// Units of texts in answers to other programs.
const METRIC: UnitSystem = UnitSystem::Metric;

/// Sizes of a conductor in a vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SizesInVehicle {
    /// The number of the contract.
    pub format: u32,
    /// Cautions that concern fitting it.
    pub cautions: Vec<CautionTold>,
    /// The point where it begins.
    pub from: String,
    /// The point where it ends.
    pub to: String,
    /// Its length.
    pub length_metres: f64,
    /// The most between the two points; null when nobody asked.
    pub allowed_drop_volts: Option<f64>,
    /// The load that must get so much; null when nobody asked.
    pub load: Option<String>,
    /// The least that it must get.
    pub least_volts: Option<f64>,
    /// Its insulation.
    pub insulation: String,
    /// The rating of the new fuse at its beginning; null without one.
    pub fuse_amps: Option<f64>,
    /// The most between the points without it; null when nothing joins them.
    pub before_volts: Option<f64>,
    /// One for each metal and each list of sizes that is made of it.
    pub families: Vec<FamilyInVehicle>,
    /// What no size changes, in words.
    pub warnings: Vec<String>,
    /// What to know beside it.
    pub notes: [&'static str; 2],
}

/// The sizes of one list in one metal.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FamilyInVehicle {
    /// The metal.
    pub material: String,
    /// The standard that lists the sizes.
    pub family: &'static str,
    /// The smallest that does; null when none does.
    pub chosen: Option<SizeInVehicle>,
    /// Those that are too small, from thin to thick.
    pub too_small: Vec<SizeInVehicle>,
}

/// A size that was tried.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SizeInVehicle {
    /// Its name.
    pub size: String,
    /// Metal area.
    pub area_square_metres: f64,
    /// At 20 °C.
    pub ohms_per_metre: f64,
    /// What the resistance rests on.
    pub basis: String,
    /// The most that it carries.
    pub carries_amps: f64,
    /// In this state.
    pub carries_state: String,
    /// The most between its points.
    pub drop_volts: f64,
    /// In this state.
    pub drop_state: String,
    /// The warmest it gets; null when that is not known.
    pub warmest_kelvin: Option<f64>,
    /// The least that the load has while it is on.
    pub load_volts: Option<f64>,
    /// What a short that nothing clears sends home through it; null where that does no harm or it is a feed.
    pub unfused_short_amps: Option<f64>,
    /// A verdict as in `protect`; null where it is no feed.
    pub protection: Option<&'static str>,
    /// Of the cable by `--price`, or of cable, lugs and fixings by the file's workshop.
    pub cost: Option<f64>,
    /// Why it is too small.
    pub reasons: Vec<SizeReason>,
    /// Where its resistance comes from.
    #[serde(flatten)]
    pub sourced: Sourced,
}

/// Why a size is too small.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct SizeReason {
    /// `drop`, `load`, `heat`, `fault`, `fault elsewhere`, `unsolved`, or `hidden fuse` where it burns when
    /// something else fails.
    pub kind: &'static str,
    /// In words.
    pub text: String,
}

pub(in crate::size) fn of(found: &Found<'_>) -> SizesInVehicle {
    let Found { vehicle, wanted, .. } = found;
    SizesInVehicle {
        format: crate::FORMAT,
        cautions: told(&Cautions::of(vehicle).of_new(wanted.from, wanted.to)),
        from: vehicle.point(wanted.from).id.clone(),
        to: vehicle.point(wanted.to).id.clone(),
        length_metres: wanted.length.0,
        allowed_drop_volts: wanted.drop.map(|drop| drop.0),
        load: wanted.load.map(|(load, _)| vehicle.load(load).id.clone()),
        least_volts: wanted.load.map(|(_, least)| least.0),
        insulation: wanted.insulation.clone(),
        fuse_amps: wanted.fuse.map(|(rating, _)| rating.0),
        before_volts: found.before.map(|(most, _)| most.0),
        families: found.choices.iter().map(|choice| family(found, choice)).collect(),
        warnings: why::warnings(found).iter().map(|line| written(line, METRIC)).collect(),
        notes: [HOW, BEFORE],
    }
}

fn family(found: &Found<'_>, choice: &Choice) -> FamilyInVehicle {
    let size = |own| size(found, choice.material, own);
    FamilyInVehicle {
        material: choice.material.key().to_owned(),
        family: choice.family.name(),
        chosen: choice.chosen.as_ref().map(size),
        too_small: choice.smaller.iter().map(size).collect(),
    }
}

fn size(found: &Found<'_>, material: &Material, size: &Size) -> SizeInVehicle {
    let Size { candidate, tried, .. } = size;
    let state = |id| found.vehicle.state(id).id.clone();
    let reasons = why::all(found, size).into_iter();
    SizeInVehicle {
        size: candidate.name.clone(),
        area_square_metres: candidate.area.0,
        ohms_per_metre: candidate.per_metre.0,
        basis: candidate.basis.clone(),
        carries_amps: tried.carries.0.0,
        carries_state: state(tried.carries.1),
        drop_volts: tried.drop.0.0,
        drop_state: state(tried.drop.1),
        warmest_kelvin: tried.warmest.map(|(warmest, _)| warmest.0),
        load_volts: tried.load.map(|(least, _)| least.0),
        unfused_short_amps: tried.unfused.map(|worst| worst.amps.0),
        protection: tried.verdict.as_ref().map(verdict_word),
        cost: cost(found, material, size).map(|cost| cost.0),
        reasons: reasons
            .map(|(kind, line)| SizeReason { kind, text: written(&line, METRIC) })
            .collect(),
        sourced: Sourced::from(&candidate.provenance),
    }
}
