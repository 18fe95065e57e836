//! Heat balance of a round conductor in still air: how warm a current makes it, and how fast.
//!
//! ```text
//! C · dT/dt = I² R₂₀ (1 + α₂₀ (T − 20 °C)) − f² · q(Ts)
//! q(Ts)     = π D [ h (Ts − Ta) + ε σ (Ts⁴ − Ta⁴) ]        each metre
//! T − Ts    = q · ln(D / d) / (2 π k)                      through the insulation
//! ```
//!
//! `h` is that of [`air::nusselt`]. The derating `f` of a bundle multiplies the current that holds
//! any given temperature; it enters as f² on the heat that leaves. Along metal half of the face sees the
//! room, and the metal takes what the air between conducts ([`wall::shape_factor`]). Against published current
//! ratings of single wires the balance is within about ±12 %; wind, sunlight and the heat carried
//! off through the ends are left out.

use std::f64::consts::PI;

use units::{Kelvin, Metres, Ratio, SquareMetres};

use crate::error::{PhysicsError, above, within};
use crate::quantity::{
    JoulesPerCubicMetreKelvin, JoulesPerMetreKelvin, OhmsPerMetre, PerKelvin, WattsPerMetreKelvin,
};

pub mod air;
pub mod wall;
mod balance;
pub mod steady;
pub mod transient;
pub mod course;
pub mod end;

pub use course::{Cycle, cycle, time_to_melting, time_to_temperature};
pub use end::end_rise;
#[cfg(test)]
use steady::time_constant;
pub use steady::{Outcome, steady_current, steady_temperature};
pub use transient::{Heating, temperature_after};

/// What the heat balance needs to know of a round conductor, insulated or bare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductorThermal {
    /// Diameter over the metal; for strands see [`stranded_diameter`].
    pub metal_diameter: Metres,
    /// Diameter over the insulation; equal to `metal_diameter` when bare.
    pub outer_diameter: Metres,
    /// Resistance of each metre at 20 °C.
    pub resistance_per_metre_at_20: OhmsPerMetre,
    /// Relative rise of resistance for each kelvin about 20 °C; zero or more.
    pub temperature_coefficient: PerKelvin,
    /// Conductivity of the insulation: 0.17–0.2 for PVC, 0.29 for cross-linked polyethylene
    /// (IEC 60287-2-1 as thermal resistivity).
    pub insulation_conductivity: WattsPerMetreKelvin,
    /// Share of black-body radiation from the outer face: 0.9 plastic, 0.3–0.6 oxidised copper
    /// (from memory).
    pub emissivity: Ratio,
    /// Heat that warms one metre by one kelvin; see [`heat_capacity_per_metre`].
    pub heat_capacity_per_metre: JoulesPerMetreKelvin,
}

/// What surrounds the conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Temperature of the still air, and of the walls it sees.
    pub air: Kelvin,
    /// Share of the single-conductor current that a bundle leaves it: one when alone.
    pub derating: Ratio,
    /// Mean gap between it and metal as warm as the air along which it lies; none when it lies free.
    pub metal_gap: Option<Metres>,
}

impl Surroundings {
    /// A conductor alone in still air.
    #[must_use]
    pub const fn alone(air: Kelvin) -> Self {
        Self { air, derating: Ratio(1.0), metal_gap: None }
    }

    /// Checks both numbers.
    fn check(&self) -> Result<(), PhysicsError> {
        within("an air temperature", 150.0, 1000.0, self.air.0, Kelvin::SYMBOL)?;
        above("a bundle derating", 0.0, self.derating.0, Ratio::SYMBOL)?;
        within("a bundle derating", 0.0, 1.0, self.derating.0, Ratio::SYMBOL)?;
        if let Some(gap) = self.metal_gap {
            above("a gap", 0.0, gap.0, Metres::SYMBOL)?;
        }
        Ok(())
    }
}

impl ConductorThermal {
    /// Checks that every number can belong to a conductor.
    fn check(&self) -> Result<(), PhysicsError> {
        let metal = above("a metal diameter", 0.0, self.metal_diameter.0, Metres::SYMBOL)?;
        within("an outer diameter", metal, 1.0, self.outer_diameter.0, Metres::SYMBOL)?;
        above(
            "a resistance of each metre",
            0.0,
            self.resistance_per_metre_at_20.0,
            OhmsPerMetre::SYMBOL,
        )?;
        // A straight line of resistance stays above zero down to 150 K only below this slope.
        within(
            "a temperature coefficient",
            0.0,
            0.0065,
            self.temperature_coefficient.0,
            PerKelvin::SYMBOL,
        )?;
        above(
            "an insulation conductivity",
            0.0,
            self.insulation_conductivity.0,
            WattsPerMetreKelvin::SYMBOL,
        )?;
        within("an emissivity", 0.0, 1.0, self.emissivity.0, Ratio::SYMBOL)?;
        above(
            "a heat capacity of each metre",
            0.0,
            self.heat_capacity_per_metre.0,
            JoulesPerMetreKelvin::SYMBOL,
        )?;
        Ok(())
    }
}

/// Diameter over strands whose metal fills a share of the circle about them (about 0.75).
///
/// # Errors
///
/// [`PhysicsError`] unless the area lies above zero and the fill above 0.1, at most one.
pub fn stranded_diameter(metal_area: SquareMetres, fill: Ratio) -> Result<Metres, PhysicsError> {
    let area = above("a metal area", 0.0, metal_area.0, SquareMetres::SYMBOL)?;
    let fill = within("a fill of strands", 0.1, 1.0, fill.0, Ratio::SYMBOL)?;
    Ok(Metres((4.0 * area / (PI * fill)).sqrt()))
}

/// Area of the ring between two diameters: that of an insulation.
///
/// # Errors
///
/// [`PhysicsError`] unless the inner diameter is not negative and the outer not smaller.
pub fn ring_area(inner: Metres, outer: Metres) -> Result<SquareMetres, PhysicsError> {
    let inner = within("an inner diameter", 0.0, f64::MAX, inner.0, Metres::SYMBOL)?;
    let outer = within("an outer diameter", inner, f64::MAX, outer.0, Metres::SYMBOL)?;
    Ok(SquareMetres(PI / 4.0 * (outer * outer - inner * inner)))
}

/// Heat capacity of each metre: the sum over layers of volumetric heat capacity times area.
#[must_use]
pub fn heat_capacity_per_metre(
    layers: &[(JoulesPerCubicMetreKelvin, SquareMetres)],
) -> JoulesPerMetreKelvin {
    JoulesPerMetreKelvin(layers.iter().map(|(heat, area)| heat.0 * area.0).sum())
}
