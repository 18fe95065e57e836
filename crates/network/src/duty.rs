//! What a ground has to bear: for how long, from how warm, and what it carries when it is alone.
//!
//! A starter is not cranked once: a cold engine, or one out of fuel, gets three cranks, and the last of
//! them with everything warm. A conductor that is offered as a way home is held to that.

use catalogue::{Defaults, DutyJudgements};
use model::{ConductorId, LoadKind, PointId, PointOwner, StateId, Surroundings, Vehicle};
use physics::heat::{
    ConductorThermal, Heating, Surroundings as Around, heat_capacity_per_metre, ring_area,
    stranded_diameter, temperature_after,
};
use physics::quantity::{JoulesPerCubicMetreKelvin, OhmsPerMetre, PerKelvin, WattsPerMetreKelvin};
use units::{Amperes, Kelvin, Ohms, Ratio, Seconds, SquareMetres};

use crate::operating_point::OperatingPoint;

/// What a ground has to bear by the catalogue's judgement, each with its reason.
#[must_use]
pub fn judged() -> &'static DutyJudgements {
    DutyJudgements::standard()
}

/// True when a starter turns in a state.
#[must_use]
pub fn cranks(vehicle: &Vehicle, state: StateId) -> bool {
    vehicle.loads.iter().any(|load| load.kind == LoadKind::Starter && load.is_on_in(state))
}

/// For how long a ground has to bear its current in a state: three cranks where a starter turns, never
/// less than the state lasts, nothing for hours.
#[must_use]
pub fn lasts(vehicle: &Vehicle, state: StateId) -> Option<Seconds> {
    let usual = vehicle.state(state).duration?;
    let own = judged();
    let whole = own.crank * own.cranks.0 + own.rest * (own.cranks.0 - 1.0);
    Some(if cranks(vehicle, state) { whole.max(usual) } else { usual })
}

/// Air in which it begins: that of a stopped warm engine before a crank in the engine space, that of the
/// state elsewhere.
#[must_use]
pub fn air(vehicle: &Vehicle, state: StateId, surroundings: Surroundings) -> Kelvin {
    let own = vehicle.state(state);
    match surroundings {
        Surroundings::EngineSpace if cranks(vehicle, state) => {
            vehicle.states.iter().map(|own| own.engine_space).fold(judged().hot_engine, Kelvin::max)
        }
        Surroundings::EngineSpace => own.engine_space,
        Surroundings::Inside | Surroundings::Outside => own.air,
    }
}

/// Air in which a conductor begins.
#[must_use]
pub fn conductor_air(vehicle: &Vehicle, id: ConductorId, state: StateId) -> Kelvin {
    air(vehicle, state, vehicle.conductor(id).surroundings)
}

/// A new copper cable of usual make as the laws of heat see it: stranded, a plastic wall.
/// `per_metre` is the resistance of a metre at 20 °C. Nothing for a size that is none.
#[must_use]
pub fn new_cable(area: SquareMetres, per_metre: Ohms) -> Option<ConductorThermal> {
    let metal_diameter = stranded_diameter(area, Defaults::standard().strand_fill).ok()?;
    let outer_diameter = metal_diameter + judged().new_cable_wall * 2.0;
    let plastic = JoulesPerCubicMetreKelvin(2.0e6);
    let copper = JoulesPerCubicMetreKelvin(3.45e6);
    let ring = ring_area(metal_diameter, outer_diameter).ok()?;
    Some(ConductorThermal {
        metal_diameter,
        outer_diameter,
        resistance_per_metre_at_20: OhmsPerMetre(per_metre.0),
        temperature_coefficient: PerKelvin(0.00393),
        insulation_conductivity: WattsPerMetreKelvin(0.2),
        emissivity: Ratio(0.9),
        heat_capacity_per_metre: heat_capacity_per_metre(&[(copper, area), (plastic, ring)]),
    })
}

/// True when a conductor stays below a temperature under a current, and some more, for as long as a ground has to bear it
/// in a state.
#[must_use]
pub fn bears(
    vehicle: &Vehicle,
    state: StateId,
    conductor: &ConductorThermal,
    around: &Around,
    limit: Kelvin,
    amps: Amperes,
) -> bool {
    let time = lasts(vehicle, state).unwrap_or(Seconds(f64::INFINITY));
    let start = around.air;
    // What the law refuses is no conductor that anybody should be told to fit.
    temperature_after(conductor, amps.abs() * judged().in_hand.0, time, start, around, limit)
        .is_ok_and(|heating| matches!(heating, Heating::Reaches(_)))
}

/// True when a new copper cable beside the engine bears a current for as long as a ground has to bear it in
/// a state, from warm.
#[must_use]
pub fn new_cable_bears(
    vehicle: &Vehicle,
    state: StateId,
    area: SquareMetres,
    per_metre: Ohms,
    amps: Amperes,
) -> bool {
    let around = Around::alone(air(vehicle, state, Surroundings::EngineSpace));
    new_cable(area, per_metre)
        .is_some_and(|cable| bears(vehicle, state, &cable, &around, judged().new_cable_limit, amps))
}

/// The conductors beside a way between two points: those that join the same two bodies of metal, posts or
/// bars, and those that share an end with it which is no body of metal, so that what they carry comes to
/// it when they let go.
#[must_use]
pub fn beside(vehicle: &Vehicle, from: PointId, to: PointId) -> Vec<ConductorId> {
    let ends = [body(vehicle, from), body(vehicle, to)];
    let post = |point: PointId| !matches!(vehicle.point(point).owner, PointOwner::Structure(_));
    let shared: Vec<PointId> = [from, to].into_iter().filter(|point| post(*point)).collect();
    (0..vehicle.conductors.len())
        .map(ConductorId::at)
        .filter(|id| {
            let own = vehicle.conductor(*id);
            let points = [own.from, own.to].map(|joint| vehicle.joint(joint).point);
            let bodies = points.map(|point| body(vehicle, point));
            let same = bodies == ends || bodies == [ends[1], ends[0]];
            same || points.iter().any(|point| shared.contains(point))
        })
        .collect()
}

/// The most that one of some conductors carries in a state.
#[must_use]
pub fn most(conductors: &[ConductorId], point: &OperatingPoint) -> Amperes {
    conductors
        .iter()
        .filter_map(|id| point.pieces.get(id.index()))
        .fold(Amperes::ZERO, |most, piece| most.max(piece.amps.abs()))
}

/// A number for each body of metal, and for each point that stands for itself.
#[must_use]
pub fn body(vehicle: &Vehicle, point: PointId) -> usize {
    match vehicle.point(point).owner {
        PointOwner::Structure(at) => vehicle.points.len() + at as usize,
        _ => point.index(),
    }
}
