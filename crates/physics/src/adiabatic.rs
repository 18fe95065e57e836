//! Short, strong currents: warming with no heat lost.

use units::{Amperes, Kelvin, OhmMetres, Seconds, SquareMetres};

use crate::error::{PhysicsError, above, within};
use crate::quantity::{
    AmpereRootSecondsPerSquareMetre, AmperesSquaredSeconds, JoulesPerCubicMetreKelvin,
};

/// What the adiabatic law needs to know of a metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AdiabaticMetal {
    /// Temperature at which the straight line of resistance would reach zero (−β °C).
    pub zero_resistance: Kelvin,
    /// Heat capacity of each cubic metre at 20 °C.
    pub heat_capacity: JoulesPerCubicMetreKelvin,
    /// Resistivity at 20 °C.
    pub resistivity: OhmMetres,
}

/// A metal from the three numbers as IEC 60949 prints them: β °C, Qc J/(K·mm³), ρ₂₀ Ω·mm.
const fn metal(beta: f64, heat: f64, resistivity: f64) -> AdiabaticMetal {
    AdiabaticMetal {
        zero_resistance: Kelvin::from_celsius(-beta),
        heat_capacity: JoulesPerCubicMetreKelvin(heat * 1e9),
        resistivity: OhmMetres(resistivity * 1e-3),
    }
}

/// Copper, K = 226 A·√s/mm² (IEC 60949; from memory, proven by the printed k tables).
pub const COPPER: AdiabaticMetal = metal(234.5, 3.45e-3, 17.241e-6);
/// Aluminium, K = 148 A·√s/mm² (IEC 60949; from memory, proven by the printed k tables).
pub const ALUMINIUM: AdiabaticMetal = metal(228.0, 2.5e-3, 28.264e-6);
/// Steel, K = 78 A·√s/mm² (IEC 60949; from memory, proven by the printed k tables).
pub const STEEL: AdiabaticMetal = metal(202.0, 3.8e-3, 138e-6);
/// Lead, K = 41 A·√s/mm² (IEC 60949; from memory, proven by the printed k tables).
pub const LEAD: AdiabaticMetal = metal(230.0, 1.45e-3, 214e-6);

/// Square of the material's constant K in SI, A²·s/m⁴.
fn material_constant_squared(metal: &AdiabaticMetal) -> Result<f64, PhysicsError> {
    let zero = metal.zero_resistance.0;
    // β of any conductor lies far below 20 °C, else its resistance would fall with warmth.
    let zero = within("a temperature of zero resistance", -3000.0, 273.15, zero, Kelvin::SYMBOL)?;
    let heat = metal.heat_capacity.0;
    let heat = above("a heat capacity", 0.0, heat, JoulesPerCubicMetreKelvin::SYMBOL)?;
    let rho = above("a resistivity", 0.0, metal.resistivity.0, OhmMetres::SYMBOL)?;
    Ok(heat * (293.15 - zero) / rho)
}

/// The factor k of a conductor that warms from one temperature to another with no heat lost.
///
/// ```text
/// k = √( Qc (β + 20) / ρ₂₀ · ln((β + θf) / (β + θi)) ),   I² t = k² S²
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless the metal is real and `last` is not below `initial`.
///
/// # Source
///
/// IEC 60949; IEC 60364-5-54 Annex A.
///
/// # Example
///
/// ```
/// # use physics::adiabatic::{COPPER, k_factor};
/// # use units::Kelvin;
/// let pvc = k_factor(&COPPER, Kelvin::from_celsius(70.0), Kelvin::from_celsius(160.0))?;
/// assert_eq!((pvc.0 * 1e-6).round(), 115.0);
/// # Ok::<(), physics::PhysicsError>(())
/// ```
pub fn k_factor(
    metal: &AdiabaticMetal,
    initial: Kelvin,
    last: Kelvin,
) -> Result<AmpereRootSecondsPerSquareMetre, PhysicsError> {
    let constant = material_constant_squared(metal)?;
    let zero = metal.zero_resistance.0;
    let initial = above("an initial temperature", zero, initial.0, Kelvin::SYMBOL)?;
    let last = within("a final temperature", initial, f64::MAX, last.0, Kelvin::SYMBOL)?;
    let ratio = (last - zero) / (initial - zero);
    Ok(AmpereRootSecondsPerSquareMetre((constant * ratio.ln()).sqrt()))
}

/// The heating integral I²t of a steady current.
#[must_use]
pub fn heating_integral(current: Amperes, duration: Seconds) -> AmperesSquaredSeconds {
    AmperesSquaredSeconds(current.0 * current.0 * duration.0)
}

/// Time in which a current warms a conductor from one temperature to another, no heat lost.
///
/// # Errors
///
/// [`PhysicsError`] as [`k_factor`], and unless current and area lie above zero.
///
/// # Source
///
/// IEC 60949.
pub fn duration_to_temperature(
    metal: &AdiabaticMetal,
    current: Amperes,
    area: SquareMetres,
    initial: Kelvin,
    last: Kelvin,
) -> Result<Seconds, PhysicsError> {
    let k = k_factor(metal, initial, last)?;
    let current = above("a current", 0.0, current.abs().0, Amperes::SYMBOL)?;
    let area = above("a metal area", 0.0, area.0, SquareMetres::SYMBOL)?;
    Ok(Seconds((k.0 * area / current).powi(2)))
}
#[cfg(test)]
mod tests;
