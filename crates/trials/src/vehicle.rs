//! A random vehicle twice: as its file tells it, and as it really is.

use model::{JointId, Piece, Vehicle};
use network::{Convergence, Network, OperatingPoint};
use units::{Amperes, Ohms, Volts};

use crate::dice::Dice;
use crate::layout;

/// By how much a real vehicle differs from its file. Lognormal factors hold two thirds of the cases.
///
/// All of these are invented: no survey of vehicle joints was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Factor on every clean joint, drawn again until it is clean.
    pub joint: f64,
    /// Factor on a whole structure.
    pub structure: f64,
    /// Factor on each stretch of it besides.
    pub stretch: f64,
    /// Factor on an incidental path, kept inside the range of its kind.
    pub incidental: f64,
    /// Factor on fuses and switches.
    pub inline: f64,
    /// Standard deviation of a conductor's resistance, as a share.
    pub conductor: f64,
    /// Half-width of the draw of a load, as a share, evenly spread.
    pub load: f64,
    /// Half-width of a battery's open-circuit voltage, as a share.
    pub open_circuit: f64,
    /// Factor on a battery's resistances.
    pub battery: f64,
    /// Half-width of a regulator's voltage, as a share.
    pub set_point: f64,
}

/// The spread of all trials.
pub const SPREAD: Spread = Spread {
    joint: 2.0,
    structure: 2.0,
    stretch: 1.3,
    incidental: 3.0,
    inline: 1.2,
    conductor: 0.05,
    load: 0.15,
    open_circuit: 0.01,
    battery: 1.25,
    set_point: 0.01,
};

/// A clean joint loses less than this at the largest current that it carries by its file: what loses
/// more at one connection is called bad everywhere (common practice).
pub const CLEAN_LOSES: Volts = Volts(0.1);

/// Fewest and most joints of a trial's vehicle.
pub const JOINTS: (usize, usize) = (50, 150);

/// Vehicles are drawn again when they have too few or too many joints or cannot be solved.
const MOST_DRAWS: usize = 200;

/// A vehicle of a trial.
#[derive(Debug, Clone)]
pub struct Subject {
    /// The file.
    pub text: String,
    /// The vehicle as the file tells it, which is all that the diagnosis is given.
    pub known: Vehicle,
    /// The vehicle as it really is, with nothing bad.
    pub real: Vehicle,
    /// The operating points of the real vehicle, in the order of its states.
    pub points: Vec<OperatingPoint>,
}

/// Draws a vehicle that reads without an error, has the wanted number of joints and can be solved.
///
/// Nothing when two hundred draws gave none, which would be a mistake of the layouts.
#[must_use]
pub fn draw(dice: &mut Dice) -> Option<Subject> {
    for _ in 0..MOST_DRAWS {
        let text = layout::text(dice);
        let Some(known) = file::read(text.as_bytes()).vehicle else { continue };
        if !(JOINTS.0..=JOINTS.1).contains(&known.joints.len()) {
            continue;
        }
        let Some(expected) = solve(&known) else { continue };
        let real = differ(&known, &expected, &SPREAD, dice);
        if let Some(points) = solve(&real) {
            return Some(Subject { text, known, real, points });
        }
    }
    None
}

/// The operating points of all states; nothing unless every one was found.
#[must_use]
pub fn solve(vehicle: &Vehicle) -> Option<Vec<OperatingPoint>> {
    let points = Network::new(vehicle).operating_points();
    points.iter().all(|point| point.convergence == Convergence::Reached).then_some(points)
}

/// The resistance below which a joint is clean: under its kind's bad range, and losing little.
#[must_use]
pub fn clean_below(known: &Vehicle, expected: &[OperatingPoint], joint: JointId) -> Ohms {
    let most = expected
        .iter()
        .map(|point| point.piece(known, Piece::Joint(joint)).amps.abs())
        .fold(Amperes::ZERO, Amperes::max);
    let loses = Ohms(CLEAN_LOSES.0 / most.0.max(1e-3));
    known.joint(joint).kind.bad_low.min(loses)
}

/// The vehicle as it really is: everything that the file only estimates, drawn around the estimate.
#[must_use]
pub fn differ(
    known: &Vehicle,
    expected: &[OperatingPoint],
    spread: &Spread,
    dice: &mut Dice,
) -> Vehicle {
    let mut real = known.clone();
    for joint in &mut real.joints {
        let most = clean_below(known, expected, joint.this);
        joint.resistance = loop {
            let drawn = joint.resistance * dice.factor(spread.joint);
            if drawn < most {
                break drawn;
            }
        };
    }
    let wholes: Vec<f64> = real.structures.iter().map(|_| dice.factor(spread.structure)).collect();
    for stretch in &mut real.stretches {
        let whole = wholes.get(stretch.structure as usize).copied().unwrap_or(1.0);
        stretch.resistance = stretch.resistance * (whole * dice.factor(spread.stretch));
    }
    for path in &mut real.incidentals {
        let drawn = path.resistance * dice.factor(spread.incidental);
        path.resistance = drawn.max(path.kind.low).min(path.kind.high);
    }
    for conductor in &mut real.conductors {
        let share = (1.0 + spread.conductor * dice.normal()).max(0.5);
        conductor.resistance_at_20 = conductor.resistance_at_20 * share;
    }
    for part in &mut real.inlines {
        part.resistance = part.resistance * dice.factor(spread.inline);
    }
    for battery in &mut real.batteries {
        let volts = dice.between(1.0 - spread.open_circuit, 1.0 + spread.open_circuit);
        let ohms = dice.factor(spread.battery);
        battery.resistance = battery.resistance * ohms;
        for open in &mut battery.open_circuit {
            *open = *open * volts;
        }
        for charge in &mut battery.charge_resistance {
            *charge = *charge * ohms;
        }
    }
    for source in &mut real.regulated {
        source.set_point =
            source.set_point * dice.between(1.0 - spread.set_point, 1.0 + spread.set_point);
    }
    for load in &mut real.loads {
        load.law = load.law.scaled(dice.between(1.0 - spread.load, 1.0 + spread.load));
    }
    real
}
