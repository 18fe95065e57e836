//! A conductor in the air of a state: its heat balance, its limits, and the current it bears for ever.

use model::{ConductorId, StateId, Vehicle};
use network::heating::{conductor_surroundings, conductor_thermal};
use physics::adiabatic::AdiabaticMetal;
use physics::heat::{ConductorThermal, Outcome, Surroundings, steady_current, steady_temperature};
use physics::quantity::{JoulesPerCubicMetreKelvin, JoulesPerMetreKelvin};
use units::{Amperes, Kelvin, OhmMetres, Ratio, SquareMetres};

use crate::limits::Limits;

/// A conductor with size and length, in the air of a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thermal {
    /// Its heat balance.
    pub balance: ConductorThermal,
    /// What surrounds it.
    pub surroundings: Surroundings,
    /// Temperatures that it may have.
    pub limits: Limits,
    /// Current that it bears for ever.
    pub lasting: Amperes,
    /// Its metal, for heating with nothing lost.
    pub metal: AdiabaticMetal,
    /// Its metal's section.
    pub area: SquareMetres,
    /// Temperature at which its metal melts.
    pub melting: Kelvin,
}

impl Thermal {
    /// A conductor in a state; nothing where its size, length or metal is not known.
    #[must_use]
    pub fn of(vehicle: &Vehicle, id: ConductorId, state: StateId) -> Option<Self> {
        let conductor = vehicle.conductor(id);
        let balance = conductor_thermal(vehicle, id)?;
        let surroundings = conductor_surroundings(vehicle, id, state);
        let limits = Limits::of(conductor, surroundings.air);
        let lasting = steady_current(&balance, limits.lasting, &surroundings).ok()?;
        let material = conductor.material;
        let area = conductor.area?;
        let metal = AdiabaticMetal {
            zero_resistance: Kelvin(293.15 - 1.0 / conductor.temperature_coefficient.0.max(1e-3)),
            heat_capacity: JoulesPerCubicMetreKelvin(
                material.density_kg_per_m3 * material.specific_heat_j_per_kg_k,
            ),
            resistivity: OhmMetres(balance.resistance_per_metre_at_20.0 * area.0),
        };
        let melting = conductor.melting;
        Some(Self { balance, surroundings, limits, lasting, metal, area, melting })
    }

    /// Where a lasting current settles; nothing when it melts first.
    #[must_use]
    pub fn settles(&self, current: Amperes) -> Option<Kelvin> {
        match steady_temperature(&self.balance, current, &self.surroundings, self.melting) {
            Ok(Outcome::Settles(temperature)) => Some(temperature),
            Ok(Outcome::Exceeds(_)) | Err(_) => None,
        }
    }

    /// The same in warmer or colder air; the limits stay those of the state.
    #[must_use]
    pub(crate) fn in_air(mut self, air: Kelvin) -> Self {
        self.surroundings.air = air;
        self.lasting = steady_current(&self.balance, self.limits.lasting, &self.surroundings)
            .unwrap_or(Amperes::ZERO);
        self
    }

    /// The conductor with `share` of its section in place of one: thinner or thicker.
    #[must_use]
    pub(crate) fn resized(mut self, share: Ratio) -> Self {
        let root = share.0.sqrt();
        let metal_diameter = self.balance.metal_diameter;
        self.balance.metal_diameter = metal_diameter * root;
        // The wall of the insulation stays as it is.
        self.balance.outer_diameter += metal_diameter * (root - 1.0);
        self.balance.resistance_per_metre_at_20.0 /= share.0;
        self.balance.heat_capacity_per_metre.0 *= share.0;
        self.area = self.area * share.0;
        self.lasting = steady_current(&self.balance, self.limits.lasting, &self.surroundings)
            .unwrap_or(self.lasting);
        self
    }

    /// Its balance with so many times its resistance.
    pub(crate) fn worn(&self, times: Ratio) -> ConductorThermal {
        let mut worn = self.balance;
        worn.resistance_per_metre_at_20.0 *= times.0;
        worn
    }

    /// Its balance with the heat of its metal alone: in seconds a thick insulation lags behind.
    pub(crate) fn without_insulation(&self) -> ConductorThermal {
        ConductorThermal {
            heat_capacity_per_metre: JoulesPerMetreKelvin(self.metal.heat_capacity.0 * self.area.0),
            ..self.balance
        }
    }
}
