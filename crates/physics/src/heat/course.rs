//! How long until a temperature, and how warm a current makes a conductor that comes and goes.

use units::{Amperes, Kelvin, Seconds, SquareMetres};

use super::transient::{Heating, temperature_after};
use super::{ConductorThermal, Surroundings};
use crate::adiabatic::{AdiabaticMetal, duration_to_temperature};
use crate::error::{PhysicsError, above};

/// Time for which a constant current must flow until the metal is at a temperature.
///
/// Zero when it begins there; none when the current settles below it.
///
/// # Errors
///
/// [`PhysicsError`] as [`temperature_after`].
///
/// # Source
///
/// Heat balance of [`crate::heat`].
pub fn time_to_temperature(
    conductor: &ConductorThermal,
    current: Amperes,
    start: Kelvin,
    surroundings: &Surroundings,
    target: Kelvin,
) -> Result<Option<Seconds>, PhysicsError> {
    let ever = Seconds(f64::INFINITY);
    Ok(match temperature_after(conductor, current, ever, start, surroundings, target)? {
        Heating::Reaches(_) => None,
        Heating::Exceeds { after, .. } => Some(after),
    })
}

/// Time until the metal begins to melt, its insulation gone once it has passed what it bears.
///
/// The heat balance is followed to `insulation`; from there on the metal alone warms and nothing is
/// lost, because what burns around it gives heat rather than takes it. None where the heat balance
/// would settle below the melting point: then it glows, perhaps, but stays whole.
///
/// # Errors
///
/// [`PhysicsError`] as [`temperature_after`], and when `metal` is none or the area not above zero.
///
/// # Source
///
/// Heat balance of [`crate::heat`]; IEC 60949 for the rest. The heat of melting itself is left out.
#[expect(clippy::too_many_arguments, reason = "each is one thing a person would name")]
pub fn time_to_melting(
    conductor: &ConductorThermal,
    current: Amperes,
    start: Kelvin,
    surroundings: &Surroundings,
    insulation: Kelvin,
    metal: &AdiabaticMetal,
    area: SquareMetres,
    melting: Kelvin,
) -> Result<Option<Seconds>, PhysicsError> {
    let Some(whole) = time_to_temperature(conductor, current, start, surroundings, melting)? else {
        return Ok(None);
    };
    let limit = insulation.max(start).min(melting);
    let first = time_to_temperature(conductor, current, start, surroundings, limit)?;
    let first = first.unwrap_or(Seconds::ZERO);
    let rest = duration_to_temperature(metal, current, area, limit, melting)?;
    // Where the insulation holds little heat, losses make the balance the later of the two.
    Ok(Some((first + rest).min(whole)))
}

/// Where a current that comes and goes keeps a conductor, once every round is like the last.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cycle {
    /// At the end of each spell of current.
    pub warmest: Kelvin,
    /// At the end of each rest.
    pub coolest: Kelvin,
}

/// Rounds after which nothing moves any more, however slow the conductor: each brings it nearer.
const MOST_ROUNDS: usize = 2000;

/// The round of temperatures under a current that flows for `on` and rests for `off`.
///
/// None when it would pass `limit`.
///
/// # Errors
///
/// [`PhysicsError`] as [`temperature_after`], and unless both times lie above zero.
///
/// # Source
///
/// Heat balance of [`crate::heat`], followed round after round from the settled temperature of the
/// root-mean-square current.
pub fn cycle(
    conductor: &ConductorThermal,
    current: Amperes,
    on: Seconds,
    off: Seconds,
    surroundings: &Surroundings,
    limit: Kelvin,
) -> Result<Option<Cycle>, PhysicsError> {
    let on = Seconds(above("a spell of current", 0.0, on.0, Seconds::SYMBOL)?);
    let off = Seconds(above("a rest", 0.0, off.0, Seconds::SYMBOL)?);
    let ever = Seconds(f64::INFINITY);
    let effective = current * (on / (on + off)).sqrt();
    let after =
        |amps, time, start| temperature_after(conductor, amps, time, start, surroundings, limit);
    let Heating::Reaches(mut coolest) = after(effective, ever, surroundings.air)? else {
        return Ok(None);
    };
    let mut warmest = coolest;
    for _ in 0..MOST_ROUNDS {
        let Heating::Reaches(hot) = after(current, on, coolest)? else { return Ok(None) };
        let Heating::Reaches(cool) = after(Amperes::ZERO, off, hot)? else { return Ok(None) };
        let moved = (hot - warmest).abs().max((cool - coolest).abs());
        (warmest, coolest) = (hot, cool);
        if moved < Kelvin(1e-3) {
            break;
        }
    }
    Ok(Some(Cycle { warmest, coolest }))
}

#[cfg(test)]
mod tests;
