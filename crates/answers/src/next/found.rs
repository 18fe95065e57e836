//! Readings worth taking.

use std::borrow::Cow;

use diagnosis::{Practice, Proposal, Question, Session};
use model::{StateId, Vehicle};

use super::Asked;
use crate::refusal::{Refused, access_group, state};
use crate::room::{Measured, Watch};
use crate::taken::Taken;
use crate::unsettled;
use crate::weighed::{Weighed, weigh};

/// Readings worth taking, or a first plan of them.
#[derive(Debug)]
pub struct Found<'v> {
    /// That of the file, or with the crimps of a suspected cable as pieces of their own.
    pub(super) vehicle: Cow<'v, Vehicle>,
    pub(super) taken: &'v Taken,
    /// The best first; of a plan, in its order.
    pub(super) proposals: Vec<Proposal>,
    /// What the readings at hand say; nothing for a plan, which asks none.
    pub(super) weighed: Option<AtHand>,
    /// States that have no operating point.
    pub(super) unsettled: Vec<StateId>,
}

/// What the readings at hand say.
#[derive(Debug)]
pub(super) struct AtHand {
    /// What has to be asked about them.
    pub questions: Vec<Question>,
    /// They say enough: further ones would only confirm it.
    pub enough: bool,
}

impl<'v> Found<'v> {
    /// Nothing when stopped.
    pub(super) fn of(
        about: Measured<'v>,
        asked: &Asked,
        watch: Watch<'_>,
    ) -> Result<Option<Self>, Refused> {
        let Measured { vehicle, taken } = about;
        let practice = practice(vehicle, asked)?;
        let Some(readings) = asked.plan.readings(asked.most) else {
            return Ok(Self::weighed(Cow::Borrowed(vehicle), taken, practice, asked.most, watch));
        };
        let mut session = Session::new(vehicle);
        session.practise(practice);
        let proposals = session.survey(readings);
        let unsettled = unsettled::states(vehicle);
        let vehicle = Cow::Borrowed(vehicle);
        Ok(Some(Self { vehicle, taken, proposals, weighed: None, unsettled }))
    }

    /// Where a cable is suspected, its crimps are weighed as pieces of their own, so that the readings over
    /// them are among those proposed.
    fn weighed(
        vehicle: Cow<'v, Vehicle>,
        taken: &'v Taken,
        practice: Practice,
        most: usize,
        watch: Watch<'_>,
    ) -> Option<Self> {
        let (complaint, told) = (taken.complaint, &taken.readings);
        let Weighed { seen, questions, mut session, diagnosis } =
            weigh(&vehicle, (&told.readings, &told.seen), complaint, &mut *watch);
        if session.stopped() {
            return None;
        }
        if let Some(apart) = vehicle.told_apart(diagnosis.suspected_inside(&vehicle)) {
            drop(session);
            return Self::weighed(Cow::Owned(apart), taken, practice, most, watch);
        }
        session.practise(practice);
        let mut proposals = session.next(&diagnosis, &seen, complaint);
        proposals.truncate(most);
        let holds = session.holds(&diagnosis, &seen, complaint.map(|own| own.load));
        if session.stopped() {
            return None;
        }
        drop(session);
        // That nothing is wrong is not said where something keeps the vehicle from being called cleared.
        let enough =
            diagnosis.surer_than(0.95) && (holds.is_empty() || diagnosis.nothing_bad < 0.5);
        let weighed = Some(AtHand { questions, enough });
        let unsettled = unsettled::states(&vehicle);
        Some(Self { vehicle, taken, proposals, weighed, unsettled })
    }

    /// True when a reading that was weighed could not be used, or a state has no operating point.
    pub(super) fn wants_attention(&self) -> bool {
        (self.weighed.is_some() && self.taken.has_errors()) || !self.unsettled.is_empty()
    }
}

/// What can be had, with every name that the vehicle lacks told at once.
fn practice(vehicle: &Vehicle, asked: &Asked) -> Result<Practice, Refused> {
    let mut refused = Refused::default();
    let without = asked.without.iter().filter_map(|name| refused.keep(state(vehicle, name)));
    let without = without.collect();
    let open = asked.open.iter().filter_map(|name| refused.keep(access_group(vehicle, name)));
    let open = open.collect();
    refused.unless(Some(Practice { alone: asked.alone, without, open }))
}
