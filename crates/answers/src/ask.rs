//! From a question about a vehicle to its answer.

use diagnosis::{Complaint, Diagnosis, Heeded, Observation, Practice, Question, Session, clues};
use file::edit::{EditError, add_conductor, set_resistance};
use file::rewrite::{Edits, Rewritten, rewrite};
use model::{Reading, Vehicle};
use network::Network;

use crate::bolt::{self, JointSheet};
use crate::column::{self, Column};
use crate::diagnose::{self, Diagnosed, Found};
use crate::edit::Edited;
use crate::next::{self, NextReadings, ReadingPlan};
use crate::refusal::{access_group, joint, state};
use crate::repairs::{self, Repairs, Worth};
use crate::room::{Progress, Watch};
use crate::taken::Taken;
use crate::{FORMAT, Refusal};

/// A vehicle with changes tried on it, written as on the command line.
///
/// # Errors
///
/// When a change cannot be understood.
pub fn changed(vehicle: &Vehicle, set: &[String], add: &[String]) -> Result<Vehicle, Refusal> {
    let mut changed = vehicle.clone();
    for text in add {
        add_conductor(&mut changed, text).map_err(refused)?;
    }
    for text in set {
        set_resistance(&mut changed, text).map_err(refused)?;
    }
    Ok(changed)
}

/// A vehicle file with changes written into it; nothing else of it changes.
///
/// # Errors
///
/// When the file has an error, a change cannot be understood, or it cannot be written safely.
pub fn edit(text: &str, edits: Edits<'_>) -> Result<Edited, Refusal> {
    let Rewritten { text, added } = rewrite(text, edits).map_err(refused)?;
    Ok(Edited { format: FORMAT, text, added })
}

fn refused(error: EditError) -> Refusal {
    Refusal { what: error.what, expected: error.expected, hint: error.hint, place: None }
}

/// What is to change in a [`fn@column`].
#[derive(Debug, Clone, Copy)]
pub enum Grabbed<'a> {
    /// The resistance of a piece that is there.
    Piece(&'a str),
    /// A conductor drawn between two points.
    Between(&'a [String; 2]),
}

/// The column with which a page answers a changed resistance by itself.
///
/// # Errors
///
/// When there is no such state, piece or point, or the piece does not conduct.
pub fn column(vehicle: &Vehicle, at: &str, what: Grabbed<'_>) -> Result<Column, Refusal> {
    let mut network = Network::new(vehicle);
    let point = network.operating_point(state(vehicle, at)?);
    match what {
        Grabbed::Piece(name) => column::piece(vehicle, &network, &point, name),
        Grabbed::Between(ends) => column::between(vehicle, &network, &point, ends),
    }
}

/// Readings that were weighed: what `diagnose`, `next` and `repairs` begin with.
#[derive(Debug)]
pub struct Weighed<'v> {
    /// What counts of the readings.
    pub seen: Vec<Observation>,
    /// What has to be asked about them.
    pub questions: Vec<Question>,
    /// The vehicle, ready to be asked further.
    pub session: Session<'v>,
    /// What the readings say; worth nothing when [`Session::stopped`].
    pub diagnosis: Diagnosis,
}

/// Weighs readings; `watch` is told which share of the most work is done, and false from it stops.
pub fn weigh<'v>(
    vehicle: &'v Vehicle,
    readings: &[Reading],
    complaint: Option<Complaint>,
    mut watch: impl FnMut(Progress) -> bool + Send + 'v,
) -> Weighed<'v> {
    let watched = move |share| watch(Progress { what: "weighing", share });
    let mut session = Session::with_clues(vehicle, &clues(vehicle, readings)).watched(watched);
    let Heeded { seen, questions } = session.heed(readings, complaint);
    let diagnosis = session.diagnose(&seen, complaint);
    Weighed { seen, questions, session, diagnosis }
}

/// Which joint is bad; nothing when stopped.
#[must_use]
pub fn diagnose(vehicle: &Vehicle, taken: Taken, watch: Watch<'_>) -> Option<Diagnosed> {
    let Weighed { seen, questions, mut session, diagnosis } =
        weigh(vehicle, &taken.readings.readings, taken.complaint, watch);
    if session.stopped() {
        return None;
    }
    let found = Found::of(&mut session, diagnosis, (seen, questions), taken.complaint);
    Some(diagnose::of(vehicle, &taken.readings, &taken.earlier, taken.problems, &found))
}

/// What to measure next; nothing when stopped.
#[must_use]
pub fn next(
    vehicle: &Vehicle,
    taken: Taken,
    practice: Practice,
    most: usize,
    watch: Watch<'_>,
) -> Option<NextReadings> {
    let Weighed { seen, questions, mut session, diagnosis } =
        weigh(vehicle, &taken.readings.readings, taken.complaint, watch);
    if session.stopped() {
        return None;
    }
    session.practise(practice);
    let mut proposals = session.next(&diagnosis, &seen, taken.complaint);
    proposals.truncate(most);
    Some(next::next_of(vehicle, &proposals, taken.problems, &questions))
}

/// A first plan of readings for a vehicle that nobody has measured.
#[must_use]
pub fn plan(vehicle: &Vehicle, practice: Practice, most: usize) -> ReadingPlan {
    let mut session = Session::new(vehicle);
    session.practise(practice);
    next::plan_of(vehicle, &session.survey(most))
}

/// What can be had when readings are taken: whether nobody helps, states that cannot be had, and covers
/// that are off already.
///
/// # Errors
///
/// When there is no such state or access group.
pub fn practice(
    vehicle: &Vehicle,
    alone: bool,
    without: &[String],
    open: &[String],
) -> Result<Practice, Refusal> {
    Ok(Practice {
        alone,
        without: without.iter().map(|name| state(vehicle, name)).collect::<Result<_, _>>()?,
        open: open.iter().map(|name| access_group(vehicle, name)).collect::<Result<_, _>>()?,
    })
}

/// What is worth doing; nothing when stopped.
#[must_use]
pub fn repairs(vehicle: &Vehicle, taken: Taken, most: usize, watch: Watch<'_>) -> Option<Repairs> {
    let Weighed { seen, mut session, diagnosis, .. } =
        weigh(vehicle, &taken.readings.readings, taken.complaint, watch);
    if session.stopped() {
        return None;
    }
    let worth = Worth::of(&mut session, &diagnosis, &seen, taken.complaint, most);
    Some(repairs::of(vehicle, &worth, taken.problems))
}

/// The sheet of a joint: its bolt and torque, faces, washers, stack, protection.
///
/// # Errors
///
/// When there is no such joint.
pub fn bolt(vehicle: &Vehicle, of: &str) -> Result<JointSheet, Refusal> {
    Ok(bolt::of_joint::of(vehicle, joint(vehicle, of)?))
}
