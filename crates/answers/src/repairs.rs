//! What is worth doing.

use diagnosis::{Action, Complaint, Diagnosis, Observation, Repair, Session, Suspect, SuspectKind};
use model::{LoadId, StateId, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

use crate::cautions::{CautionTold, Cautions, told};
use crate::problem::Problem;
use crate::separating::{self, Apart, Separating};

/// From this probability on what no step reaches is named as likeliest at fault.
const LIKELY: f64 = 0.3;

/// Everything that the answer tells.
#[derive(Debug)]
pub struct Worth {
    /// Steps, the best first.
    pub repairs: Vec<Repair>,
    /// What gains most for a minute when the first is done.
    pub then: Option<Repair>,
    /// Joints that look alike so far, with the reading to take before any part is bought.
    pub first: Vec<Apart>,
    /// What is likely at fault and no step reaches.
    pub elsewhere: Option<Suspect>,
    /// Why there is no step, where there is none.
    pub nothing: Option<Nothing>,
    /// Loads that fall short of their minimum with everything sound.
    pub made_too_small: Vec<(LoadId, StateId)>,
}

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

impl Worth {
    /// Asks a session further that has weighed the readings; at most so many steps are kept.
    #[must_use]
    pub fn of(
        session: &mut Session<'_>,
        diagnosis: &Diagnosis,
        seen: &[Observation],
        complaint: Option<Complaint>,
        most: usize,
    ) -> Self {
        let mut repairs = session.repairs(diagnosis, complaint);
        let then = session.then(diagnosis, complaint, &repairs);
        repairs.truncate(most);
        let made_too_small = session.made_too_small(complaint);
        let first = if repairs.is_empty() || seen.is_empty() {
            Vec::new()
        } else {
            separating::apart(session, diagnosis, seen, complaint)
        };
        let reached = |kind: SuspectKind| {
            matches!(kind, SuspectKind::Joint(_) | SuspectKind::Conductor(_) | SuspectKind::Open(_))
        };
        let likely = diagnosis.suspects.first().copied();
        let elsewhere =
            likely.filter(|own| !seen.is_empty() && own.probability > LIKELY && !reached(own.kind));
        let nothing = repairs.is_empty().then_some(match elsewhere {
            Some(_) => Nothing::Elsewhere,
            None if seen.is_empty() || diagnosis.nothing_bad > 0.5 => Nothing::Sound,
            None => Nothing::MeasureFirst,
        });
        Self { repairs, then, first, elsewhere, nothing, made_too_small }
    }
}

/// The answer of `repairs`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Repairs {
    /// The number of the contract.
    pub format: u32,
    /// The best first.
    pub repairs: Vec<RankedRepair>,
    /// What gains most for a minute when the first is done, in the same go.
    pub then: Option<RankedRepair>,
    /// Joints that look alike so far, with the reading to take before any part is bought.
    pub first_readings: Vec<Separating>,
    /// Why there is no step; null where there is one.
    pub nothing: Option<Nothing>,
    /// Loads that fall short of their minimum with everything sound.
    pub made_too_small: Vec<MadeTooSmall>,
    /// What work is reckoned at.
    pub workshop: WorkshopRates,
    /// Problems of the readings.
    pub problems: Vec<Problem>,
}

/// What work is reckoned at.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct WorkshopRates {
    /// What amounts are in.
    pub currency: String,
    /// An hour of work.
    pub labour_per_hour: f64,
    /// True when the file states its prices.
    pub stated: bool,
}

/// Something worth doing.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RankedRepair {
    /// What to do.
    pub action: RepairAction,
    /// The load for which the gain matters most.
    pub load: String,
    /// The state in which it does.
    pub state: String,
    /// That gain.
    pub gain_volts: f64,
    /// Probability that it helps.
    pub helps: f64,
    /// Probability that what it reaches is bad, or too small as it was made.
    pub mends: f64,
    /// The work.
    pub seconds: f64,
    /// Work and parts.
    pub price: f64,
    /// Expected gain for a minute of work.
    pub gain_volts_per_minute: f64,
    /// Expected gain for one unit of money; null for what costs nothing.
    pub gain_volts_per_price: Option<f64>,
    /// Every gain.
    pub gains: Vec<RepairGain>,
    /// Loads that stay below their minimum after it.
    pub still_short: Vec<StillShort>,
    /// Cautions that concern it.
    pub cautions: Vec<CautionTold>,
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

/// A gain.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RepairGain {
    /// The load, or the converter that gains at its input.
    pub load: String,
    /// The state.
    pub state: String,
    /// Expected gain.
    pub volts: f64,
    /// Expected voltage after it.
    pub after_volts: f64,
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

/// The answer for repairs that were ranked.
#[must_use]
pub fn of(vehicle: &Vehicle, worth: &Worth, problems: Vec<Problem>) -> Repairs {
    let shop = &vehicle.workshop;
    let cautions = Cautions::of(vehicle);
    Repairs {
        format: crate::FORMAT,
        repairs: worth.repairs.iter().map(|own| ranked(vehicle, own, &cautions)).collect(),
        then: worth.then.as_ref().map(|own| ranked(vehicle, own, &cautions)),
        first_readings: worth.first.iter().map(|own| separating::of(vehicle, own)).collect(),
        nothing: worth.nothing,
        made_too_small: worth
            .made_too_small
            .iter()
            .map(|(load, state)| MadeTooSmall {
                load: vehicle.load(*load).id.clone(),
                state: vehicle.state(*state).id.clone(),
            })
            .collect(),
        workshop: WorkshopRates {
            currency: shop.currency.clone(),
            labour_per_hour: shop.labour.0,
            stated: shop.stated,
        },
        problems,
    }
}

fn ranked(vehicle: &Vehicle, own: &Repair, cautions: &Cautions<'_>) -> RankedRepair {
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
    RankedRepair {
        action,
        load: own.best.consumer.id(vehicle).to_owned(),
        state: vehicle.state(own.best.state).id.clone(),
        gain_volts: own.best.volts.0,
        helps: own.helps,
        mends: own.mends,
        seconds: own.time.0,
        price: own.price.0,
        gain_volts_per_minute: own.per_minute().0,
        gain_volts_per_price: own.per_money().map(|volts| volts.0),
        gains: gains
            .map(|gain| RepairGain {
                load: gain.consumer.id(vehicle).to_owned(),
                state: vehicle.state(gain.state).id.clone(),
                volts: gain.volts.0,
                after_volts: gain.after.0,
            })
            .collect(),
        still_short: short
            .map(|(consumer, state, volts)| StillShort {
                load: consumer.id(vehicle).to_owned(),
                state: vehicle.state(*state).id.clone(),
                volts: volts.0,
            })
            .collect(),
        cautions: told(&cautions.of_action(own.action)),
    }
}
