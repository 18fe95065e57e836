//! The JSON of how warm conductors and joints get.

use ::failures::warmth::LEAST_HEAT;
use ::failures::{ConductorWarmth, Contact, JointWarmth, Resting};
use model::{Conductor, Laid, Surroundings, Vehicle};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::Found;
use crate::failures::ContactHarm;

/// The answer of `heat`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Heat {
    /// The number of the contract.
    pub format: u32,
    /// The operating state.
    pub state: String,
    /// The time asked about.
    pub seconds: f64,
    /// False when the state has no operating point; what follows is then the last attempt.
    pub found: bool,
    /// The duty asked about; null for a constant current.
    pub duty: Option<HeatDuty>,
    /// Conductors that carry something, the nearest to their limit first.
    pub conductors_by_warmth: Vec<WarmConductor>,
    /// Joints that lose something, the hottest spot first.
    pub joints_by_warmth: Vec<WarmJoint>,
    /// Conductors that carry nothing in this state, in the order of the file.
    pub resting: Vec<RestingConductor>,
}

/// A current that comes and goes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HeatDuty {
    /// Share of the time that it flows.
    pub share: f64,
    /// From one beginning to the next.
    pub period_seconds: f64,
}

/// A conductor in a state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct WarmConductor {
    /// The conductor.
    pub name: String,
    /// Its current.
    pub amps: f64,
    /// Current that it bears for ever.
    pub bears_amps: f64,
    /// Share of the time that its current flows: of the load whose lead it is, one elsewhere.
    pub duty_share: f64,
    /// `engine space`, `inside` or `outside`.
    pub surroundings: &'static str,
    /// True where it lies along metal, which takes part of its heat.
    pub on_metal: bool,
    /// Loaded conductors together.
    pub bundle: u32,
    /// The air about it.
    pub air_kelvin: f64,
    /// After the time asked about.
    pub at_end_kelvin: f64,
    /// Where it settles with its duty; null when it would melt.
    pub settled_kelvin: Option<f64>,
    /// What it must not pass.
    pub limit_kelvin: f64,
    /// When it passes that; null for never.
    pub limit_after_seconds: Option<f64>,
    /// When its metal melts; null for never.
    pub melts_after_seconds: Option<f64>,
    /// The coolest of a round of duty; null without one.
    pub coolest_kelvin: Option<f64>,
    /// The warmest of a round of duty; null without one.
    pub warmest_kelvin: Option<f64>,
    /// For at most 5 s.
    pub short: Option<ShortHeating>,
}

/// A conductor that carries nothing in a state, and could.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RestingConductor {
    /// The conductor.
    pub name: String,
    /// Current that it bears for ever.
    pub bears_amps: f64,
    /// `engine space`, `inside` or `outside`.
    pub surroundings: &'static str,
    /// True where it lies along metal, which takes part of its heat.
    pub on_metal: bool,
    /// Loaded conductors together.
    pub bundle: u32,
    /// The air about it.
    pub air_kelvin: f64,
    /// What it must not pass.
    pub limit_kelvin: f64,
}

/// A short current against what the conductor bears with nothing lost.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct ShortHeating {
    /// I²t.
    pub ampere_squared_seconds: f64,
    /// k²S².
    pub bears_ampere_squared_seconds: f64,
    /// Temperature up to which it is counted.
    pub last_kelvin: f64,
}

/// A joint in a state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct WarmJoint {
    /// The joint.
    pub name: String,
    /// Its current.
    pub amps: f64,
    /// What it loses.
    pub volts: f64,
    /// Heat made in it.
    pub watts: f64,
    /// How hot its heat makes it at the end of the time: an estimate.
    pub reaches_kelvin: f64,
    /// Temperature from which its softest metal softens, or the insulation beside it suffers.
    pub softens_kelvin: f64,
    /// Its hottest spot, if all that it loses beyond a sound one of its kind is lost in one spot.
    pub hottest_kelvin: f64,
    /// Voltage at which the softest metal in it softens.
    pub softening_volts: f64,
    /// What becomes of that spot; null for nothing.
    pub contact: Option<ContactHarm>,
}

impl WarmJoint {
    /// Whether a person wants to know of it: its metal suffers, or it makes half a watt of heat.
    #[must_use]
    pub fn telling(&self) -> bool {
        self.contact.is_some() || self.watts >= LEAST_HEAT.0
    }
}

pub(super) fn of(found: &Found<'_>) -> Heat {
    let Found { vehicle, warmth, duty } = found;
    Heat {
        format: crate::FORMAT,
        state: vehicle.state(warmth.state).id.clone(),
        seconds: warmth.time.0,
        found: warmth.found,
        duty: duty.map(|own| HeatDuty { share: own.share.0, period_seconds: own.period.0 }),
        conductors_by_warmth: warmth.conductors.iter().map(|own| conductor(vehicle, own)).collect(),
        joints_by_warmth: warmth.joints.iter().map(|own| joint(vehicle, own)).collect(),
        resting: warmth.resting().iter().map(|own| resting(vehicle, own)).collect(),
    }
}

fn conductor(vehicle: &Vehicle, own: &ConductorWarmth) -> WarmConductor {
    let part = vehicle.conductor(own.conductor);
    WarmConductor {
        name: part.id.clone(),
        amps: own.amps.0,
        bears_amps: own.bears.0,
        duty_share: own.duty.0,
        surroundings: surroundings(part),
        on_metal: part.laid == Laid::OnMetal,
        bundle: part.bundle,
        air_kelvin: own.air.0,
        at_end_kelvin: own.at_end.0,
        settled_kelvin: own.settles.map(|kelvin| kelvin.0),
        limit_kelvin: own.limit.0,
        limit_after_seconds: own.endurance.limit_after.map(|time| time.0),
        melts_after_seconds: own.endurance.melts_after.map(|time| time.0),
        coolest_kelvin: own.cycle.map(|round| round.coolest.0),
        warmest_kelvin: own.cycle.map(|round| round.warmest.0),
        short: own.short.map(|short| ShortHeating {
            ampere_squared_seconds: short.integral.0,
            bears_ampere_squared_seconds: short.bears.0,
            last_kelvin: short.last.0,
        }),
    }
}

fn surroundings(conductor: &Conductor) -> &'static str {
    match conductor.surroundings {
        Surroundings::EngineSpace => "engine space",
        Surroundings::Inside => "inside",
        Surroundings::Outside => "outside",
    }
}

fn resting(vehicle: &Vehicle, own: &Resting) -> RestingConductor {
    let part = vehicle.conductor(own.conductor);
    RestingConductor {
        name: part.id.clone(),
        bears_amps: own.bears.0,
        surroundings: surroundings(part),
        on_metal: part.laid == Laid::OnMetal,
        bundle: part.bundle,
        air_kelvin: own.air.0,
        limit_kelvin: own.limit.0,
    }
}

fn joint(vehicle: &Vehicle, own: &JointWarmth) -> WarmJoint {
    WarmJoint {
        name: vehicle.joint(own.joint).id.clone(),
        amps: own.amps.0,
        volts: own.volts.0,
        watts: own.watts.0,
        reaches_kelvin: own.reaches.0,
        softens_kelvin: own.softens.0,
        hottest_kelvin: own.hottest.0,
        softening_volts: own.softening.0,
        contact: own.contact.map(|contact| match contact {
            Contact::Softens => ContactHarm::Softens,
            Contact::Melts => ContactHarm::Melts,
        }),
    }
}
