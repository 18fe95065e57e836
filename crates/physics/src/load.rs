//! Loads: how their current follows the voltage across them.
//!
//! A law is one row of [`LoadLaw`]: its quantities, its formula with its source, and its slope. What
//! a network solves and what a vehicle's load says of itself is this one value.

use units::{Amperes, Ohms, Ratio, Siemens, Volts};

use crate::element::CurrentAndSlope;

/// How a load's current depends on the voltage across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LoadLaw {
    /// A power of the voltage from the knee up, a straight line from zero below it.
    ///
    /// Exponent 1 is a resistance, 0 a constant current, −1 a constant power, 0.55 a filament lamp.
    Power {
        /// Current at the rated voltage.
        amps: Amperes,
        /// The voltage at which it draws that.
        rated: Volts,
        /// Relative change of current per relative change of voltage.
        exponent: f64,
        /// Below this voltage the load can no longer follow its law.
        knee: Volts,
    },
    /// A motor against a torque, as a starter against an engine or a winch against a rope: a large part of
    /// the current is set by torque, not by voltage.
    Starter {
        /// Current at the rated voltage.
        amps: Amperes,
        /// The voltage at which it draws that.
        rated: Volts,
        /// Share of the current that follows the voltage.
        follows: Ratio,
        /// Resistance with the rotor at rest, which limits the current.
        stall: Ohms,
    },
    /// A preheat plug that has settled.
    Preheat {
        /// Current at the rated voltage when cold.
        cold: Amperes,
        /// Current at the rated voltage once it glows.
        settled: Amperes,
        /// The voltage at which it draws those.
        rated: Volts,
    },
    /// A self-regulating heater that has settled: its resistance rises steeply with its temperature
    /// (positive temperature coefficient), so that its power follows the voltage little.
    SelfRegulating {
        /// Current at the rated voltage when cold.
        cold: Amperes,
        /// Current at the rated voltage once it is hot.
        settled: Amperes,
        /// The voltage at which it draws those.
        rated: Volts,
    },
}

/// Share of the rated voltage below which a resistance need not be told from a straight line: it is one.
const FIRST_KNEE: f64 = 1e-2;

impl LoadLaw {
    /// Current at the rated voltage; of what warms itself once it has settled.
    #[must_use]
    pub fn rated_amps(self) -> Amperes {
        match self {
            Self::Power { amps, .. } | Self::Starter { amps, .. } => amps,
            Self::Preheat { settled, .. } | Self::SelfRegulating { settled, .. } => settled,
        }
    }

    /// The voltage at which it draws [`rated_amps`](Self::rated_amps).
    #[must_use]
    pub fn rated_volts(self) -> Volts {
        match self {
            Self::Power { rated, .. }
            | Self::Starter { rated, .. }
            | Self::Preheat { rated, .. }
            | Self::SelfRegulating { rated, .. } => rated,
        }
    }

    /// The same load drawing so many times its current at every voltage.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        match self {
            Self::Power { amps, rated, exponent, knee } => {
                Self::Power { amps: amps * factor, rated, exponent, knee }
            }
            Self::Starter { amps, rated, follows, stall } => {
                Self::Starter { amps: amps * factor, rated, follows, stall: stall / factor }
            }
            Self::Preheat { cold, settled, rated } => {
                Self::Preheat { cold: cold * factor, settled: settled * factor, rated }
            }
            Self::SelfRegulating { cold, settled, rated } => {
                Self::SelfRegulating { cold: cold * factor, settled: settled * factor, rated }
            }
        }
    }

    /// The same load where what it turns is so many times as heavy: the current that its torque sets grows,
    /// the one that the rotor at rest takes does not.
    #[must_use]
    pub fn against(self, torque: Ratio) -> Self {
        match self {
            Self::Starter { amps, rated, follows, stall } => {
                Self::Starter { amps: amps * torque.0, rated, follows, stall }
            }
            other => other,
        }
    }

    /// The same load in the first moment after it is switched on, before anything has warmed or turned: a
    /// resistance. `lamp` is the first current of a filament over its settled one.
    #[must_use]
    pub fn at_first(self, lamp: Option<Ratio>) -> Self {
        let resistance = |amps: Amperes, rated: Volts| Self::Power {
            amps,
            rated,
            exponent: 1.0,
            knee: rated * FIRST_KNEE,
        };
        match (self, lamp) {
            (Self::Preheat { cold, rated, .. } | Self::SelfRegulating { cold, rated, .. }, _) => {
                resistance(cold, rated)
            }
            (Self::Starter { rated, stall, .. }, _) => resistance(rated / stall, rated),
            (Self::Power { amps, rated, .. }, Some(times)) => resistance(amps * times.0, rated),
            (other @ Self::Power { .. }, None) => other,
        }
    }

    /// True when it would take ever more current at less voltage and has come to the end of that.
    #[must_use]
    pub fn is_starved_at(self, volts: Volts) -> bool {
        matches!(self, Self::Power { exponent, knee, .. } if exponent < 0.0 && volts < knee)
    }

    /// True of a motor whose rotor stands because the voltage cannot overcome its torque.
    #[must_use]
    pub fn is_stalled_at(self, volts: Volts) -> bool {
        let Self::Starter { amps, rated, follows, stall } = self else { return false };
        let turning = amps * (1.0 - follows.0 + follows.0 * volts.0 / rated.0);
        volts / stall < turning
    }

    /// What it does at a voltage.
    #[inline]
    #[must_use]
    pub fn at(self, volts: Volts) -> CurrentAndSlope {
        let v = volts.0;
        let (amperes, slope) = match self {
            Self::Power { amps, rated, exponent, knee } => {
                power(v, amps.0, rated.0, exponent, knee.0)
            }
            Self::Starter { amps, rated, follows, stall } => {
                starter(v, amps.0, rated.0, follows.0, stall.0)
            }
            Self::Preheat { cold, settled, rated } => preheat(v, cold.0, settled.0, rated.0),
            Self::SelfRegulating { cold, settled, rated } => {
                self_regulating(v, cold.0, settled.0, rated.0)
            }
        };
        CurrentAndSlope { current: Amperes(amperes), slope: Siemens(slope) }
    }
}

/// A power of the voltage.
///
/// ```text
/// I = I_r (V / V_r)^n   from the knee up,   I(knee) V / knee   below
/// ```
///
/// # Source
///
/// Filament lamps: Standard Handbook for Electrical Engineers, 11th ed., p. 22-8 (n = 0.55). The
/// exponents of the other kinds stand with their sources in the catalogue's table of load laws.
#[inline]
fn power(v: f64, amps: f64, rated: f64, exponent: f64, knee: f64) -> (f64, f64) {
    if v >= knee {
        let amperes = amps * (v / rated).powf(exponent);
        (amperes, exponent * amperes / v)
    } else {
        let slope = amps * (knee / rated).powf(exponent) / knee;
        (slope * v, slope)
    }
}

/// A motor against a torque that grows with speed.
///
/// ```text
/// I = min(I_r (1 − s + s V / V_r), V / R_stall)
/// ```
///
/// # Source
///
/// Follows from `V = V_b + R I + kΦ ω` and `kΦ I = T₀ + c ω`: the current is a straight line in the
/// voltage, and never more than the rotor at rest takes.
#[inline]
fn starter(v: f64, amps: f64, rated: f64, follows: f64, stall: f64) -> (f64, f64) {
    let (line, slope) = (amps * (1.0 - follows + follows * v / rated), amps * follows / rated);
    if v / stall < line { (v / stall, 1.0 / stall) } else { (line, slope) }
}

/// A plug whose resistance rises with the power that it turns to heat, settled.
///
/// ```text
/// R_c = V_r / I_c,   k = (V_r / I_h − R_c) / (V_r I_h)
/// R = (R_c + √(R_c² + 4 k V²)) / 2,   I = V / R
/// ```
///
/// # Assumes
///
/// Resistance linear in temperature rise and rise proportional to power: radiation and the
/// engine's own warmth are left out.
///
/// # Source
///
/// The positive root of `R = R_c + k V² / R`.
#[inline]
fn preheat(v: f64, cold: f64, settled: f64, rated: f64) -> (f64, f64) {
    let (cold, hot) = (rated / cold, rated / settled);
    let rise = (hot - cold) / (rated * settled);
    let root = (cold * cold + 4.0 * rise * v * v).sqrt();
    let ohms = (cold + root) / 2.0;
    let ohms_per_volt = 2.0 * rise * v / root;
    (v / ohms, (ohms - v * ohms_per_volt) / (ohms * ohms))
}

/// A heater whose resistance rises with its temperature by the same share for each kelvin, settled.
///
/// ```text
/// R = R_c e^(β θ),   β = ln(I_c / I_h),   θ = V I / (V_r I_h)
/// β θ e^(β θ) = β e^β (V / V_r)²,   I = V / R
/// ```
///
/// θ is the rise of its temperature over that at the rated voltage. The current is largest where
/// β θ = 1; beyond that it falls as the voltage rises.
///
/// # Assumes
///
/// Warmth that leaves in proportion to the rise, from air that stays as it is; and a resistance that
/// rises all the way from cold, while ceramics first fall a little.
///
/// # Source
///
/// IEC 60738-1, thermistors with positive temperature coefficient: the coefficient as the relative
/// slope of resistance, and the dissipation factor (from memory). The rest follows.
#[inline]
fn self_regulating(v: f64, cold: f64, settled: f64, rated: f64) -> (f64, f64) {
    let steepness = (cold / settled).ln();
    let ratio = v / rated;
    let rise = product_logarithm(steepness * steepness.exp() * ratio * ratio);
    let ohms = rated / cold * rise.exp();
    (v / ohms, (1.0 - rise) / (1.0 + rise) / ohms)
}

/// The w of which `w e^w` is this number, from zero up: Lambert's W.
///
/// # Source
///
/// Corless, Gonnet, Hare, Jeffrey & Knuth, Advances in Computational Mathematics 5 (1996), with
/// Newton's steps, from above since the function is convex.
#[inline]
fn product_logarithm(number: f64) -> f64 {
    let mut w = number.ln_1p();
    for _ in 0..20 {
        let next = w - (w - number * (-w).exp()) / (1.0 + w);
        if next >= w {
            break;
        }
        w = next;
    }
    w
}

#[cfg(test)]
mod tests;
