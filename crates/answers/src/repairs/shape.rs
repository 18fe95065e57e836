//! The JSON of what is worth doing.

use diagnosis::{Action, Gain, Repair};
use model::{LoadId, StateId, Vehicle, Workshop};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::cautions::{CautionTold, Cautions, told};
use crate::problem::Problem;
use crate::separating::Separating;
use crate::shape::each;
use crate::unsettled;

/// Why nothing is worth doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Nothing {
    /// Nothing that a step reaches is beyond what is usual: what is lost is the drop it was made with.
    Sound,
    /// What is likely at fault is no joint or conductor.
    Elsewhere,
    /// No step is likely enough to help: a reading comes first.
    MeasureFirst,
}

shape! {
    /// The answer of `repairs`.
    pub struct Repairs from pub(super) (found: &Found<'_>) {
        let Found { vehicle, taken, worth, unsettled, .. } = found;
        let cautions = Cautions::of(vehicle);
        let too_small = |(load, state): &(LoadId, StateId)| MadeTooSmall {
            load: vehicle.load(*load).id.clone(),
            state: vehicle.state(*state).id.clone(),
        };
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The best first.
        pub repairs: Vec<RankedRepair> =
            worth.repairs.iter().map(|own| RankedRepair::of(vehicle, own, &cautions)).collect(),
        /// What gains most for a minute when the first is done, in the same go.
        pub then: Option<RankedRepair> =
            worth.then.as_ref().map(|own| RankedRepair::of(vehicle, own, &cautions)),
        /// Joints that look alike so far, with the reading to take before any part is bought.
        pub first_readings: Vec<Separating> = each(found.vehicle, &worth.first, Separating::of),
        /// Why there is no step; null where there is one.
        pub nothing: Option<Nothing> = worth.nothing,
        /// Loads that fall short of their minimum with everything sound.
        pub made_too_small: Vec<MadeTooSmall> =
            worth.made_too_small.iter().map(too_small).collect(),
        /// States that have no operating point; what is said of them rests on the last attempt.
        pub unsettled: Vec<String> = unsettled::ids(vehicle, unsettled),
        /// What work is reckoned at.
        pub workshop: WorkshopRates = WorkshopRates::of(&vehicle.workshop),
        /// Problems of the readings.
        pub problems: Vec<Problem> = taken.problems.clone(),
    }

    /// What work is reckoned at.
    pub struct WorkshopRates from (shop: &Workshop) {
        /// What amounts are in.
        pub currency: String = shop.currency.clone(),
        /// An hour of work.
        pub labour_per_hour: f64 = shop.labour.0,
        /// True when the file states its prices.
        pub stated: bool = shop.stated,
    }

    /// Something worth doing.
    pub struct RankedRepair from (vehicle: &Vehicle, own: &Repair, cautions: &Cautions<'_>) {
        let action = match own.action {
            Action::Clean(id) => RepairAction::Clean(vehicle.joint(id).id.clone()),
            Action::CleanBoth(id) => RepairAction::CleanBoth(vehicle.conductor(id).id.clone()),
            Action::ReplaceEnd(id) => RepairAction::ReplaceEnd(vehicle.joint(id).id.clone()),
            Action::Enlarge { conductor, size, ohms } => RepairAction::Enlarge(LargerConductor {
                conductor: vehicle.conductor(conductor).id.clone(),
                size: size.to_string(),
                ohms: ohms.0,
            }),
            Action::Replace(id) => RepairAction::Replace(vehicle.conductor(id).id.clone()),
            Action::Add { from, to, size, length, ohms, amps } => RepairAction::Add(AddedConductor {
                from: vehicle.point(from).id.clone(),
                to: vehicle.point(to).id.clone(),
                size: size.to_string(),
                metres: length.0,
                ohms: ohms.0,
                amps: amps.0,
            }),
        };
        let gains = own.gains.iter();
        let short = own.still_short.iter();
        /// What to do.
        pub action: RepairAction = action,
        /// The load for which the gain matters most.
        pub load: String = own.best.consumer.id(vehicle).to_owned(),
        /// The state in which it does.
        pub state: String = vehicle.state(own.best.state).id.clone(),
        /// That gain.
        pub gain_volts: f64 = own.best.volts.0,
        /// Probability that it helps.
        pub helps: f64 = own.helps,
        /// Probability that what it reaches is bad, or too small as it was made.
        pub mends: f64 = own.mends,
        /// The work.
        pub seconds: f64 = own.time.0,
        /// Work and parts.
        pub price: f64 = own.price.0,
        /// Expected gain for a minute of work.
        pub gain_volts_per_minute: f64 = own.per_minute().0,
        /// Expected gain for one unit of money; null for what costs nothing.
        pub gain_volts_per_price: Option<f64> = own.per_money().map(|volts| volts.0),
        /// Every gain.
        pub gains: Vec<RepairGain> = gains
            .map(|gain| RepairGain::of(vehicle, gain))
            .collect(),
        /// Loads that stay below their minimum after it.
        pub still_short: Vec<StillShort> = short
            .map(|(consumer, state, volts)| StillShort {
                load: consumer.id(vehicle).to_owned(),
                state: vehicle.state(*state).id.clone(),
                volts: volts.0,
            })
            .collect(),
        /// Cautions that concern it.
        pub cautions: Vec<CautionTold> = told(&cautions.of_action(own.action)),
    }
}

/// What to do.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum RepairAction {
    /// Clean and tighten this joint.
    Clean(String),
    /// Clean and tighten both ends of this conductor in one go.
    CleanBoth(String),
    /// Cut this end back and fix a new lug, its joint cleaned.
    ReplaceEnd(String),
    /// Replace this conductor with its ends.
    Replace(String),
    /// Replace a conductor by a larger one.
    Enlarge(LargerConductor),
    /// Add a conductor.
    Add(AddedConductor),
}

/// A conductor to be replaced by a larger one.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct LargerConductor {
    /// Which.
    pub conductor: String,
    /// The size to fit.
    pub size: String,
    /// Its resistance at 20 °C, ends excluded.
    pub ohms: f64,
}

/// A conductor to be added.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct AddedConductor {
    /// One end.
    pub from: String,
    /// The other end.
    pub to: String,
    /// The size to fit.
    pub size: String,
    /// Its length.
    pub metres: f64,
    /// Its resistance.
    pub ohms: f64,
    /// The largest current that it will carry in any state.
    pub amps: f64,
}

shape! {
    /// A gain.
    pub struct RepairGain from (vehicle: &Vehicle, gain: &Gain) {
        /// The load, or the converter that gains at its input.
        pub load: String = gain.consumer.id(vehicle).to_owned(),
        /// The state.
        pub state: String = vehicle.state(gain.state).id.clone(),
        /// Expected gain.
        pub volts: f64 = gain.volts.0,
        /// Expected voltage after it.
        pub after_volts: f64 = gain.after.0,
    }
}

/// A load that stays below its minimum.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StillShort {
    /// The load, or the converter at its input.
    pub load: String,
    /// The state.
    pub state: String,
    /// By how much.
    pub volts: f64,
}

/// A load that falls short of its minimum with everything sound.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct MadeTooSmall {
    /// The load.
    pub load: String,
    /// The state.
    pub state: String,
}
