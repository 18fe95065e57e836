//! What is worth doing.

use diagnosis::{
    Complaint, Diagnosis, Observation, Question, Repair, Session, Suspect, SuspectKind,
};
use model::{LoadId, StateId, Vehicle};

use super::{Asked, Nothing};
use crate::refusal::Refused;
use crate::room::{Measured, Watch};
use crate::separating::{self, Apart};
use crate::taken::Taken;
use crate::unsettled;
use crate::weighed::{Weighed, weigh};

/// From this probability on what no step reaches is named as likeliest at fault.
const LIKELY: f64 = 0.3;

/// What is worth doing to a vehicle that was measured.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) taken: &'v Taken,
    /// What has to be asked about the readings.
    pub(super) questions: Vec<Question>,
    pub(super) worth: Worth,
    /// States that have no operating point.
    pub(super) unsettled: Vec<StateId>,
}

impl<'v> Found<'v> {
    /// Nothing when stopped.
    pub(super) fn of(
        Measured { vehicle, taken }: Measured<'v>,
        asked: &Asked,
        watch: Watch<'_>,
    ) -> Result<Option<Self>, Refused> {
        let Weighed { seen, questions, mut session, diagnosis } = weigh(
            vehicle,
            (&taken.readings.readings, &taken.readings.seen),
            taken.complaint,
            watch,
        );
        if session.stopped() {
            return Ok(None);
        }
        let worth = Worth::of(&mut session, &diagnosis, &seen, taken.complaint, asked.most);
        if session.stopped() {
            return Ok(None);
        }
        let unsettled = unsettled::states(vehicle);
        Ok(Some(Self { vehicle, taken, questions, worth, unsettled }))
    }

    /// True when a reading could not be used, or a state has no operating point.
    pub(super) fn wants_attention(&self) -> bool {
        self.taken.has_errors() || !self.unsettled.is_empty()
    }
}

/// Everything that the answer tells.
#[derive(Debug)]
pub(super) struct Worth {
    /// Steps, the best first.
    pub repairs: Vec<Repair>,
    /// What gains most for a minute when the first is done.
    pub then: Option<Repair>,
    /// Joints that look alike so far, with the reading to take before any part is bought.
    pub first: Vec<Apart>,
    /// What is likely at fault and no step reaches.
    pub elsewhere: Option<Suspect>,
    /// Why there is no step, where there is none.
    pub nothing: Option<Nothing>,
    /// Loads that fall short of their minimum with everything sound.
    pub made_too_small: Vec<(LoadId, StateId)>,
}

impl Worth {
    /// Asks a session further that has weighed the readings; at most so many steps are kept.
    pub(super) fn of(
        session: &mut Session<'_>,
        diagnosis: &Diagnosis,
        seen: &[Observation],
        complaint: Option<Complaint>,
        most: usize,
    ) -> Self {
        let mut repairs = session.repairs(diagnosis, complaint);
        let then = session.then(diagnosis, complaint, &repairs);
        repairs.truncate(most);
        let made_too_small = session.made_too_small(complaint);
        let first = if repairs.is_empty() || seen.is_empty() {
            Vec::new()
        } else {
            separating::apart(session, diagnosis, seen, complaint)
        };
        let elsewhere =
            diagnosis.suspects.first().copied().filter(|own| {
                !seen.is_empty() && own.probability > LIKELY && !is_reached(own.kind)
            });
        let nothing = repairs.is_empty().then_some(match elsewhere {
            Some(_) => Nothing::Elsewhere,
            None if seen.is_empty() || diagnosis.nothing_bad > 0.5 => Nothing::Sound,
            None => Nothing::MeasureFirst,
        });
        Self { repairs, then, first, elsewhere, nothing, made_too_small }
    }
}

/// True for what a step mends.
fn is_reached(kind: SuspectKind) -> bool {
    matches!(kind, SuspectKind::Joint(_) | SuspectKind::Conductor(_) | SuspectKind::Open(_))
}
