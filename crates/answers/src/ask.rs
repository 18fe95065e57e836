//! From a question about a vehicle to its answer.

use diagnosis::{Complaint, Diagnosis, Heeded, Observation, Question, Session, clues};
use file::edit::{EditError, add_conductor, set_resistance};
use file::rewrite::{Edits, Rewritten, rewrite};
use model::{Reading, Vehicle};
use network::Network;

use crate::column::{self, Column};
use crate::edit::Edited;
use crate::refusal::state;
use crate::room::Progress;
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
