//! Contact between two faces: where the current narrows, films, heat, force, and overlapping bars.

use std::f64::consts::PI;

use units::{Kelvin, Metres, Newtons, OhmMetres, Ohms, Pascals, Ratio, Volts};

use crate::error::{PhysicsError, above, within};
use crate::quantity::OhmSquareMetres;

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

/// Resistance of many spots in a cluster.
///
/// ```text
/// R ≈ ρ / (2 n a) + ρ / (2 α)
/// ```
///
/// `cluster` α is the radius of the circle that holds the spots.
///
/// # Errors
///
/// [`PhysicsError`] unless there is a spot and everything lies above zero.
///
/// # Source
///
/// Greenwood (1966), Holm radius; from memory.
pub fn cluster_resistance(
    resistivity: OhmMetres,
    spots: u32,
    spot: Metres,
    cluster: Metres,
) -> Result<Ohms, PhysicsError> {
    let count = above("a number of spots", 0.0, f64::from(spots), "")?;
    let each = spot_resistance(resistivity, resistivity, spot)?;
    Ok(each / count + spot_resistance(resistivity, resistivity, cluster)?)
}

/// Resistance of a film over a round spot: σ / π a².
///
/// # Errors
///
/// [`PhysicsError`] unless the radius lies above zero and the film is not negative.
///
/// # Source
///
/// Holm, *Electric Contacts* (from memory); thin oxides have 1e-12 Ω·m² and more.
pub fn film_resistance(film: OhmSquareMetres, radius: Metres) -> Result<Ohms, PhysicsError> {
    let film = within("a film", 0.0, f64::MAX, film.0, OhmSquareMetres::SYMBOL)?;
    let radius = above("a spot radius", 0.0, radius.0, Metres::SYMBOL)?;
    Ok(Ohms(film / (PI * radius * radius)))
}

/// Contact resistance under another force: R = R₀ · (F / F₀)^−n.
///
/// n is 0.5 for clean faces that yield, 1/3 for elastic ones, up to 1 under films; bolted joints
/// were measured from 0.1 to 1.0 (Naybour & Farrell, in Slade, *Electrical Contacts*, 2nd ed. ch. 5).
///
/// # Errors
///
/// [`PhysicsError`] unless both forces lie above zero and n from zero to two.
pub fn resistance_under_force(
    known: Ohms,
    known_force: Newtons,
    force: Newtons,
    exponent: Ratio,
) -> Result<Ohms, PhysicsError> {
    above("a contact force", 0.0, known_force.0, Newtons::SYMBOL)?;
    above("a contact force", 0.0, force.0, Newtons::SYMBOL)?;
    let n = within("an exponent of force", 0.0, 2.0, exponent.0, Ratio::SYMBOL)?;
    Ok(known * (force / known_force).powf(-n))
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

/// Voltage at which the hottest place in a contact has a temperature; see [`hottest_temperature`].
///
/// # Errors
///
/// [`PhysicsError`] unless the bodies are above absolute zero and not hotter than that.
pub fn voltage_for_temperature(hottest: Kelvin, bodies: Kelvin) -> Result<Volts, PhysicsError> {
    let bodies = above("a temperature", 0.0, bodies.0, Kelvin::SYMBOL)?;
    let hottest = within("a hottest temperature", bodies, 1e5, hottest.0, Kelvin::SYMBOL)?;
    Ok(Volts((4.0 * LORENZ * (hottest * hottest - bodies * bodies)).sqrt()))
}

/// What a lasting voltage does to the hottest place of a contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ContactState {
    /// It stays below the softening temperature.
    Sound {
        /// How hot it is.
        hottest: Kelvin,
    },
    /// It softens and spreads, after which its voltage falls.
    Softens {
        /// How hot it is.
        hottest: Kelvin,
    },
    /// It would pass the melting point.
    Melts,
}

/// Sets the hottest place of a contact against the softening and melting points of its metal.
///
/// # Errors
///
/// [`PhysicsError`] unless the bodies are above absolute zero and the metal softens before it melts.
pub fn contact_state(
    voltage: Volts,
    bodies: Kelvin,
    softening: Kelvin,
    melting: Kelvin,
) -> Result<ContactState, PhysicsError> {
    within("a softening temperature", 0.0, melting.0, softening.0, Kelvin::SYMBOL)?;
    let hottest = hottest_temperature(voltage, bodies)?;
    Ok(if hottest < softening {
        ContactState::Sound { hottest }
    } else if hottest < melting {
        ContactState::Softens { hottest }
    } else {
        ContactState::Melts
    })
}

/// Resistance times area of clean rough faces pressed together; a lower bound, since films add.
///
/// ```text
/// ρ_c = ρ · (σ/m) / 1.25 · (H / P)^0.95
/// ```
///
/// `roughness` is σ/m, 5–9 µm for fairly smooth faces; `pressure` acts on the apparent area.
///
/// # Errors
///
/// [`PhysicsError`] unless everything lies above zero.
///
/// # Source
///
/// The electrical twin of Cooper, Mikic & Yovanovich; Yovanovich 1982, coefficient from memory.
pub fn specific_contact_resistance(
    resistivity: OhmMetres,
    roughness: Metres,
    hardness: Pascals,
    pressure: Pascals,
) -> Result<OhmSquareMetres, PhysicsError> {
    let rho = above("a resistivity", 0.0, resistivity.0, OhmMetres::SYMBOL)?;
    let roughness = above("a roughness", 0.0, roughness.0, Metres::SYMBOL)?;
    let hardness = above("a contact hardness", 0.0, hardness.0, Pascals::SYMBOL)?;
    let pressure = above("a contact pressure", 0.0, pressure.0, Pascals::SYMBOL)?;
    Ok(OhmSquareMetres(rho * roughness / 1.25 * (hardness / pressure).powf(0.95)))
}

/// Resistance of an overlap of two equal bars over that of the same length of one bar.
///
/// ```text
/// e = 0.500 + 0.498 · b / l      (l / b ≥ 3)
/// ```
///
/// Below three the product e · l/b runs straight through 1.207, 1.536 and 1.998 (at one, two, three).
///
/// # Errors
///
/// [`PhysicsError`] unless the overlap is at least as long as the bar is thick.
///
/// # Source
///
/// Fit to a two-dimensional solution of Laplace's equation, no holes, perfect interface; within
/// 1.5 %.
pub fn streamline_ratio(overlap_over_thickness: Ratio) -> Result<Ratio, PhysicsError> {
    let x = overlap_over_thickness.0;
    let x = within("an overlap over a thickness", 1.0, f64::MAX, x, Ratio::SYMBOL)?;
    let product = if x < 2.0 {
        1.207 + (x - 1.0) * (1.536 - 1.207)
    } else if x < 3.0 {
        1.536 + (x - 2.0) * (1.998 - 1.536)
    } else {
        0.5 * x + 0.498
    };
    Ok(Ratio(product / x))
}

/// Resistance of two equal bars clamped face to face over an overlap.
///
/// ```text
/// R = e · ρ l / (a b) + Y / (a l)
/// ```
///
/// `interface` Y is the resistance times area of the faces.
///
/// # Errors
///
/// [`PhysicsError`] unless the bar is real, the overlap not shorter than the thickness, and the
/// interface not negative.
///
/// # Source
///
/// Form of Copper Development Association Publication 22, from memory.
pub fn overlap_resistance(
    resistivity: OhmMetres,
    width: Metres,
    thickness: Metres,
    overlap: Metres,
    interface: OhmSquareMetres,
) -> Result<Ohms, PhysicsError> {
    let rho = above("a resistivity", 0.0, resistivity.0, OhmMetres::SYMBOL)?;
    let width = above("a bar width", 0.0, width.0, Metres::SYMBOL)?;
    let thick = above("a bar thickness", 0.0, thickness.0, Metres::SYMBOL)?;
    let y = within("an interface", 0.0, f64::MAX, interface.0, OhmSquareMetres::SYMBOL)?;
    let ratio = streamline_ratio(Ratio(overlap.0 / thick))?;
    Ok(Ohms(ratio.0 * rho * overlap.0 / (width * thick) + y / (width * overlap.0)))
}

#[cfg(test)]
mod tests;
