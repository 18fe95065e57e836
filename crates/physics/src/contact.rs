//! Contact between two faces: where the current narrows, and how hot its narrowest place gets.

use std::f64::consts::PI;

use units::{Kelvin, Metres, Newtons, OhmMetres, Ohms, Pascals, Volts};

use crate::error::{PhysicsError, above, within};

/// The Lorenz number L of metals, 2.44e-8 V²/K² (Holm, *Electric Contacts*, 4th ed. 1967).
pub(crate) const LORENZ: f64 = 2.44e-8;

/// Resistance of one round spot between two bodies, both sides together.
///
/// ```text
/// R = (ρ₁ + ρ₂) / 4a        (same metal: ρ / 2a)
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless everything lies above zero.
///
/// # Source
///
/// Holm, *Electric Contacts*, 4th ed. 1967; Timsit (2001) for one metal.
pub fn spot_resistance(
    first: OhmMetres,
    second: OhmMetres,
    radius: Metres,
) -> Result<Ohms, PhysicsError> {
    let first = above("a resistivity", 0.0, first.0, OhmMetres::SYMBOL)?;
    let second = above("a resistivity", 0.0, second.0, OhmMetres::SYMBOL)?;
    let radius = above("a spot radius", 0.0, radius.0, Metres::SYMBOL)?;
    Ok(Ohms((first + second) / (4.0 * radius)))
}

/// Radius of the one spot that a force squeezes out of clean faces: a = √(F / π H).
///
/// # Errors
///
/// [`PhysicsError`] unless force and hardness (of the softer metal) lie above zero.
///
/// # Source
///
/// Holm, *Electric Contacts*, 4th ed. 1967: F = A · H, fully plastic.
pub fn spot_radius(force: Newtons, hardness: Pascals) -> Result<Metres, PhysicsError> {
    let force = above("a contact force", 0.0, force.0, Newtons::SYMBOL)?;
    let hardness = above("a contact hardness", 0.0, hardness.0, Pascals::SYMBOL)?;
    Ok(Metres((force / (PI * hardness)).sqrt()))
}

/// Resistance of clean faces pressed together: the narrowing of the current at the one spot that the
/// force squeezes out. The least that a joint can have, since films, lugs and crimps add to it.
///
/// ```text
/// R = (ρ₁ + ρ₂) / 4 · √(π H / F)
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless everything lies above zero.
///
/// # Source
///
/// Holm, *Electric Contacts*, 4th ed. 1967, as quoted; see [`spot_radius`] and [`spot_resistance`].
pub fn clean_resistance(
    first: OhmMetres,
    second: OhmMetres,
    hardness: Pascals,
    force: Newtons,
) -> Result<Ohms, PhysicsError> {
    spot_resistance(first, second, spot_radius(force, hardness)?)
}

/// Temperature of the hottest place in a contact, from the voltage across it.
///
/// ```text
/// T_max² = T₀² + U² / 4L
/// ```
///
/// Whatever the shape and the metal, while heat and current take the same path.
///
/// # Errors
///
/// [`PhysicsError`] unless the bodies are above absolute zero.
///
/// # Source
///
/// Kohlrausch (1900); Holm, *Electric Contacts*, 4th ed. 1967.
///
/// # Example
///
/// ```
/// # use physics::contact::hottest_temperature;
/// # use units::{Kelvin, Volts};
/// let copper_softens = hottest_temperature(Volts(0.12), Kelvin(293.0))?;
/// assert!((copper_softens.celsius() - 210.0).abs() < 1.0);
/// # Ok::<(), physics::PhysicsError>(())
/// ```
pub fn hottest_temperature(voltage: Volts, bodies: Kelvin) -> Result<Kelvin, PhysicsError> {
    let bodies = above("a temperature", 0.0, bodies.0, Kelvin::SYMBOL)?;
    let voltage = within("a contact voltage", -1e3, 1e3, voltage.0, Volts::SYMBOL)?;
    Ok(Kelvin((bodies * bodies + voltage * voltage / (4.0 * LORENZ)).sqrt()))
}

#[cfg(test)]
mod tests;
