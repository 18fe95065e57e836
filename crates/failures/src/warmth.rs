//! How warm everything gets in a state with nothing failed: conductors, duty, joints, short faults.

use endurance::{Bearing, Endurance, LimitOf, SHORT};
use model::{ConductorId, JointId, Piece, StateId, Vehicle};
use network::{Convergence, Network, OperatingPoint};
use physics::adiabatic::{heating_integral, k_factor};
use physics::contact::hottest_temperature;
use physics::heat::{Cycle, Heating, Outcome, cycle, steady_temperature, temperature_after};
use physics::quantity::AmperesSquaredSeconds;
use units::{Amperes, Kelvin, Ratio, Seconds, Volts, Watts};

use crate::fault::conductor_of;
use crate::finding::Contact;
use crate::joint_heat::{JointHeat, softest};
use crate::judge::Judge;

/// Less heat than this is not worth telling of a joint that comes to no harm.
pub const LEAST_HEAT: Watts = Watts(0.5);
/// Less current than this warms nothing that a vehicle has.
const LEAST_AMPS: Amperes = Amperes(0.05);
/// The adiabatic law holds for about so long (IEC 60364-4-43, 434.5.2).
pub const ADIABATIC: Seconds = SHORT;

/// A current that comes and goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duty {
    /// Share of the time that it flows.
    pub share: Ratio,
    /// From one beginning to the next.
    pub period: Seconds,
}

/// A short current against what the conductor bears with nothing lost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShortFault {
    /// I²t.
    pub integral: AmperesSquaredSeconds,
    /// k²S².
    pub bears: AmperesSquaredSeconds,
    /// Temperature at which it is measured.
    pub last: Kelvin,
}

/// A conductor in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductorWarmth {
    /// The conductor.
    pub conductor: ConductorId,
    /// Its current.
    pub amps: Amperes,
    /// Share of the time that it flows: of the load whose lead it is; one elsewhere.
    pub duty: Ratio,
    /// Air about it, from which it warms.
    pub air: Kelvin,
    /// Temperature after the time asked about.
    pub at_end: Kelvin,
    /// Temperature at which it settles with its duty; nothing when it would melt.
    pub settles: Option<Kelvin>,
    /// Temperature that must not be passed.
    pub limit: Kelvin,
    /// What bears no more than that.
    pub limit_of: LimitOf,
    /// Current that it bears for ever.
    pub bears: Amperes,
    /// Time until its limit and until it melts, if ever.
    pub endurance: Endurance,
    /// For times of up to [`ADIABATIC`].
    pub short: Option<ShortFault>,
    /// For a duty asked about: nothing where it would melt.
    pub cycle: Option<Cycle>,
}

/// A joint in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointWarmth {
    /// The joint.
    pub joint: JointId,
    /// Its current.
    pub amps: Amperes,
    /// What it loses.
    pub volts: Volts,
    /// Heat made in it.
    pub watts: Watts,
    /// How hot its heat makes it at the end of the time: an estimate.
    pub reaches: Kelvin,
    /// Temperature from which its softest metal softens, or the insulation beside it suffers.
    pub softens: Kelvin,
    /// Its hottest spot, if all that it loses beyond a sound one of its kind is lost in one spot.
    pub hottest: Kelvin,
    /// Voltage at which the softest metal in it softens.
    pub softening: Volts,
    /// What its heat does to it.
    pub contact: Option<Contact>,
}

/// A conductor that carries nothing in a state, and could.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resting {
    /// The conductor.
    pub conductor: ConductorId,
    /// Air about it.
    pub air: Kelvin,
    /// Temperature that must not be passed.
    pub limit: Kelvin,
    /// Current that it bears for ever.
    pub bears: Amperes,
}

/// A state's warmth.
#[derive(Debug, Clone, PartialEq)]
pub struct Warmth {
    /// The state.
    pub state: StateId,
    /// The time asked about.
    pub time: Seconds,
    /// False when the state has no operating point; what follows is then the last attempt.
    pub found: bool,
    /// Conductors that carry something, the nearest to their limit at the end first.
    pub conductors: Vec<ConductorWarmth>,
    /// Joints that lose something, the hottest by their heat first.
    pub joints: Vec<JointWarmth>,
    bearings: Vec<Option<Bearing>>,
}

impl ConductorWarmth {
    /// Part of the way from the air to its limit, at the end of the time.
    #[must_use]
    pub fn used(&self) -> Ratio {
        let room = (self.limit.0 - self.air.0).max(1.0);
        Ratio((self.at_end.0 - self.air.0) / room)
    }
}

impl JointWarmth {
    /// Whether a person wants to know of it: its metal suffers, or it makes half a watt of heat.
    #[must_use]
    pub fn telling(&self) -> bool {
        self.contact.is_some() || self.watts >= LEAST_HEAT
    }
}

impl Warmth {
    /// How warm everything is a time after a state began, everything as warm as the air before.
    #[must_use]
    pub fn new(vehicle: &Vehicle, state: StateId, time: Seconds, duty: Option<Duty>) -> Self {
        let mut network = Network::new(vehicle);
        let point = network.operating_point(state);
        let judge = Judge::new(vehicle, point);
        let mut conductors: Vec<ConductorWarmth> = (0..vehicle.conductors.len())
            .map(ConductorId::at)
            .filter_map(|id| conductor(vehicle, &judge, id, time, duty))
            .collect();
        conductors.sort_by(|a, b| units::larger_first(a.used().0, b.used().0));
        let mut joints: Vec<JointWarmth> = (0..vehicle.joints.len())
            .map(JointId::at)
            .filter_map(|id| joint(vehicle, &judge, id, time))
            .collect();
        joints.sort_by(|a, b| units::larger_first(a.reaches.0, b.reaches.0));
        let found = judge.base.convergence == Convergence::Reached;
        Self { state, time, found, conductors, joints, bearings: judge.bearings }
    }

    /// The conductors whose heat is known and that carry nothing, in the order of the file.
    #[must_use]
    pub fn resting(&self) -> Vec<Resting> {
        let mut carries = vec![false; self.bearings.len()];
        for own in &self.conductors {
            carries[own.conductor.index()] = true;
        }
        let all = self.bearings.iter().enumerate();
        all.filter(|(at, _)| !carries[*at])
            .filter_map(|(at, own)| own.as_ref().map(|own| (at, own)))
            .map(|(at, own)| Resting {
                conductor: ConductorId::at(at),
                air: own.conductor.surroundings.air,
                limit: own.limit(),
                bears: own.conductor.lasting,
            })
            .collect()
    }

    /// Temperature of a conductor after each of some times; empty where its heat is not known.
    #[must_use]
    pub fn course(&self, own: &ConductorWarmth, times: &[Seconds]) -> Vec<(Seconds, Kelvin)> {
        let Some(bearing) = self.bearings.get(own.conductor.index()).copied().flatten() else {
            return Vec::new();
        };
        let melting = bearing.conductor.melting;
        times
            .iter()
            .filter_map(|time| {
                let (thermal, around) =
                    (&bearing.conductor.balance, &bearing.conductor.surroundings);
                let after =
                    temperature_after(thermal, own.amps, *time, own.air, around, melting).ok()?;
                Some((*time, reached(after)))
            })
            .collect()
    }
}

fn reached(heating: Heating) -> Kelvin {
    match heating {
        Heating::Reaches(temperature) => temperature,
        Heating::Exceeds { limit, .. } => limit,
    }
}

fn settled(outcome: Outcome) -> Option<Kelvin> {
    match outcome {
        Outcome::Settles(temperature) => Some(temperature),
        Outcome::Exceeds(_) => None,
    }
}

/// How a conductor warms and cools by turns; nothing where the current never stops.
fn by_turns(bearing: &Bearing, amps: Amperes, duty: Duty) -> Option<Cycle> {
    if duty.share >= Ratio(1.0) {
        return None;
    }
    let own = &bearing.conductor;
    let on = duty.period * duty.share.0;
    cycle(&own.balance, amps, on, duty.period - on, &own.surroundings, own.melting).ok().flatten()
}

fn conductor(
    vehicle: &Vehicle,
    judge: &Judge<'_>,
    id: ConductorId,
    time: Seconds,
    asked: Option<Duty>,
) -> Option<ConductorWarmth> {
    let bearing = judge.bearings[id.index()]?;
    let amps = judge.base.pieces[id.index()].amps.abs();
    if amps < LEAST_AMPS {
        return None;
    }
    let (thermal, around) = (&bearing.conductor.balance, &bearing.conductor.surroundings);
    let (air, melting) = (around.air, bearing.conductor.melting);
    let duty = asked.map_or_else(|| lead_duty(vehicle, id), |duty| duty.share);
    let at_end = reached(temperature_after(thermal, amps, time, air, around, melting).ok()?);
    let mean = amps * duty.0.sqrt();
    let settles = settled(steady_temperature(thermal, mean, around, melting).ok()?);
    let bearing = Bearing { start: air, lasts: Some(time), ..bearing };
    Some(ConductorWarmth {
        conductor: id,
        amps,
        duty,
        air,
        at_end,
        settles,
        limit: bearing.limit(),
        limit_of: bearing.conductor.limits.of,
        bears: bearing.conductor.lasting,
        endurance: bearing.endurance(amps, Ratio(1.0)),
        short: short(&bearing, amps, time),
        cycle: asked.and_then(|duty| by_turns(&bearing, amps, duty)),
    })
}

/// Duty of the load whose lead a conductor is; one for any other.
fn lead_duty(vehicle: &Vehicle, id: ConductorId) -> Ratio {
    let conductor = vehicle.conductor(id);
    let ends = [conductor.from, conductor.to].map(|joint| vehicle.joint(joint).point);
    let lead = vehicle
        .loads
        .iter()
        .find(|load| ends.contains(&load.positive) || ends.contains(&load.negative));
    lead.map_or(Ratio(1.0), |load| load.duty)
}

/// The current against what the insulation bears at the end of a short circuit.
fn short(bearing: &Bearing, amps: Amperes, time: Seconds) -> Option<ShortFault> {
    if time > ADIABATIC {
        return None;
    }
    let own = &bearing.conductor;
    let last = own.limits.short;
    let k = k_factor(&own.metal, own.surroundings.air, last).ok()?;
    Some(ShortFault {
        integral: heating_integral(amps, time),
        bears: AmperesSquaredSeconds((k.0 * own.area.0).powi(2)),
        last,
    })
}

fn joint(vehicle: &Vehicle, judge: &Judge<'_>, id: JointId, time: Seconds) -> Option<JointWarmth> {
    let point: &OperatingPoint = &judge.base;
    let piece = point.piece(vehicle, Piece::Joint(id));
    let heat = JointHeat::new(vehicle, id, point, Some(time))?;
    let (amps, volts) = (piece.amps.abs(), piece.volts.abs());
    if amps < LEAST_AMPS {
        return None;
    }
    let bodies = body(vehicle, point, id);
    let beyond = (volts - amps * heat.sound).max(Volts::ZERO);
    let hottest = hottest_temperature(beyond, bodies).ok()?;
    Some(JointWarmth {
        joint: id,
        amps,
        volts,
        watts: piece.watts,
        reaches: heat.reaches(amps, volts),
        softens: heat.softens,
        hottest,
        softening: softest(vehicle.joint(id)).softening,
        contact: heat.contact(amps, volts),
    })
}

/// Temperature of what the joint holds: its conductor's, or the air's.
fn body(vehicle: &Vehicle, point: &OperatingPoint, id: JointId) -> Kelvin {
    let own = conductor_of(vehicle.joint(id));
    let own = own.and_then(|own| point.pieces[own.index()].temperature);
    own.unwrap_or(vehicle.state(point.state).air)
}
