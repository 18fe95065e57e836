//! The balance itself, in bare numbers with everything constant worked out once.

use std::f64::consts::PI;

use units::{Amperes, Kelvin};

use super::air::{GRAVITY, Spread, film};
use super::wall::{OPEN_FACE, shape_factor};
use super::{ConductorThermal, Surroundings};
use crate::conductor::REFERENCE_TEMPERATURE;
use crate::error::PhysicsError;

/// Stefan–Boltzmann constant, W/(m²·K⁴) (CODATA).
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;

/// One conductor in its surroundings, checked; temperatures in kelvin, all else for each metre.
#[derive(Debug, Clone, Copy)]
pub(super) struct Balance {
    pub air: f64,
    pub capacity: f64,
    resistance_at_20: f64,
    coefficient: f64,
    insulation: f64,
    diameter: f64,
    radiation: f64,
    derating_squared: f64,
    /// Part of the face that sees the room, and the shape factor of the metal beside it.
    open: f64,
    shape: f64,
    spread: Spread,
}

impl Balance {
    pub(super) fn new(
        conductor: &ConductorThermal,
        surroundings: &Surroundings,
    ) -> Result<Self, PhysicsError> {
        conductor.check()?;
        surroundings.check()?;
        let diameter = conductor.outer_diameter.0;
        let (open, shape) = match surroundings.metal_gap {
            Some(gap) => (OPEN_FACE, shape_factor(conductor.outer_diameter, gap)?.0),
            None => (1.0, 0.0),
        };
        Ok(Self {
            air: surroundings.air.0,
            capacity: conductor.heat_capacity_per_metre.0,
            resistance_at_20: conductor.resistance_per_metre_at_20.0,
            coefficient: conductor.temperature_coefficient.0,
            insulation: (diameter / conductor.metal_diameter.0).ln()
                / (2.0 * PI * conductor.insulation_conductivity.0),
            diameter,
            radiation: PI * diameter * conductor.emissivity.0 * STEFAN_BOLTZMANN,
            derating_squared: surroundings.derating.0 * surroundings.derating.0,
            open,
            shape,
            spread: Spread::new(film(surroundings.air.0).prandtl),
        })
    }

    /// Ohms of each metre at a temperature.
    pub(super) fn resistance(&self, temperature: f64) -> f64 {
        self.resistance_at_20 * (1.0 + self.coefficient * (temperature - REFERENCE_TEMPERATURE.0))
    }

    /// Heat that leaves the outer face at a temperature, and nearly its slope.
    ///
    /// The slope takes convection as the power 1.2 of the difference, within about a tenth: enough
    /// for a Newton step, never part of an answer.
    fn face(&self, face: f64) -> (f64, f64) {
        let difference = face - self.air;
        let air = film(0.5 * (face + self.air));
        let grashof = 2.0 * GRAVITY * difference.abs() * self.diameter.powi(3)
            / ((face + self.air) * air.viscosity * air.viscosity);
        // h · π D is Nu · k · π: the diameter cancels.
        let convection =
            PI * air.conductivity * self.spread.nusselt(air.prandtl, grashof * air.prandtl);
        let (face_squared, air_squared) = (face * face, self.air * self.air);
        // The difference of fourth powers, factored so that small rises keep their digits.
        let radiation = self.radiation * (face_squared + air_squared) * (face + self.air);
        let slope = 1.2 * convection + 4.0 * self.radiation * face_squared * face;
        let metal = self.shape * air.conductivity;
        ((self.open * (convection + radiation) + metal) * difference, self.open * slope + metal)
    }

    /// Heat that leaves a conductor at a temperature, its bundle allowed for.
    ///
    /// `share` is the face's part of the rise, carried from call to call as a first guess; a
    /// good one makes a single step enough for `tolerance`, in kelvin of the face.
    pub(super) fn loss(&self, conductor: f64, share: &mut f64, tolerance: f64) -> f64 {
        let mut face = self.air + *share * (conductor - self.air);
        let mut loss = 0.0;
        for _ in 0..40 {
            let (heat, slope) = self.face(face);
            let step =
                (conductor - face - self.insulation * heat) / (1.0 + self.insulation * slope);
            face += step;
            loss = heat + slope * step;
            if step.abs() <= tolerance {
                break;
            }
        }
        let rise = conductor - self.air;
        if rise.abs() > 1e-6 {
            *share = (face - self.air) / rise;
        }
        self.derating_squared * loss
    }

    /// Where heat made and heat lost are equal, if that lies at or below `limit`.
    pub(super) fn settled(&self, current: Amperes, limit: Kelvin) -> Option<f64> {
        let squared = current.0 * current.0;
        // Excess of heat made over heat lost with the face at a temperature, its slope, and the
        // conductor's temperature. The face is the unknown because both sides are explicit in it.
        let excess = |face: f64| {
            let (heat, slope) = self.face(face);
            let conductor = face + self.insulation * heat;
            let made = squared * self.resistance(conductor);
            let made_slope = squared
                * self.resistance_at_20
                * self.coefficient
                * (1.0 + self.insulation * slope);
            let lost = self.derating_squared;
            (made - lost * heat, made_slope - lost * slope, conductor)
        };
        let (mut low, mut high) = (self.air, limit.0);
        if high < low || !squared.is_finite() {
            return None;
        }
        if excess(high).0 > 0.0 {
            return None;
        }
        // 15 W/(m²·K) is a usual sum of convection and radiation.
        let guess = squared * self.resistance(self.air)
            / (self.derating_squared * PI * self.diameter * 15.0);
        let mut face = (low + guess).min(0.5 * (low + high));
        for iteration in 0..200 {
            let (value, slope, _) = excess(face);
            if value > 0.0 {
                low = face
            } else {
                high = face
            }
            let newton = face - value / slope;
            // Newton's step while it stays inside and is quick, else halve what is left.
            let next = if low <= newton && newton <= high && iteration % 12 != 11 {
                newton
            } else {
                0.5 * (low + high)
            };
            let step = (next - face).abs();
            face = next;
            if step <= 1e-9 * face {
                break;
            }
        }
        let conductor = excess(face).2;
        (conductor <= limit.0).then_some(conductor)
    }
}
