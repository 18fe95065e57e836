//! How warm a conductor gets in a state, for the resistance it then has; and a conductor as the laws
//! of heat see it.

use model::{ConductorId, Laid, StateId, Vehicle};
use physics::heat::{
    ConductorThermal, Heating, Outcome, Surroundings, steady_temperature, temperature_after,
};
use physics::quantity::{JoulesPerMetreKelvin, OhmsPerMetre, WattsPerMetreKelvin};
use units::{Amperes, Kelvin, Metres, Ratio};

use crate::conditions::air;

/// A rise smaller than this changes a copper resistance by less than 0.02 % and is not computed.
const NEGLIGIBLE_RISE: f64 = 0.05;

/// Heat leaving each square metre and kelvin at the very least: radiation from plastic at room
/// temperature alone gives about 5 W/(m²·K).
const LEAST_HEAT_LOSS: f64 = 5.0;

/// Insulation of road-vehicle cable: PVC 0.17 to 0.2 W/(m·K), cross-linked polyethylene 0.29
/// (IEC 60287-2-1, as thermal resistivities).
const INSULATION_CONDUCTIVITY: WattsPerMetreKelvin = WattsPerMetreKelvin(0.2);

/// Radiation of a plastic sheath, and of bare oxidised copper (from memory).
const EMISSIVITY: (Ratio, Ratio) = (Ratio(0.9), Ratio(0.5));

/// What is left of a single conductor's current in a bundle: ABYC E-11, 3 conductors 0.70, 4 to 6
/// 0.60, 7 to 24 0.50; two and more than 24 are common practice.
fn bundle_derating(loaded: u32) -> Ratio {
    Ratio(match loaded {
        0 | 1 => 1.0,
        2 => 0.8,
        3 => 0.7,
        4..=6 => 0.6,
        7..=24 => 0.5,
        _ => 0.4,
    })
}

/// Mean gap between a conductor and the metal to which it is clipped: clips hold it every third of a metre
/// or so, and between them it stands off. A working figure, without a source.
const METAL_GAP: Metres = Metres(1e-3);

/// A conductor as the laws of heat see it; nothing where the file gives no size or length.
#[must_use]
pub fn conductor_thermal(vehicle: &Vehicle, id: ConductorId) -> Option<ConductorThermal> {
    let conductor = vehicle.conductor(id);
    let (length, metal, outer, heat) = (
        conductor.length?,
        conductor.metal_diameter?,
        conductor.outer_diameter?,
        conductor.heat_capacity?,
    );
    Some(ConductorThermal {
        metal_diameter: metal,
        outer_diameter: outer,
        resistance_per_metre_at_20: OhmsPerMetre(conductor.resistance_at_20.0 / length.0),
        temperature_coefficient: conductor.temperature_coefficient,
        insulation_conductivity: INSULATION_CONDUCTIVITY,
        emissivity: if conductor.insulation.is_some() { EMISSIVITY.0 } else { EMISSIVITY.1 },
        heat_capacity_per_metre: JoulesPerMetreKelvin(heat.0 / length.0),
    })
}

/// The air around a conductor in a state, what its bundle leaves it, and the metal along which it lies.
#[must_use]
pub fn conductor_surroundings(vehicle: &Vehicle, id: ConductorId, state: StateId) -> Surroundings {
    let conductor = vehicle.conductor(id);
    Surroundings {
        air: air(vehicle, id, state),
        derating: bundle_derating(conductor.bundle),
        metal_gap: (conductor.laid == Laid::OnMetal).then_some(METAL_GAP),
    }
}

/// Temperature of a conductor's metal at the end of a state in which it carries `current`.
///
/// The state's usual duration counts; a state of hours settles. Warming is capped at the melting
/// point, where the question stops making sense.
pub(crate) fn metal_temperature(
    vehicle: &Vehicle,
    id: ConductorId,
    current: Amperes,
    state: StateId,
) -> Kelvin {
    let surroundings = conductor_surroundings(vehicle, id, state);
    let air = surroundings.air;
    let conductor = vehicle.conductor(id);
    let Some(thermal) = conductor_thermal(vehicle, id) else { return air };
    let watts_per_metre = current.0 * current.0 * thermal.resistance_per_metre_at_20.0;
    let derating = surroundings.derating.0;
    let loss_per_kelvin =
        LEAST_HEAT_LOSS * std::f64::consts::PI * thermal.outer_diameter.0 * derating * derating;
    if watts_per_metre < NEGLIGIBLE_RISE * loss_per_kelvin {
        return air;
    }
    let settled = match vehicle.state(state).duration {
        None => {
            steady_temperature(&thermal, current, &surroundings, conductor.melting).map(|outcome| {
                match outcome {
                    Outcome::Settles(temperature) => temperature,
                    Outcome::Exceeds(limit) => limit,
                }
            })
        }
        Some(duration) => {
            temperature_after(&thermal, current, duration, air, &surroundings, conductor.melting)
                .map(|heating| match heating {
                    Heating::Reaches(temperature) => temperature,
                    Heating::Exceeds { limit, .. } => limit,
                })
        }
    };
    // The numbers were checked when the vehicle was read; what the law still refuses stays at air temperature.
    settled.unwrap_or(air)
}
