//! What is believed before any reading, and why.
//!
//! Spreads are standard deviations of natural logarithms unless said otherwise. Those of joints come
//! from the catalogue's clean ranges (unconfirmed there); the rest is in its table of judgements.

use catalogue::Defaults;
use model::{
    Battery, Conductor, InlineKind, Joint, Likely, Load, LoadKind, Piece, Regulated, Vehicle,
};
use network::OperatingPoint;
use units::{Amperes, Ohms, Volts};

use crate::judged;

/// A clean range holds nine joints of ten: its ends are 1.645 standard deviations away.
const NINE_OF_TEN: f64 = 2.0 * 1.645;

/// The range of an incidental path's kind is wide and holds nearly all: a cable's sheath that joins
/// bodies like a strap is no such path, but one that the file does not show.
const NINETY_NINE: f64 = 2.0 * 2.576;

/// What is believed of one unknown: its middle, as a deviation from what the file says, and its
/// spread. Of a resistance or a draw both are of the natural logarithm, of a voltage in volts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Prior {
    pub middle: f64,
    pub spread: f64,
}

impl Prior {
    fn around(spread: f64) -> Self {
        Self { middle: 0.0, spread }
    }

    /// Nine of ten lie between the ends of a range whose logarithm is normal.
    fn of_range(low: f64, high: f64, written: f64) -> Self {
        let middle = 0.5 * (low.ln() + high.ln()) - written.ln();
        Self { middle, spread: (high / low).ln() / NINE_OF_TEN }
    }

    fn of_ohms(range: Option<Likely<Ohms>>, written: Ohms, usual: f64) -> Self {
        range.map_or(Self::around(usual), |own| Self::of_range(own.low.0, own.high.0, written.0))
    }
}

/// What is believed of a sound piece.
pub(crate) fn piece_prior(vehicle: &Vehicle, piece: Piece) -> Prior {
    Prior::of_ohms(
        likely(vehicle, piece),
        vehicle.piece_resistance(piece),
        piece_spread(vehicle, piece),
    )
}

/// The range in which the file expects a sound piece, if it says so.
fn likely(vehicle: &Vehicle, piece: Piece) -> Option<Likely<Ohms>> {
    match piece {
        Piece::Joint(id) => vehicle.joint(id).likely,
        Piece::Conductor(id) => vehicle.conductor(id).likely,
        Piece::Stretch(id) => vehicle.stretch(id).likely,
        Piece::Incidental(id) => vehicle.incidental(id).likely,
        Piece::Inline(_) => None,
    }
}

/// The end of that range, as a logarithm over what the file says: what a sound piece may have is
/// no fault of it.
pub(crate) fn sound_until(vehicle: &Vehicle, piece: Piece) -> Option<f64> {
    likely(vehicle, piece).map(|own| (own.high.0 / vehicle.piece_resistance(piece).0).ln())
}

/// What is believed of a sound load's draw.
pub(crate) fn draw_prior(load: &Load) -> Prior {
    load.likely.map_or(Prior::around(draw_spread(load.kind)), |own| {
        Prior::of_range(own.low.0, own.high.0, load.law.rated_amps().0)
    })
}

/// What is believed of a sound battery's voltage, in volts, and of its resistance.
pub(crate) fn battery_prior(battery: &Battery) -> (Prior, Prior) {
    let (emf, resistance) = battery_spread(battery.nominal);
    let voltage = battery.likely_voltage.map_or(Prior::around(emf), |own| Prior {
        middle: 0.5 * (own.low.0 + own.high.0) - battery.rested.0,
        spread: (own.high.0 - own.low.0) / NINE_OF_TEN,
    });
    (voltage, Prior::of_ohms(battery.likely_resistance, battery.resistance, resistance))
}

/// How much further off a fault lies because the sound belief reaches further than usual.
pub(crate) fn beyond_usual(prior: Prior, usual: f64) -> f64 {
    prior.middle + 0.5 * NINE_OF_TEN * (prior.spread - usual).max(0.0)
}

/// Spread of a clean joint, from its kind's clean range.
#[must_use]
pub fn joint_spread(joint: &Joint) -> f64 {
    if joint.stated {
        return judged::faults().stated_spread.0;
    }
    kind_spread(joint)
}

/// True when the file itself says that the joint is bad; see [`catalogue::stated_bad`], which others
/// ask too.
#[must_use]
pub fn stated_bad(joint: &Joint) -> bool {
    catalogue::stated_bad(&joint.kind, joint.stated_ohms())
}

/// What is believed of a joint that the file states as bad, should it be a clean one after all.
pub(crate) fn clean_after_all(joint: &Joint) -> Prior {
    let clean = joint.kind.clean_typical;
    Prior { middle: (clean.0 / joint.resistance.0).ln(), spread: kind_spread(joint) }
}

fn kind_spread(joint: &Joint) -> f64 {
    let kind = joint.kind;
    let own = judged::faults();
    let spread = (kind.clean_high / kind.clean_low).ln() / NINE_OF_TEN;
    spread.clamp(own.kind_spread_least.0, own.kind_spread_most.0)
}

/// Spread of any piece as it is in a sound vehicle.
pub(crate) fn piece_spread(vehicle: &Vehicle, piece: Piece) -> f64 {
    match piece {
        Piece::Joint(id) => joint_spread(vehicle.joint(id)),
        Piece::Conductor(_) => judged::faults().conductor_spread.0,
        Piece::Stretch(_) => judged::faults().structure_spread.0,
        Piece::Incidental(id) => {
            let kind = vehicle.incidental(id).kind;
            (kind.high / kind.low).ln() / NINETY_NINE
        }
        Piece::Inline(id) => match vehicle.inline(id).kind {
            InlineKind::Diode { .. } => judged::faults().diode_spread.0,
            InlineKind::Fuse { .. } | InlineKind::Switch { .. } | InlineKind::Shunt => {
                judged::faults().inline_spread.0
            }
        },
    }
}

/// Spread of a load's draw.
pub(crate) fn draw_spread(kind: LoadKind) -> f64 {
    let own = judged::faults();
    if kind == LoadKind::Starter { own.starter_draw_spread.0 } else { own.draw_spread.0 }
}

/// How many blocks of 12 V a source is made for, by what it holds.
pub(crate) fn blocks_of(source: &Regulated) -> f64 {
    let blocks = source.set_point.0 / Defaults::standard().regulated_12_v.0;
    if blocks < 0.75 { blocks } else { blocks.round() }
}

/// How far what a sound source holds lies from what the file states: for half an equaliser, how far apart it
/// leaves the halves.
pub(crate) fn held_spread(source: &Regulated) -> f64 {
    match source.follows {
        Some(_) => judged::faults().equaliser_spread.0,
        None => judged::faults().regulator_spread_12_v.0 * blocks_of(source),
    }
}

/// Spread of a battery's voltage, in volts, and of its resistance.
pub(crate) fn battery_spread(nominal: Volts) -> (f64, f64) {
    let own = judged::faults();
    (own.battery_rest_spread_12_v.0 * nominal.0 / 12.0, own.battery_spread.0)
}

/// How likely a joint is bad before anything is known: as the file says, or from its kind, age,
/// environment, protection.
///
/// See [`catalogue::bad_joint_chance`], which others ask too.
#[must_use]
pub fn bad_probability(vehicle: &Vehicle, joint: &Joint) -> f64 {
    if let Some(told) = joint.suspicion {
        return told.0;
    }
    if joint.of.is_crimp() && !stated_bad(joint) {
        // Told apart from its conductor it takes its part of that one's chance along.
        let own = judged::faults();
        return own.conductor_rotten.0 * own.rotten_in_a_crimp.0;
    }
    let protection = joint.protection.as_deref();
    let stated = joint.stated_ohms();
    let finish = joint.finish.as_ref();
    catalogue::bad_joint_chance(&vehicle.environment, &joint.kind, protection, finish, stated).0
}

/// How likely a conductor has rotted: its strands, and each crimp that is no piece of its own.
pub(crate) fn rotten_probability(conductor: &Conductor) -> f64 {
    let own = judged::faults();
    let apart = conductor.crimps.iter().flatten().count() as f64;
    own.conductor_rotten.0 * (1.0 - apart * own.rotten_in_a_crimp.0)
}

/// The resistance from which a piece counts as bad: what costs [`bad_drop_12_v`](catalogue::Judgements::bad_drop_12_v), in proportion to
/// the vehicle's voltage, at the largest current it carries in the points given.
pub(crate) fn bad_from(
    vehicle: &Vehicle,
    piece: Piece,
    points: &[Option<OperatingPoint>],
) -> Option<Ohms> {
    let largest = points
        .iter()
        .flatten()
        .map(|point| point.piece(vehicle, piece).amps.abs())
        .fold(Amperes::ZERO, Amperes::max);
    let own = judged::faults();
    (largest > own.found_out_from).then(|| own.bad_drop_12_v * (vehicle.nominal.0 / 12.0) / largest)
}
