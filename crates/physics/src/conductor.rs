//! Resistance of metal: along a conductor, across a sheet, and with temperature.

use units::{Kelvin, Metres, OhmMetres, Ohms, Ratio, SquareMetres};

use crate::error::{PhysicsError, above, within};
use crate::quantity::PerKelvin;

/// Resistivity of annealed copper of 100 % conductivity at 20 °C: 1.7241e-8 Ω·m (IEC 60028).
pub const ANNEALED_COPPER: OhmMetres = OhmMetres(1.7241e-8);

/// Temperature coefficient of such copper about 20 °C: 0.00393 /K (IEC 60028).
pub const ANNEALED_COPPER_COEFFICIENT: PerKelvin = PerKelvin(0.00393);

/// The temperature at which resistivities are stated: 20 °C.
pub const REFERENCE_TEMPERATURE: Kelvin = Kelvin::from_celsius(20.0);

/// Resistance of a conductor of even section, end to end.
///
/// ```text
/// R = ρ · L / A
/// ```
///
/// `length` runs along the conductor; `area` is metal only. Terminations are not included.
///
/// # Errors
///
/// [`PhysicsError`] unless resistivity and area lie above zero and the length is not negative.
///
/// # Example
///
/// ```
/// # use physics::conductor::{ANNEALED_COPPER, resistance};
/// # use units::{Metres, SquareMetres};
/// let ohms = resistance(ANNEALED_COPPER, Metres(10.0), SquareMetres::from_mm2(17.241))?;
/// assert!((ohms.0 - 0.010).abs() < 1e-12);
/// # Ok::<(), physics::PhysicsError>(())
/// ```
pub fn resistance(
    resistivity: OhmMetres,
    length: Metres,
    area: SquareMetres,
) -> Result<Ohms, PhysicsError> {
    let rho = above("a resistivity", 0.0, resistivity.0, OhmMetres::SYMBOL)?;
    let length = within("a length", 0.0, f64::MAX, length.0, Metres::SYMBOL)?;
    let area = above("a metal area", 0.0, area.0, SquareMetres::SYMBOL)?;
    Ok(Ohms(rho * length / area))
}

/// Resistance at a temperature over resistance at 20 °C.
///
/// ```text
/// R / R₂₀ = 1 + α₂₀ · (T − 20 °C)
/// ```
///
/// A straight line: good for copper and aluminium from −60 °C to 250 °C; steel curves upwards.
///
/// # Source
///
/// IEC 60028:1925 for copper; the linear form is general.
#[must_use]
pub fn temperature_factor(coefficient: PerKelvin, temperature: Kelvin) -> Ratio {
    Ratio(1.0 + coefficient.0 * (temperature - REFERENCE_TEMPERATURE).0)
}

/// Resistance of a square of sheet metal between two opposite edges, whatever the square's size.
///
/// ```text
/// Rs = ρ / t
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless both arguments lie above zero.
pub fn sheet_resistance(resistivity: OhmMetres, thickness: Metres) -> Result<Ohms, PhysicsError> {
    let rho = above("a resistivity", 0.0, resistivity.0, OhmMetres::SYMBOL)?;
    let thickness = above("a sheet thickness", 0.0, thickness.0, Metres::SYMBOL)?;
    Ok(Ohms(rho / thickness))
}

#[cfg(test)]
mod tests;
