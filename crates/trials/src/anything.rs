//! A fault of any kind, as often as each is expected: the world in which probabilities must be honest.
//!
//! Kinds come in the proportions that the diagnosis believes in (`docs/diagnosis.md`), because a
//! probability can only mean what it says where that holds; how bad each is, and everything that is
//! sound, differs from its beliefs.

use diagnosis::prior::bad_probability;
use model::{InlineKind, JointId, LoadId, StateId, Vehicle};
use units::{Ratio, Volts};

use crate::dice::Dice;
use crate::fault::{self, Fault, Faulty, LEAST_COST, MOST_COST_SHARE, worst_loss};
use crate::vehicle::{Subject, solve};

/// Chances of faults other than joints, and of a complaint about a sound vehicle.
const CONDUCTOR: f64 = 0.000_7;
const INLINE: f64 = 0.003;
const DRAGS: f64 = 0.003;
const BATTERY: f64 = 0.01;
const SOURCE: f64 = 0.005;
const GROUNDLESS: f64 = 0.02;
/// How bad each is, any value between alike: factors on resistances, decades alike, and on draws;
/// volts of a 12 V block that a battery or an alternator has less.
const CONDUCTOR_FACTOR: (f64, f64) = (3.0, 60.0);
const INLINE_FACTOR: (f64, f64) = (5.0, 200.0);
const DRAGS_FACTOR: (f64, f64) = (1.4, 2.4);
const WORN_FACTOR: (f64, f64) = (2.0, 6.0);
const LOW: (f64, f64) = (0.4, 1.6);
const SOURCE_LOW: (f64, f64) = (0.8, 2.6);
/// A fault is drawn again when it costs too little or too much.
const MOST_DRAWS: usize = 400;

#[derive(Debug, Clone, Copy)]
enum Kind {
    Nothing,
    Joint(JointId),
    Conductor(usize),
    Inline(usize),
    Drags(usize),
    Low(usize),
    Worn(usize),
    Source(usize),
}

fn chances(known: &Vehicle) -> Vec<(Kind, f64)> {
    let mut chances = vec![(Kind::Nothing, GROUNDLESS)];
    chances.extend(
        known.joints.iter().map(|joint| (Kind::Joint(joint.this), bad_probability(known, joint))),
    );
    chances.extend((0..known.conductors.len()).map(|at| (Kind::Conductor(at), CONDUCTOR)));
    let contacts = known.inlines.iter().enumerate();
    chances.extend(
        contacts
            .filter(|(_, part)| !matches!(part.kind, InlineKind::Diode { .. }))
            .map(|(at, _)| (Kind::Inline(at), INLINE)),
    );
    chances.extend(known.loads.iter().enumerate().map(|(at, load)| {
        let turns = load.kind.turns();
        (Kind::Drags(at), if turns { DRAGS } else { DRAGS / 3.0 })
    }));
    for at in 0..known.batteries.len() {
        chances.extend([(Kind::Low(at), BATTERY), (Kind::Worn(at), BATTERY)]);
    }
    chances.extend((0..known.regulated.len()).map(|at| (Kind::Source(at), SOURCE)));
    chances
}

fn pick(chances: &[(Kind, f64)], dice: &mut Dice) -> Kind {
    let all: f64 = chances.iter().map(|(_, chance)| chance).sum();
    let mut left = dice.between(0.0, all);
    for (kind, chance) in chances {
        left -= chance;
        if left <= 0.0 {
            return *kind;
        }
    }
    Kind::Nothing
}

/// A vehicle with one fault of any kind that costs some load enough, or with none and a complaint all
/// the same.
#[must_use]
pub fn any(subject: &Subject, dice: &mut Dice) -> Option<Faulty> {
    let chances = chances(&subject.known);
    for _ in 0..MOST_DRAWS {
        let kind = pick(&chances, dice);
        if let Kind::Nothing = kind {
            return groundless(subject, dice);
        }
        let Some(real) = made(kind, &subject.real, dice) else { continue };
        let Some(points) = solve(&real) else { continue };
        let Some((load, state, cost)) = worst_loss(&real, &subject.points, &points) else {
            continue;
        };
        if cost < LEAST_COST || cost.0 > MOST_COST_SHARE * subject.known.nominal.0 {
            continue;
        }
        let faults = match kind {
            Kind::Joint(joint) => {
                let resistance = real.joint(joint).resistance;
                vec![Fault { joint, resistance, cost, hurts: (load, state) }]
            }
            _ => Vec::new(),
        };
        return Some(Faulty { real, points, faults, complaint: Some((load, state)) });
    }
    None
}

fn groundless(subject: &Subject, dice: &mut Dice) -> Option<Faulty> {
    let at = dice.count(0, subject.known.loads.len() - 1);
    let state: StateId = *dice.pick(&subject.known.loads[at].on)?;
    Some(Faulty { complaint: Some((LoadId::at(at), state)), ..fault::nothing(subject) })
}

/// The vehicle with that fault in it.
fn made(kind: Kind, sound: &Vehicle, dice: &mut Dice) -> Option<Vehicle> {
    let mut real = sound.clone();
    let blocks = real.nominal.0 / 12.0;
    match kind {
        Kind::Nothing => {}
        Kind::Joint(id) => {
            let joint = real.joints.get_mut(id.index())?;
            let kind = joint.kind;
            joint.resistance = units::Ohms(dice.decades(kind.bad_low.0, kind.bad_high.0));
        }
        Kind::Conductor(at) => {
            let conductor = real.conductors.get_mut(at)?;
            let factor = dice.decades(CONDUCTOR_FACTOR.0, CONDUCTOR_FACTOR.1);
            conductor.resistance_at_20 = conductor.resistance_at_20 * factor;
        }
        Kind::Inline(at) => {
            let part = real.inlines.get_mut(at)?;
            part.resistance = part.resistance * dice.decades(INLINE_FACTOR.0, INLINE_FACTOR.1);
        }
        Kind::Drags(at) => {
            let load = real.loads.get_mut(at)?;
            load.law = load.law.scaled(dice.between(DRAGS_FACTOR.0, DRAGS_FACTOR.1));
        }
        Kind::Low(at) => {
            let battery = real.batteries.get_mut(at)?;
            let less = Volts(dice.between(LOW.0, LOW.1)) * Ratio(battery.nominal.0 / 12.0).0;
            for open in &mut battery.open_circuit {
                *open -= less;
            }
        }
        Kind::Worn(at) => {
            let battery = real.batteries.get_mut(at)?;
            let factor = dice.between(WORN_FACTOR.0, WORN_FACTOR.1);
            battery.resistance = battery.resistance * factor;
            for charge in &mut battery.charge_resistance {
                *charge = *charge * factor;
            }
        }
        Kind::Source(at) => {
            let source = real.regulated.get_mut(at)?;
            source.set_point -= Volts(dice.between(SOURCE_LOW.0, SOURCE_LOW.1) * blocks);
        }
    }
    Some(real)
}
