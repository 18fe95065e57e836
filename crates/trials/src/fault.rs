//! Hidden faults: bad joints that cost a load something, and paths that the file does not show.

use std::collections::BTreeSet;

use catalogue::Catalogue;
use model::{Incidental, JointId, LoadId, Piece, PointId, PointOwner, StateId, Vehicle};
use network::{Network, OperatingPoint};
use units::{Amperes, Ohms, Volts};

use crate::dice::Dice;
use crate::vehicle::{Subject, solve};

/// A fault costs some load at least this much in some state.
pub const LEAST_COST: Volts = Volts(0.15);
/// A fault costs no load more than this share of the nominal voltage: the rest would be an open.
pub const MOST_COST_SHARE: f64 = 0.4;
/// The resistance of an undrawn path, any decade alike.
pub const UNDRAWN: (Ohms, Ohms) = (Ohms(0.3e-3), Ohms(5e-3));
/// A shared joint carries the current of at least so many loads.
pub const SHARED_BY: usize = 3;

/// A load's current passes a joint when at least this share of it does.
const PASSES_SHARE: f64 = 0.2;
/// Smaller loads do not make a joint shared.
const PASSES_AMPS: Amperes = Amperes(1.0);
/// A fault is drawn again when it costs too little or too much.
const MOST_DRAWS: usize = 400;

/// A joint made bad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fault {
    /// The joint.
    pub joint: JointId,
    /// Its resistance now.
    pub resistance: Ohms,
    /// What it alone costs the load that it hurts most.
    pub cost: Volts,
    /// The load and state that it alone hurts most.
    pub hurts: (LoadId, StateId),
}

/// A vehicle with hidden faults, ready to be measured.
#[derive(Debug, Clone)]
pub struct Faulty {
    /// The vehicle as it really is.
    pub real: Vehicle,
    /// Its operating points, in the order of its states.
    pub points: Vec<OperatingPoint>,
    /// What is bad; empty for a healthy vehicle.
    pub faults: Vec<Fault>,
    /// The load and state that suffer most, as a customer would tell.
    pub complaint: Option<(LoadId, StateId)>,
}

/// The load and state that lost most against the healthy vehicle relative to the load's rated volts,
/// with the volts lost; nothing when nothing lost anything.
#[must_use]
pub fn worst_loss(
    vehicle: &Vehicle,
    healthy: &[OperatingPoint],
    faulty: &[OperatingPoint],
) -> Option<(LoadId, StateId, Volts)> {
    let mut worst: Option<(f64, LoadId, StateId, Volts)> = None;
    for (before, after) in healthy.iter().zip(faulty) {
        for (at, load) in vehicle.loads.iter().enumerate() {
            if !load.is_on_in(before.state) {
                continue;
            }
            let lost = before.loads[at].volts - after.loads[at].volts;
            let relative = lost / load.law.rated_volts();
            if relative > worst.map_or(0.0, |(most, ..)| most) {
                worst = Some((relative, LoadId::at(at), before.state, lost));
            }
        }
    }
    worst.map(|(_, load, state, lost)| (load, state, lost))
}

/// One of these joints made bad, so that it costs some load enough. Nothing when none can.
#[must_use]
pub fn one_of(joints: &[JointId], subject: &Subject, dice: &mut Dice) -> Option<(Vehicle, Fault)> {
    for _ in 0..MOST_DRAWS {
        let joint = *dice.pick(joints)?;
        let kind = subject.known.joint(joint).kind;
        // Evenly over the decades of the whole bad range, while an estimator may believe in anything.
        let resistance = Ohms(dice.decades(kind.bad_low.0, kind.bad_high.0));
        let mut real = subject.real.clone();
        real.joints[joint.index()].resistance = resistance;
        let Some(points) = solve(&real) else { continue };
        let Some((load, state, cost)) = worst_loss(&real, &subject.points, &points) else {
            continue;
        };
        if cost >= LEAST_COST && cost.0 <= MOST_COST_SHARE * subject.known.nominal.0 {
            return Some((real, Fault { joint, resistance, cost, hurts: (load, state) }));
        }
    }
    None
}

/// A vehicle with so many bad joints, each of which alone costs some load enough.
#[must_use]
pub fn joints(
    among: &[JointId],
    number: usize,
    subject: &Subject,
    dice: &mut Dice,
) -> Option<Faulty> {
    for _ in 0..MOST_DRAWS {
        let mut real = subject.real.clone();
        let mut faults: Vec<Fault> = Vec::new();
        for _ in 0..number {
            let left: Vec<JointId> = among
                .iter()
                .copied()
                .filter(|joint| faults.iter().all(|fault| fault.joint != *joint))
                .collect();
            let (_, fault) = one_of(&left, subject, dice)?;
            real.joints[fault.joint.index()].resistance = fault.resistance;
            faults.push(fault);
        }
        let Some(points) = solve(&real) else { continue };
        let complaint =
            worst_loss(&real, &subject.points, &points).map(|(load, state, _)| (load, state));
        return Some(Faulty { real, points, faults, complaint });
    }
    None
}

/// The vehicle with nothing bad.
#[must_use]
pub fn nothing(subject: &Subject) -> Faulty {
    Faulty {
        real: subject.real.clone(),
        points: subject.points.clone(),
        faults: Vec::new(),
        complaint: None,
    }
}

/// All joints of a vehicle.
#[must_use]
pub fn all_joints(vehicle: &Vehicle) -> Vec<JointId> {
    (0..vehicle.joints.len()).map(JointId::at).collect()
}

/// The joints through which the current of at least three loads passes, by the vehicle's file.
#[must_use]
pub fn shared_joints(vehicle: &Vehicle) -> Vec<JointId> {
    let mut users = vec![BTreeSet::new(); vehicle.joints.len()];
    let mut network = Network::new(vehicle);
    for point in network.operating_points() {
        for at in 0..vehicle.loads.len() {
            if point.loads[at].amps < PASSES_AMPS {
                continue;
            }
            let Some(budget) = network.budget(&point, LoadId::at(at)) else { continue };
            for term in &budget.terms {
                if let Piece::Joint(joint) = term.piece
                    && term.share.0.abs() >= PASSES_SHARE
                {
                    users[joint.index()].insert(at);
                }
            }
        }
    }
    all_joints(vehicle)
        .into_iter()
        .filter(|joint| users[joint.index()].len() >= SHARED_BY)
        .collect()
}

/// A path that the file does not show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Undrawn {
    /// One end.
    pub from: PointId,
    /// The other end, on another structure.
    pub to: PointId,
    /// Its resistance.
    pub resistance: Ohms,
}

/// The vehicle with a path between two structures that its file does not show.
///
/// Nothing for a vehicle with a single structure.
#[must_use]
pub fn undrawn_path(subject: &Subject, dice: &mut Dice) -> Option<(Faulty, Undrawn)> {
    let metal: Vec<(PointId, u32)> = (subject.known.points.iter().enumerate())
        .filter(|(_, point)| !point.access.out_of_reach)
        .filter_map(|(at, point)| match point.owner {
            PointOwner::Structure(structure) => Some((PointId::at(at), structure)),
            _ => None,
        })
        .collect();
    for _ in 0..MOST_DRAWS {
        let (from, one) = *dice.pick(&metal)?;
        let (to, other) = *dice.pick(&metal)?;
        let resistance = Ohms(dice.decades(UNDRAWN.0.0, UNDRAWN.1.0));
        if one == other {
            continue;
        }
        let kind = Catalogue::standard().incidental_paths.known("exhaust")?;
        let mut real = subject.real.clone();
        // Last in the list of incidental paths, so that conductors and joints keep their numbers.
        real.incidentals.push(Incidental {
            id: "undrawn".to_owned(),
            kind,
            from,
            to,
            resistance,
            likely: None,
            damage: None,
            note: None,
        });
        let Some(points) = solve(&real) else { continue };
        let faulty = Faulty { real, points, faults: Vec::new(), complaint: None };
        return Some((faulty, Undrawn { from, to, resistance }));
    }
    None
}
