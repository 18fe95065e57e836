//! Which steps are worth working out: looked for with slopes, so that few are tried in full.

use catalogue::Catalogue;
use model::{ConductorId, JointId, LoadId, Measured, Piece, PointId, Probe, StateId, Vehicle};
use units::{Ohms, SquareMetres, WireSize};

use super::Action;
use super::case::{Case, clean};
use super::straps::{added, bears_beside};
use crate::diagnose::Diagnosis;
use crate::forward::Forward;
use crate::judged;
use crate::suspect::{SuspectKind, conductor_of};

/// How many of each are worked out.
const MOST_JOINTS: usize = 12;
const MOST_REPLACED: usize = 6;
const MOST_ENLARGED: usize = 5;
/// Explanations whose slopes are looked at.
const MOST_SLOPES: usize = 3;

/// Everything worth working out.
pub(super) fn all(
    forward: &mut Forward<'_>,
    diagnosis: &Diagnosis,
    cases: &[Case],
    states: &[StateId],
    pairs: &[(PointId, PointId)],
    made_too_small: bool,
) -> Vec<Action> {
    let vehicle = forward.vehicle();
    let slopes = slopes(forward, cases, states);
    let promised =
        |piece: Piece, logarithm: f64| promised(vehicle, cases, &slopes, piece, logarithm);
    let mut actions = at_joints(vehicle, diagnosis, cases, &promised);
    actions.extend(replaced(diagnosis));
    if !made_too_small {
        return actions;
    }
    actions.extend(enlarged(vehicle, &promised));
    for (from, to) in forward.paths.clone() {
        let inside = pairs.contains(&(from, to));
        if inside && let Some(action) = added(forward, cases, states, from, to) {
            actions.push(action);
        }
    }
    actions
}

/// What can be done at the bad joints that promise most.
fn at_joints(
    vehicle: &Vehicle,
    diagnosis: &Diagnosis,
    cases: &[Case],
    promised: &dyn Fn(Piece, f64) -> f64,
) -> Vec<Action> {
    let worth = judged::repairs().suspected_worth.0;
    let mut joints: Vec<(f64, JointId)> = (0..vehicle.joints.len())
        .map(JointId::at)
        .filter(|id| cases.iter().any(|case| case.is_bad(vehicle, *id)))
        .map(|id| {
            let suspected = worth * diagnosis.joints[id.index()].bad;
            (suspected + promised(Piece::Joint(id), clean(vehicle, id)), id)
        })
        .collect();
    joints.sort_by(|a, b| b.0.total_cmp(&a.0));
    // Only what is bad is among them: little may be promised where another way takes its current over.
    joints.truncate(MOST_JOINTS);
    let mut actions = Vec::new();
    let mut ends: Vec<ConductorId> = Vec::new();
    for (_, id) in joints {
        // A crimp has no face to clean.
        let face = vehicle.face_of(id);
        if face == id {
            actions.push(Action::Clean(id));
        }
        if let Some(conductor) = conductor_of(vehicle, id) {
            if !actions.contains(&Action::ReplaceEnd(face)) {
                actions.push(Action::ReplaceEnd(face));
            }
            if face == id {
                ends.push(conductor);
            }
        }
    }
    ends.sort_unstable();
    let both = ends.windows(2).filter(|pair| pair[0] == pair[1]);
    actions.extend(both.map(|pair| Action::CleanBoth(pair[0])));
    actions
}

/// Conductors that may be rotten or open, replaced.
fn replaced(diagnosis: &Diagnosis) -> Vec<Action> {
    let from = judged::repairs().rotten_from.0;
    let suspects = diagnosis.suspects.iter().filter(|own| own.probability > from);
    let mut replaced: Vec<ConductorId> = Vec::new();
    for suspect in suspects {
        let (SuspectKind::Conductor(id) | SuspectKind::Open(id)) = suspect.kind else { continue };
        if !replaced.contains(&id) {
            replaced.push(id);
        }
    }
    replaced.into_iter().take(MOST_REPLACED).map(Action::Replace).collect()
}

/// Conductors of larger sizes that promise enough and bear what flows beside them.
fn enlarged(vehicle: &Vehicle, promised: &dyn Fn(Piece, f64) -> f64) -> Vec<Action> {
    let from = judged::repairs().promises_from.0;
    let mut larger: Vec<(f64, Action)> = (0..vehicle.conductors.len())
        .map(ConductorId::at)
        .flat_map(|id| larger_sizes(vehicle, id).into_iter().map(move |larger| (id, larger)))
        .map(|(conductor, (size, ohms))| {
            let written = vehicle.conductor(conductor).resistance_at_20;
            let worth = promised(Piece::Conductor(conductor), (ohms / written).ln());
            (worth, Action::Enlarge { conductor, size, ohms })
        })
        .filter(|(worth, _)| *worth > from)
        .filter(|(_, action)| bears_beside(vehicle, *action))
        .collect();
    larger.sort_by(|a, b| b.0.total_cmp(&a.0));
    larger.into_iter().take(2 * MOST_ENLARGED).map(|(_, action)| action).collect()
}

/// For each of the likeliest explanations the change of each load's volts, in each state, with the
/// logarithm of each piece's resistance.
fn slopes(forward: &Forward<'_>, cases: &[Case], states: &[StateId]) -> Vec<Vec<Vec<f64>>> {
    let vehicle = forward.vehicle();
    let questions: Vec<(StateId, Measured)> = states
        .iter()
        .flat_map(|state| {
            (0..vehicle.loads.len()).map(LoadId::at).filter_map(move |id| {
                let load = vehicle.load(id);
                let (high, low) = (Probe::Point(load.positive), Probe::Point(load.negative));
                load.is_on_in(*state).then_some((*state, Measured::Volts { high, low }))
            })
        })
        .collect();
    let likeliest = cases.iter().take(MOST_SLOPES);
    likeliest.map(|case| forward.rows(&case.guess, &questions).unwrap_or_default()).collect()
}

/// What the slopes promise to the load that gains most when a piece's resistance falls to this
/// logarithm over the file's; a loss is in proportion to the resistance itself.
fn promised(
    vehicle: &Vehicle,
    cases: &[Case],
    slopes: &[Vec<Vec<f64>>],
    piece: Piece,
    logarithm: f64,
) -> f64 {
    let at = vehicle.piece_slot(piece);
    cases
        .iter()
        .zip(slopes)
        .map(|(case, rows)| {
            let share = ((logarithm - case.unknowns[at]).exp() - 1.0).min(0.0);
            case.weight * rows.iter().map(|row| row[at] * share).fold(0.0, f64::max)
        })
        .sum()
}

/// The next two sizes up in the list that a conductor's size is from, with their resistance.
fn larger_sizes(vehicle: &Vehicle, id: ConductorId) -> Vec<(WireSize, Ohms)> {
    let conductor = vehicle.conductor(id);
    let catalogue = Catalogue::standard();
    let (Some(size), Some(length), Some(area)) = (conductor.size, conductor.length, conductor.area)
    else {
        return Vec::new();
    };
    let gauges = || catalogue.sae_gauges.iter().map(|row| row.number);
    let listed: Vec<WireSize> = match size {
        WireSize::Area(_) => {
            catalogue.flexible_cables.iter().map(|row| WireSize::Area(row.area)).collect()
        }
        WireSize::Awg(_) => gauges().map(WireSize::Awg).collect(),
        WireSize::Sae(_) => gauges().map(WireSize::Sae).collect(),
        // Braids and bars are cut to what is at hand; a second one beside it is an addition.
        WireSize::Braid(_) | WireSize::Bar { .. } => Vec::new(),
    };
    let times = judged::repairs().larger_from_times.0;
    let mut larger: Vec<(SquareMetres, WireSize, Ohms)> = listed
        .into_iter()
        .filter_map(|size| {
            let found = catalogue.conductor_resistance_per_metre(&size, &conductor.material)?;
            let ohms = found.per_metre * length.0;
            (found.area.0 > area.0 * times && ohms < conductor.resistance_at_20)
                .then_some((found.area, size, ohms))
        })
        .collect();
    larger.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
    larger.into_iter().take(2).map(|(_, size, ohms)| (size, ohms)).collect()
}
