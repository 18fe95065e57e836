//! Resistance of metal: along a conductor, across a sheet, and where current spreads from a contact.

use std::f64::consts::PI;

use units::{Amperes, Kelvin, Metres, OhmMetres, Ohms, Ratio, SquareMetres, Volts};

use crate::error::{PhysicsError, above, within};
use crate::quantity::{PerKelvin, Radians};

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

/// Metal area at which a current loses `drop` along a conductor (out and back, if `length` is both).
///
/// ```text
/// A = ρ · I · L / U
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless the drop lies above zero and nothing else is negative.
pub fn area_for_drop(
    resistivity: OhmMetres,
    current: Amperes,
    length: Metres,
    drop: Volts,
) -> Result<SquareMetres, PhysicsError> {
    let rho = above("a resistivity", 0.0, resistivity.0, OhmMetres::SYMBOL)?;
    let current = within("a current", 0.0, f64::MAX, current.0, Amperes::SYMBOL)?;
    let length = within("a length", 0.0, f64::MAX, length.0, Metres::SYMBOL)?;
    let drop = above("a voltage drop", 0.0, drop.0, Volts::SYMBOL)?;
    Ok(SquareMetres(rho * current * length / drop))
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

/// Temperature coefficient of a metal whose conductivity is reduced by alloying or working.
///
/// ```text
/// α = α_ref · c / c_ref
/// ```
///
/// The slope of resistivity against temperature stays that of the pure metal.
///
/// # Source
///
/// Dellinger, Bulletin of the Bureau of Standards 7(1), 1911, pp. 71–101.
#[must_use]
pub fn proportional_coefficient(
    reference: PerKelvin,
    reference_conductivity: Ratio,
    conductivity: Ratio,
) -> PerKelvin {
    PerKelvin(reference.0 * (conductivity / reference_conductivity))
}

/// Metal area of a braid: the sum of its strands' areas.
///
/// ```text
/// A = carriers · ends · π d² / 4
/// ```
#[must_use]
pub fn braid_area(carriers: u32, ends_per_carrier: u32, strand_diameter: Metres) -> SquareMetres {
    let strands = f64::from(carriers) * f64::from(ends_per_carrier);
    SquareMetres(strands * PI / 4.0 * strand_diameter.0 * strand_diameter.0)
}

/// How much longer each strand of a braid is than the braid itself: 1 / cos θ.
///
/// Multiply the resistance of a straight conductor of the same strand area by it.
///
/// # Errors
///
/// [`PhysicsError`] unless the angle between strand and braid lies from 0 to 1.4 rad (80°).
pub fn braid_factor(angle: Radians) -> Result<Ratio, PhysicsError> {
    let angle = within("a braid angle", 0.0, 1.4, angle.0, Radians::SYMBOL)?;
    Ok(Ratio(1.0 / angle.cos()))
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

/// Resistance of a sheet from a round contact to a ring about it.
///
/// ```text
/// R = Rs / 2π · ln(r₂ / r₁)
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless `inner` lies above zero and `outer` is not smaller.
pub fn ring_constriction(sheet: Ohms, inner: Metres, outer: Metres) -> Result<Ohms, PhysicsError> {
    let inner = above("an inner radius", 0.0, inner.0, Metres::SYMBOL)?;
    let outer = within("an outer radius", inner, f64::MAX, outer.0, Metres::SYMBOL)?;
    Ok(Ohms(sheet.0 / (2.0 * PI) * (outer / inner).ln()))
}

/// Resistance of a wide sheet between two equal round contacts, exact.
///
/// ```text
/// R = Rs / π · arcosh(D / 2a)
/// ```
///
/// `spacing` is from centre to centre. On one straight free edge (half discs) it is twice this.
///
/// # Errors
///
/// [`PhysicsError`] unless the radius lies above zero and the discs do not overlap.
///
/// # Source
///
/// Two-dimensional potential of two equipotential circles (bipolar coordinates), as for two
/// parallel cylinders; Smythe, *Static and Dynamic Electricity*, from memory.
pub fn two_discs_on_sheet(
    sheet: Ohms,
    radius: Metres,
    spacing: Metres,
) -> Result<Ohms, PhysicsError> {
    let radius = above("a contact radius", 0.0, radius.0, Metres::SYMBOL)?;
    let spacing = within("a spacing", 2.0 * radius, f64::MAX, spacing.0, Metres::SYMBOL)?;
    Ok(Ohms(sheet.0 / PI * (spacing / (2.0 * radius)).acosh()))
}

/// Resistance of a wide sheet between two small round contacts of different radius.
///
/// ```text
/// R ≈ Rs / 2π · ln(D² / (a₁ a₂))
/// ```
///
/// Within 0.5 % when the spacing is ten times either radius.
///
/// # Errors
///
/// [`PhysicsError`] unless both radii lie above zero and the discs do not overlap.
pub fn unequal_discs_on_sheet(
    sheet: Ohms,
    first: Metres,
    second: Metres,
    spacing: Metres,
) -> Result<Ohms, PhysicsError> {
    let first = above("a contact radius", 0.0, first.0, Metres::SYMBOL)?;
    let second = above("a contact radius", 0.0, second.0, Metres::SYMBOL)?;
    let spacing = within("a spacing", first + second, f64::MAX, spacing.0, Metres::SYMBOL)?;
    Ok(Ohms(sheet.0 / (2.0 * PI) * (spacing * spacing / (first * second)).ln()))
}

/// Resistance between two small contacts that lie equally far from one straight free edge.
///
/// ```text
/// R ≈ Rs / π · [ln(D / a) + ln(√(D² + 4 s²) / 2 s)]
/// ```
///
/// By images of the same sign beyond the edge; the radius is small against both distances.
///
/// # Errors
///
/// [`PhysicsError`] unless the discs overlap neither each other nor the edge.
pub fn two_discs_near_edge(
    sheet: Ohms,
    radius: Metres,
    spacing: Metres,
    edge_distance: Metres,
) -> Result<Ohms, PhysicsError> {
    let radius = above("a contact radius", 0.0, radius.0, Metres::SYMBOL)?;
    let spacing = within("a spacing", 2.0 * radius, f64::MAX, spacing.0, Metres::SYMBOL)?;
    let edge =
        within("a distance from the edge", radius, f64::MAX, edge_distance.0, Metres::SYMBOL)?;
    let images = spacing.hypot(2.0 * edge) / (2.0 * edge);
    Ok(Ohms(sheet.0 / PI * ((spacing / radius).ln() + images.ln())))
}

/// Resistance from a round contact on the face of a thick body to far inside it, one side.
///
/// ```text
/// R = ρ / 4a
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless both arguments lie above zero.
///
/// # Source
///
/// Maxwell; R. Holm, *Electric Contacts*, 4th ed. 1967, ch. 1 (formula from memory).
pub fn disc_on_half_space(resistivity: OhmMetres, radius: Metres) -> Result<Ohms, PhysicsError> {
    let rho = above("a resistivity", 0.0, resistivity.0, OhmMetres::SYMBOL)?;
    let radius = above("a contact radius", 0.0, radius.0, Metres::SYMBOL)?;
    Ok(Ohms(rho / (4.0 * radius)))
}

/// Resistance from a half-ball electrode sunk in the face of a thick body: ρ / 2πa.
///
/// # Errors
///
/// [`PhysicsError`] unless both arguments lie above zero.
pub fn hemisphere_in_half_space(
    resistivity: OhmMetres,
    radius: Metres,
) -> Result<Ohms, PhysicsError> {
    Ok(disc_on_half_space(resistivity, radius)? * (2.0 / PI))
}

#[cfg(test)]
mod tests;
