//! What a hand meter shows: the truth, an error within its accuracy, and digits cut off.

use model::{Accuracy, Measured, Piece, PointId, Probe, Reading, StateId, Told, Vehicle};
use network::OperatingPoint;
use units::{Amperes, Volts};

use crate::dice::Dice;

/// Standard uncertainty of an error of which only the limit is known: an even spread (JCGM 100,
/// 4.3.7).
#[must_use]
pub fn standard_uncertainty(limit: f64) -> f64 {
    limit / 3.0_f64.sqrt()
}

/// The true value: volts or amperes, at the operating points of the real vehicle.
///
/// Nothing where a probe touches what nothing joins to the batteries, and for what is no voltage or
/// current.
#[must_use]
pub fn truth(
    real: &Vehicle,
    points: &[OperatingPoint],
    state: StateId,
    measured: Measured,
) -> Option<f64> {
    let point = points.get(state.index())?;
    match measured {
        Measured::Volts { high, low } => {
            Some((point.probe(real, high)? - point.probe(real, low)?).0)
        }
        Measured::Amps { conductor } => Some(point.piece(real, Piece::Conductor(conductor)).amps.0),
        Measured::Ohms { .. } | Measured::JumpLead { .. } | Measured::Moved { .. } => None,
    }
}

/// The accuracy of the meter on the range that a true value falls in.
#[must_use]
pub fn accuracy(measured: Measured, value: f64) -> Accuracy {
    match measured {
        Measured::Amps { .. } => Accuracy::some_clamp(Amperes(value)),
        _ => Accuracy::some_voltmeter(Volts(value)),
    }
}

/// What the meter shows for a true value, and the accuracy that it promises for it.
///
/// The error is anything within the limit in half of the cases, and mostly small in the others; the
/// shown value with its digits cut off never misses the truth by more than the limit.
pub fn shows(measured: Measured, value: f64, dice: &mut Dice) -> (f64, Accuracy) {
    let accuracy = accuracy(measured, value);
    // The promise is about the shown value, which may be the smaller one; rounding takes half a count.
    let room = accuracy.limit(value) / (1.0 + accuracy.share.0) - 0.5 * accuracy.resolution;
    let error = if dice.chance(0.5) {
        dice.between(-room, room)
    } else {
        (0.5 * room * dice.normal()).clamp(-room, room)
    };
    let shown = ((value + error) / accuracy.resolution).round() * accuracy.resolution;
    (shown, accuracy)
}

/// A reading as a person would write it down; nothing where the meter would float.
pub fn read(
    (real, points): (&Vehicle, &[OperatingPoint]),
    number: u32,
    state: StateId,
    measured: Measured,
    dice: &mut Dice,
) -> Option<Reading> {
    let value = truth(real, points, state, measured)?;
    let (shown, accuracy) = shows(measured, value, dice);
    Some(reading(number, state, measured, shown, accuracy))
}

fn reading(
    number: u32,
    state: StateId,
    measured: Measured,
    shown: f64,
    accuracy: Accuracy,
) -> Reading {
    Reading {
        number,
        state: Some(state),
        measured,
        told: Told::Value(shown),
        signed: true,
        accuracy,
        time: None,
        note: None,
    }
}

/// A mistake in taking a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slip {
    /// One probe was at another point.
    WrongPoint,
    /// The decimal point slipped by one place.
    SlippedDecimal,
    /// The probes, or the clamp, were the wrong way round.
    Reversed,
}

/// A slip moves a reading by at least so many times the meter's limit; smaller ones are no mistakes.
pub const LEAST_SLIP: f64 = 4.0;

/// How often a slip is drawn before it is given up.
const MOST_DRAWS: usize = 60;

/// The same reading taken with a slip, and which one.
///
/// Nothing when no slip would move it by enough, as for a reading of nearly nothing.
pub fn slipped(
    (real, points): (&Vehicle, &[OperatingPoint]),
    number: u32,
    state: StateId,
    measured: Measured,
    dice: &mut Dice,
) -> Option<(Reading, Slip)> {
    let right = truth(real, points, state, measured)?;
    let least = LEAST_SLIP * accuracy(measured, right).limit(right);
    for _ in 0..MOST_DRAWS {
        let slip = *dice.pick(&[Slip::WrongPoint, Slip::SlippedDecimal, Slip::Reversed])?;
        let value = match slip {
            Slip::Reversed => Some(-right),
            Slip::SlippedDecimal => Some(right * dice.either(0.5, 10.0, 0.1)),
            Slip::WrongPoint => elsewhere(real, measured, dice)
                .and_then(|measured| truth(real, points, state, measured)),
        };
        let Some(value) = value else { continue };
        let (shown, accuracy) = shows(measured, value, dice);
        if (shown - right).abs() >= least.max(LEAST_SLIP * accuracy.limit(shown)) {
            return Some((reading(number, state, measured, shown, accuracy), slip));
        }
    }
    None
}

/// The same with one probe at another reachable point, or the clamp around another conductor.
fn elsewhere(real: &Vehicle, measured: Measured, dice: &mut Dice) -> Option<Measured> {
    match measured {
        Measured::Volts { high, low } => {
            let reachable: Vec<usize> =
                (0..real.points.len()).filter(|at| !real.points[*at].access.out_of_reach).collect();
            let other = Probe::Point(PointId::at(*dice.pick(&reachable)?));
            Some(if dice.chance(0.5) {
                Measured::Volts { high: other, low }
            } else {
                Measured::Volts { high, low: other }
            })
        }
        Measured::Amps { .. } => {
            let other = dice.pick(&real.conductors)?;
            Some(Measured::Amps { conductor: other.this })
        }
        Measured::Ohms { .. } | Measured::JumpLead { .. } | Measured::Moved { .. } => None,
    }
}
