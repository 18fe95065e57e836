//! Short, strong currents: warming with no heat lost, and the currents that melt a wire.

use units::{Amperes, Kelvin, Metres, OhmMetres, Seconds, SquareMetres};

use crate::error::{PhysicsError, above, within};
use crate::quantity::{
    AmpereRootSecondsPerSquareMetre, AmperesPerMetreToThreeHalves, AmperesSquaredSeconds,
    JoulesPerCubicMetreKelvin,
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
/// assert_eq!(pvc.per_mm2().round(), 115.0);
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

/// Smallest section that bears a heating integral: S = √(I²t) / k.
///
/// # Errors
///
/// [`PhysicsError`] unless the integral is not negative and k lies above zero.
///
/// # Source
///
/// IEC 60364-5-54, clause 543.1.
pub fn minimum_section(
    integral: AmperesSquaredSeconds,
    k: AmpereRootSecondsPerSquareMetre,
) -> Result<SquareMetres, PhysicsError> {
    let integral =
        within("a heating integral", 0.0, f64::MAX, integral.0, AmperesSquaredSeconds::SYMBOL)?;
    let k = above("a factor k", 0.0, k.0, AmpereRootSecondsPerSquareMetre::SYMBOL)?;
    Ok(SquareMetres(integral.sqrt() / k))
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

/// Temperature to which a heating integral warms a conductor, no heat lost and no melting.
///
/// ```text
/// β + θf = (β + θi) · exp(I²t / (K² S²))
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless metal and area are real and the integral is not negative.
///
/// # Source
///
/// IEC 60949, solved for the final temperature.
pub fn final_temperature(
    metal: &AdiabaticMetal,
    integral: AmperesSquaredSeconds,
    area: SquareMetres,
    initial: Kelvin,
) -> Result<Kelvin, PhysicsError> {
    let constant = material_constant_squared(metal)?;
    let zero = metal.zero_resistance.0;
    let initial = above("an initial temperature", zero, initial.0, Kelvin::SYMBOL)?;
    let area = above("a metal area", 0.0, area.0, SquareMetres::SYMBOL)?;
    let integral =
        within("a heating integral", 0.0, f64::MAX, integral.0, AmperesSquaredSeconds::SYMBOL)?;
    // Beyond e^20 every metal is long vapour; the cap keeps the answer finite.
    let exponent = (integral / (constant * area * area)).min(20.0);
    Ok(Kelvin(zero + (initial - zero) * exponent.exp()))
}

/// Square metres in one circular mil.
const CIRCULAR_MIL: f64 = std::f64::consts::PI / 4.0 * 25.4e-6 * 25.4e-6;

/// Copper's melting point as the old fusing work takes it: 1083 °C.
pub const COPPER_MELTING: Kelvin = Kelvin::from_celsius(1083.0);

/// Current that brings a copper wire to its melting point in a time.
///
/// ```text
/// 33 (I / A)² t = log₁₀(1 + (Tm − Ta) / (234 + Ta)),   A in circular mils
/// ```
///
/// Printed with `234 − Ta` in places, which is a slip worth 5 % of current. Holds up to about
/// 10 s; the heat of melting itself is left out.
///
/// # Errors
///
/// [`PhysicsError`] unless area and time lie above zero and the start is from −200 to 1083 °C.
///
/// # Source
///
/// Attributed to Onderdonk; E. R. Stauffacher, General Electric Review 31, June 1928, p. 525.
pub fn onderdonk_current(
    area: SquareMetres,
    duration: Seconds,
    initial: Kelvin,
) -> Result<Amperes, PhysicsError> {
    let (area, side) = onderdonk_sides(area, initial)?;
    let duration = above("a duration", 0.0, duration.0, Seconds::SYMBOL)?;
    Ok(Amperes(area * (side / (33.0 * duration)).sqrt()))
}

/// Time in which a current brings a copper wire to its melting point; see [`onderdonk_current`].
///
/// # Errors
///
/// [`PhysicsError`] unless area and current lie above zero and the start is from −200 to 1083 °C.
pub fn onderdonk_duration(
    area: SquareMetres,
    current: Amperes,
    initial: Kelvin,
) -> Result<Seconds, PhysicsError> {
    let (area, side) = onderdonk_sides(area, initial)?;
    let current = above("a current", 0.0, current.abs().0, Amperes::SYMBOL)?;
    Ok(Seconds((area / current).powi(2) * side / 33.0))
}

/// Area in circular mils, and the right side of Onderdonk's law.
fn onderdonk_sides(area: SquareMetres, initial: Kelvin) -> Result<(f64, f64), PhysicsError> {
    let area = above("a metal area", 0.0, area.0, SquareMetres::SYMBOL)?;
    let (low, high) = (73.15, COPPER_MELTING.0);
    within("an initial temperature", low, high, initial.0, Kelvin::SYMBOL)?;
    let start = initial.celsius();
    let side = (1.0 + (COPPER_MELTING.celsius() - start) / (234.0 + start)).log10();
    Ok((area / CIRCULAR_MIL, side))
}

/// The factor k of a copper cable as the North American short-circuit form has it.
///
/// ```text
/// (I / A)² t = 0.0297 · log₁₀((T₂ + 234) / (T₁ + 234)),   A in circular mils
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless both temperatures lie above −234 °C and the last is not the lower.
///
/// # Source
///
/// ICEA P-32-382.
pub fn icea_copper_factor(
    initial: Kelvin,
    last: Kelvin,
) -> Result<AmpereRootSecondsPerSquareMetre, PhysicsError> {
    let zero = Kelvin::from_celsius(-234.0).0;
    let initial = above("an initial temperature", zero, initial.0, Kelvin::SYMBOL)?;
    let last = within("a final temperature", initial, f64::MAX, last.0, Kelvin::SYMBOL)?;
    let ratio = (last - zero) / (initial - zero);
    Ok(AmpereRootSecondsPerSquareMetre((0.0297 * ratio.log10()).sqrt() / CIRCULAR_MIL))
}

/// Preece's factor from the form with inches.
const fn per_inch(factor: f64) -> AmperesPerMetreToThreeHalves {
    // 0.0254^1.5 as a literal, since powers are not constant functions.
    AmperesPerMetreToThreeHalves(factor / 4.048_098_29e-3)
}

/// Preece's factor of copper: 10244 A/in^1.5, 80.0 A/mm^1.5.
pub const PREECE_COPPER: AmperesPerMetreToThreeHalves = per_inch(10_244.0);
/// Preece's factor of aluminium: 7585 A/in^1.5, 59.2 A/mm^1.5.
pub const PREECE_ALUMINIUM: AmperesPerMetreToThreeHalves = per_inch(7585.0);
/// Preece's factor of iron: 3148 A/in^1.5, 24.6 A/mm^1.5.
pub const PREECE_IRON: AmperesPerMetreToThreeHalves = per_inch(3148.0);
/// Preece's factor of tin: 1642 A/in^1.5, 12.8 A/mm^1.5.
pub const PREECE_TIN: AmperesPerMetreToThreeHalves = per_inch(1642.0);
/// Preece's factor of lead: 1379 A/in^1.5, 10.8 A/mm^1.5.
pub const PREECE_LEAD: AmperesPerMetreToThreeHalves = per_inch(1379.0);
/// Preece's factor of tin–lead alloy: 1318 A/in^1.5.
pub const PREECE_TIN_LEAD: AmperesPerMetreToThreeHalves = per_inch(1318.0);

/// Current that melts a bare wire in air, given long enough: I = a d^1.5.
///
/// An upper guide for wires below 2 to 3 mm; up to 90 % too high for thicker ones (E. G. Brown,
/// Trans. N.Z. Inst. 33, 1901).
///
/// # Errors
///
/// [`PhysicsError`] unless the diameter lies above zero.
///
/// # Source
///
/// W. H. Preece, Proc. R. Soc. Lond. 36 (1884) 464; 43 (1887); 44 (1888).
pub fn preece_current(
    factor: AmperesPerMetreToThreeHalves,
    diameter: Metres,
) -> Result<Amperes, PhysicsError> {
    let diameter = above("a diameter", 0.0, diameter.0, Metres::SYMBOL)?;
    Ok(Amperes(factor.0 * diameter * diameter.sqrt()))
}

/// Diameter of the bare wire that a current just melts; see [`preece_current`].
///
/// # Errors
///
/// [`PhysicsError`] unless factor and current lie above zero.
pub fn preece_diameter(
    factor: AmperesPerMetreToThreeHalves,
    current: Amperes,
) -> Result<Metres, PhysicsError> {
    let a = above("a fusing factor", 0.0, factor.0, AmperesPerMetreToThreeHalves::SYMBOL)?;
    let current = above("a current", 0.0, current.0, Amperes::SYMBOL)?;
    Ok(Metres((current / a).cbrt().powi(2)))
}

#[cfg(test)]
mod tests;
