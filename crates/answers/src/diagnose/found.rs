//! What readings say of a vehicle.

use diagnosis::agreement::AT_ODDS;
use diagnosis::{
    Beliefs, Crowded, Diagnosis, Finding, Hold, Observation, Question, Sides, take_again_from,
};
use model::{StateId, Vehicle};

use super::Asked;
use crate::proof::{self, ProvenReading};
use crate::refusal::Refused;
use crate::room::{Measured, Watch};
use crate::separating::{self, Apart};
use crate::taken::Taken;
use crate::unsettled;
use crate::weighed::{Weighed, weigh};

/// Everything that was found from readings.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) taken: &'v Taken,
    /// What counts of the readings.
    pub(super) seen: Vec<Observation>,
    /// What has to be asked about them.
    pub(super) questions: Vec<Question>,
    /// What they say.
    pub(super) diagnosis: Diagnosis,
    /// Why the faults of the best explanation are believed.
    pub(super) findings: Vec<Finding>,
    /// On which side the fault lies.
    pub(super) sides: Sides,
    /// What keeps sides from being called cleared.
    pub(super) holds: Vec<Hold>,
    /// Joints that look alike so far.
    pub(super) apart: Vec<Apart>,
    /// What is believed of everything that is no joint.
    pub(super) beliefs: Beliefs,
    /// The same readings before work and after it.
    pub(super) proof: Vec<ProvenReading>,
    /// Readings too many to be weighed one by one.
    pub(super) crowded: Crowded,
    /// States that have no operating point.
    pub(super) unsettled: Vec<StateId>,
}

impl<'v> Found<'v> {
    /// Nothing when stopped.
    pub(super) fn of(
        Measured { vehicle, taken }: Measured<'v>,
        _: &Asked,
        watch: Watch<'_>,
    ) -> Result<Option<Self>, Refused> {
        let (readings, complaint) = (&taken.readings.readings, taken.complaint);
        let Weighed { seen, questions, mut session, diagnosis } =
            weigh(vehicle, (readings, &taken.readings.seen), complaint, watch);
        if session.stopped() {
            return Ok(None);
        }
        let load = complaint.map(|own| own.load);
        let findings = session.account(&diagnosis, &seen);
        let apart = separating::apart(&mut session, &diagnosis, &seen, complaint);
        let sides = Sides::of(vehicle, &diagnosis, load, diagnosis::sides::not_switched_on());
        let beliefs = session.beliefs(&diagnosis);
        let holds = session.holds(&diagnosis, &seen, load);
        if session.stopped() {
            return Ok(None);
        }
        drop(session);
        let proof = proof::of(vehicle, &taken.earlier.readings, readings);
        let crowded = diagnosis::crowded(vehicle, readings);
        Ok(Some(Self {
            vehicle,
            taken,
            seen,
            questions,
            diagnosis,
            findings,
            sides,
            holds,
            apart,
            beliefs,
            proof,
            crowded,
            unsettled: unsettled::states(vehicle),
        }))
    }

    /// True when something is probably wrong, a reading could not be used, or a state has no operating point.
    pub(super) fn wants_attention(&self) -> bool {
        self.diagnosis.nothing_bad < 0.5 || self.taken.has_errors() || !self.unsettled.is_empty()
    }
}

/// The reading with the largest normalised residual above three, and that residual. What is named with
/// a probability as one to take again need not be named twice.
pub(super) fn oddest(diagnosis: &Diagnosis, seen: &[Observation]) -> Option<(u32, f64)> {
    seen.iter()
        .zip(&diagnosis.residuals)
        .filter(|(_, residual)| residual.abs() > AT_ODDS)
        .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
        .map(|(own, residual)| (own.number, *residual))
        .filter(|(number, _)| {
            !diagnosis
                .take_again
                .iter()
                .any(|(own, chance)| own == number && *chance > take_again_from())
        })
}
