//! The JSON of a conductor in a vehicle.

use catalogue::{Material, Row};
use serde::Serialize;
use units::UnitSystem;
use utoipa::ToSchema;

use super::found::{Choice, Size};
use super::told::{BEFORE, HOW, cost};
use super::{Found, why};
use crate::cautions::{CautionTold, Cautions, told};
use crate::protect::verdict_word;
use crate::told::sources::Sourced;
use crate::told::written;
use crate::unsettled;

/// Units of texts in answers to other programs.
const METRIC: UnitSystem = UnitSystem::Metric;

shape! {
    /// Sizes of a conductor in a vehicle.
    pub struct SizesInVehicle from pub(in crate::size) (found: &Found<'_>) {
        let Found { vehicle, wanted, .. } = found;
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// Cautions that concern fitting it.
        pub cautions: Vec<CautionTold> =
            told(&Cautions::of(vehicle).of_new(wanted.from, wanted.to)),
        /// The point where it begins.
        pub from: String = vehicle.point(wanted.from).id.clone(),
        /// The point where it ends.
        pub to: String = vehicle.point(wanted.to).id.clone(),
        /// Its length.
        pub length_metres: f64 = wanted.length.0,
        /// The most between the two points; null when nobody asked.
        pub allowed_drop_volts: Option<f64> = wanted.drop.map(|drop| drop.0),
        /// The load that must get so much; null when nobody asked.
        pub load: Option<String> = wanted.load.map(|(load, _)| vehicle.load(load).id.clone()),
        /// The least that it must get.
        pub least_volts: Option<f64> = wanted.load.map(|(_, least)| least.0),
        /// Its insulation.
        pub insulation: String = wanted.insulation.clone(),
        /// The rating of the new fuse at its beginning; null without one.
        pub fuse_amps: Option<f64> = wanted.fuse.map(|(rating, _)| rating.0),
        /// The most between the points without it; null when nothing joins them.
        pub before_volts: Option<f64> = found.before.map(|(most, _)| most.0),
        /// States that have no operating point; what is said of them rests on the last attempt.
        pub unsettled: Vec<String> = unsettled::ids(vehicle, &found.unsettled),
        /// One for each metal and each list of sizes that is made of it.
        pub families: Vec<FamilyInVehicle> =
            found.choices.iter().map(|choice| FamilyInVehicle::of(found, choice)).collect(),
        /// What no size changes, in words.
        pub warnings: Vec<String> =
            why::warnings(found).iter().map(|line| written(line, METRIC)).collect(),
        /// What to know beside it.
        pub notes: [&'static str; 2] = [HOW, BEFORE],
    }

    /// The sizes of one list in one metal.
    pub struct FamilyInVehicle from (found: &Found<'_>, choice: &Choice) {
        let size = |own| SizeInVehicle::of(found, choice.material, own);
        /// The metal.
        pub material: String = choice.material.key().to_owned(),
        /// The standard that lists the sizes.
        pub family: &'static str = choice.family.name(),
        /// The smallest that does; null when none does.
        pub chosen: Option<SizeInVehicle> = choice.chosen.as_ref().map(size),
        /// Those that are too small, from thin to thick.
        pub too_small: Vec<SizeInVehicle> = choice.smaller.iter().map(size).collect(),
    }

    /// A size that was tried.
    pub struct SizeInVehicle from (found: &Found<'_>, material: &Material, size: &Size) {
        let Size { candidate, tried, .. } = size;
        let state = |id| found.vehicle.state(id).id.clone();
        let reasons = why::all(found, size).into_iter();
        /// Its name.
        pub size: String = candidate.name.clone(),
        /// Metal area.
        pub area_square_metres: f64 = candidate.area.0,
        /// At 20 °C.
        pub ohms_per_metre: f64 = candidate.per_metre.0,
        /// What the resistance rests on.
        pub basis: String = candidate.basis.clone(),
        /// The most that it carries.
        pub carries_amps: f64 = tried.carries.0.0,
        /// In this state.
        pub carries_state: String = state(tried.carries.1),
        /// The most between its points.
        pub drop_volts: f64 = tried.drop.0.0,
        /// In this state.
        pub drop_state: String = state(tried.drop.1),
        /// The warmest it gets; null when that is not known.
        pub warmest_kelvin: Option<f64> = tried.warmest.map(|(warmest, _)| warmest.0),
        /// The least that the load has while it is on.
        pub load_volts: Option<f64> = tried.load.map(|(least, _)| least.0),
        /// What a short that nothing clears sends home through it; null where that does no harm or it is a feed.
        pub unfused_short_amps: Option<f64> = tried.unfused.map(|worst| worst.amps.0),
        /// A verdict as in `protect`; null where it is no feed.
        pub protection: Option<&'static str> = tried.verdict.as_ref().map(verdict_word),
        /// Of the cable by `--price`, or of cable, lugs and fixings by the file's workshop.
        pub cost: Option<f64> = cost(found, material, size).map(|cost| cost.0),
        /// Why it is too small.
        pub reasons: Vec<SizeReason> = reasons
            .map(|(kind, line)| SizeReason { kind, text: written(&line, METRIC) })
            .collect(),
        /// Where its resistance comes from.
        #[serde(flatten)]
        pub sourced: Sourced = Sourced::from(&candidate.provenance),
    }
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
