//! Readings weighed on a vehicle, which several questions begin with.

use diagnosis::{Complaint, Diagnosis, Heeded, Observation, Question, Session, clues};
use model::{Reading, Seen, Vehicle};

use crate::room::Progress;

/// Readings that were weighed: what `diagnose`, `next` and `repairs` begin with.
#[derive(Debug)]
pub(crate) struct Weighed<'v> {
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
pub(crate) fn weigh<'v>(
    vehicle: &'v Vehicle,
    (readings, told): (&[Reading], &[Seen]),
    complaint: Option<Complaint>,
    mut watch: impl FnMut(Progress) -> bool + Send + 'v,
) -> Weighed<'v> {
    let watched = move |share| watch(Progress { what: "weighing", share });
    let session = Session::with_clues(vehicle, &clues(vehicle, readings)).seeing(told);
    let mut session = session.watched(watched);
    let Heeded { seen, questions } = session.heed(readings, complaint);
    let diagnosis = session.diagnose(&seen, complaint);
    Weighed { seen, questions, session, diagnosis }
}
