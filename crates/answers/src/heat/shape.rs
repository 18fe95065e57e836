//! The JSON of how warm conductors and joints get.

use ::failures::warmth::{LEAST_HEAT, ShortFault};
use ::failures::{ConductorWarmth, Contact, JointWarmth, Resting};
use model::{Conductor, Laid, Surroundings, Vehicle};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::Found;
use crate::failures::ContactHarm;
use crate::shape::each;

shape! {
    /// The answer of `heat`.
    pub struct Heat from pub(super) (found: &Found<'_>) {
        let Found { vehicle, warmth, duty } = found;
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The operating state.
        pub state: String = vehicle.state(warmth.state).id.clone(),
        /// The time asked about.
        pub seconds: f64 = warmth.time.0,
        /// False when the state has no operating point; what follows is then the last attempt.
        pub found: bool = warmth.found,
        /// The duty asked about; null for a constant current.
        pub duty: Option<HeatDuty> =
            duty.map(|own| HeatDuty { share: own.share.0, period_seconds: own.period.0 }),
        /// Conductors that carry something, the nearest to their limit first.
        pub conductors_by_warmth: Vec<WarmConductor> =
            each(found.vehicle, &warmth.conductors, WarmConductor::of),
        /// Joints that lose something, the hottest spot first.
        pub joints_by_warmth: Vec<WarmJoint> = each(found.vehicle, &warmth.joints, WarmJoint::of),
        /// Conductors that carry nothing in this state, in the order of the file.
        pub resting: Vec<RestingConductor> =
            found.warmth.resting().iter().map(|own| RestingConductor::of(vehicle, own)).collect(),
    }
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

shape! {
    /// A conductor in a state.
    pub struct WarmConductor from (vehicle: &Vehicle, own: &ConductorWarmth) {
        let part = vehicle.conductor(own.conductor);
        /// The conductor.
        pub name: String = part.id.clone(),
        /// Its current.
        pub amps: f64 = own.amps.0,
        /// Current that it bears for ever.
        pub bears_amps: f64 = own.bears.0,
        /// Share of the time that its current flows: of the load whose lead it is, one elsewhere.
        pub duty_share: f64 = own.duty.0,
        /// `engine space`, `inside` or `outside`.
        pub surroundings: &'static str = surroundings(part),
        /// True where it lies along metal, which takes part of its heat.
        pub on_metal: bool = part.laid == Laid::OnMetal,
        /// Loaded conductors together.
        pub bundle: u32 = part.bundle,
        /// The air about it.
        pub air_kelvin: f64 = own.air.0,
        /// After the time asked about.
        pub at_end_kelvin: f64 = own.at_end.0,
        /// Where it settles with its duty; null when it would melt.
        pub settled_kelvin: Option<f64> = own.settles.map(|kelvin| kelvin.0),
        /// What it must not pass.
        pub limit_kelvin: f64 = own.limit.0,
        /// When it passes that; null for never.
        pub limit_after_seconds: Option<f64> = own.endurance.limit_after.map(|time| time.0),
        /// When its metal melts; null for never.
        pub melts_after_seconds: Option<f64> = own.endurance.melts_after.map(|time| time.0),
        /// The coolest of a round of duty; null without one.
        pub coolest_kelvin: Option<f64> = own.cycle.map(|round| round.coolest.0),
        /// The warmest of a round of duty; null without one.
        pub warmest_kelvin: Option<f64> = own.cycle.map(|round| round.warmest.0),
        /// For at most 5 s.
        pub short: Option<ShortHeating> = own.short.map(ShortHeating::of),
    }

    /// A conductor that carries nothing in a state, and could.
    pub struct RestingConductor from (vehicle: &Vehicle, own: &Resting) {
        let part = vehicle.conductor(own.conductor);
        /// The conductor.
        pub name: String = part.id.clone(),
        /// Current that it bears for ever.
        pub bears_amps: f64 = own.bears.0,
        /// `engine space`, `inside` or `outside`.
        pub surroundings: &'static str = surroundings(part),
        /// True where it lies along metal, which takes part of its heat.
        pub on_metal: bool = part.laid == Laid::OnMetal,
        /// Loaded conductors together.
        pub bundle: u32 = part.bundle,
        /// The air about it.
        pub air_kelvin: f64 = own.air.0,
        /// What it must not pass.
        pub limit_kelvin: f64 = own.limit.0,
    }

    /// A short current against what the conductor bears with nothing lost.
    #[derive(Copy)]
    pub struct ShortHeating from (short: ShortFault) {
        /// I²t.
        pub ampere_squared_seconds: f64 = short.integral.0,
        /// k²S².
        pub bears_ampere_squared_seconds: f64 = short.bears.0,
        /// Temperature up to which it is counted.
        pub last_kelvin: f64 = short.last.0,
    }

    /// A joint in a state.
    pub struct WarmJoint from (vehicle: &Vehicle, own: &JointWarmth) {
        /// The joint.
        pub name: String = vehicle.joint(own.joint).id.clone(),
        /// Its current.
        pub amps: f64 = own.amps.0,
        /// What it loses.
        pub volts: f64 = own.volts.0,
        /// Heat made in it.
        pub watts: f64 = own.watts.0,
        /// How hot its heat makes it at the end of the time: an estimate.
        pub reaches_kelvin: f64 = own.reaches.0,
        /// Temperature from which its softest metal softens, or the insulation beside it suffers.
        pub softens_kelvin: f64 = own.softens.0,
        /// Its hottest spot, if all that it loses beyond a sound one of its kind is lost in one spot.
        pub hottest_kelvin: f64 = own.hottest.0,
        /// Voltage at which the softest metal in it softens.
        pub softening_volts: f64 = own.softening.0,
        /// What becomes of that spot; null for nothing.
        pub contact: Option<ContactHarm> = own.contact.map(|contact| match contact {
            Contact::Softens => ContactHarm::Softens,
            Contact::Melts => ContactHarm::Melts,
        }),
    }
}

impl WarmJoint {
    /// Whether a person wants to know of it: its metal suffers, or it makes half a watt of heat.
    #[must_use]
    pub fn telling(&self) -> bool {
        self.contact.is_some() || self.watts >= LEAST_HEAT.0
    }
}

fn surroundings(conductor: &Conductor) -> &'static str {
    match conductor.surroundings {
        Surroundings::EngineSpace => "engine space",
        Surroundings::Inside => "inside",
        Surroundings::Outside => "outside",
    }
}
