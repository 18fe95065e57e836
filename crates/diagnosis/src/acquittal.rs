//! What keeps a side, or a whole vehicle, from being called cleared though little suspicion is left.
//!
//! *Cleared* is a promise: whoever reads it looks elsewhere. A small probability alone does not keep it
//! where the answer itself gives a reason to doubt.

use model::{ConductorId, LoadId};

use crate::diagnose::{Diagnosis, take_again_from};
use crate::estimator::{Asked, Estimator};
use crate::explanation::Explanation;
use crate::judged;
use crate::observation::Observation;
use crate::session::Session;
use crate::side::{Side, side_measured};
use crate::suspect::SuspectKind;
use crate::taught::above_taught;

/// A reason for which nothing, or a side, is not called cleared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// A reading over this side is above the limit that is taught for it.
    AboveTaught {
        /// The reading's number.
        number: u32,
        /// The side that it was taken over; nothing where it lies over no single one.
        side: Option<Side>,
    },
    /// A reading is to be taken again before anything is believed of it.
    Doubted {
        /// The reading's number.
        number: u32,
    },
    /// A way home that nobody has seen may be missing, and the readings leave that open.
    Unseen {
        /// The conductor.
        conductor: ConductorId,
    },
    /// Only what was seen and tried speaks for this side, and no reading alone.
    OnlySeen {
        /// The side.
        side: Side,
    },
}

impl Hold {
    /// True when it keeps this side from being called cleared.
    #[must_use]
    pub fn keeps(self, own: Side) -> bool {
        match self {
            Self::AboveTaught { side, .. } => side.is_none_or(|side| side == own),
            Self::OnlySeen { side } => side == own,
            Self::Doubted { .. } | Self::Unseen { .. } => true,
        }
    }
}

impl Session<'_> {
    /// What keeps sides from being called cleared, seen from a load or from the whole vehicle.
    #[must_use]
    pub fn holds(
        &mut self,
        diagnosis: &Diagnosis,
        observations: &[Observation],
        load: Option<LoadId>,
    ) -> Vec<Hold> {
        let estimator = &mut self.estimator;
        let vehicle = estimator.vehicle();
        let doubted = diagnosis.take_again.iter().filter(|own| own.1 > take_again_from());
        let mut holds: Vec<Hold> =
            doubted.map(|(number, _)| Hold::Doubted { number: *number }).collect();
        let above = observations.iter().filter(|own| above_taught(vehicle, own));
        holds.extend(above.map(|own| Hold::AboveTaught {
            number: own.number,
            side: side_measured(vehicle, load, own.measured),
        }));
        let unseen = unseen(estimator, diagnosis, observations).into_iter();
        holds.extend(unseen.map(|conductor| Hold::Unseen { conductor }));
        if observations.is_empty() && estimator.hearsay.has_seen() {
            holds.extend(Side::ALL.map(|side| Hold::OnlySeen { side }));
        }
        holds
    }
}

/// Conductors that nobody has seen and of which the readings leave open whether they are there.
fn unseen(
    estimator: &mut Estimator<'_>,
    diagnosis: &Diagnosis,
    observations: &[Observation],
) -> Vec<ConductorId> {
    let vehicle = estimator.vehicle();
    let ids = (0..vehicle.conductors.len()).map(ConductorId::at);
    let unseen: Vec<ConductorId> =
        ids.filter(|id| vehicle.conductor(*id).missing.is_some()).collect();
    let best = diagnosis.explanations.iter().find(|own| own.without.is_none());
    let Some(best) = best.filter(|_| !unseen.is_empty()) else { return unseen };
    let asked =
        Asked { observations, complaint: None, states: crate::forward::states_of(observations) };
    unseen.into_iter().filter(|id| may_be_missing(estimator, &asked, best, *id)).collect()
}

/// Whether the readings leave open that a conductor is there: the best explanation is fitted with it and without.
fn may_be_missing(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    best: &Explanation,
    id: ConductorId,
) -> bool {
    let gone = SuspectKind::Open(id);
    let Some(fault) = estimator.prior.fault(gone).cloned() else { return true };
    if best.faults.contains(&gone) {
        return true;
    }
    let (belief, odds) = (best.belief.clone(), best.odds);
    let faults = best.faults.clone();
    let there = estimator.explain(asked, belief.clone(), &best.unknowns, faults, odds);
    let mut start = best.unknowns.clone();
    start[fault.at] = fault.mean;
    let away = estimator.explain(
        asked,
        fault.belief(&belief),
        &start,
        fault.beside(&best.faults),
        odds + fault.log_odds,
    );
    let Some((there, away)) = there.zip(away) else { return true };
    let chance = 1.0 / (1.0 + (there.weight - away.weight).exp());
    chance >= judged::verdicts().unlikely_below.0
}
