//! Whether a fuse opens before a conductor is damaged.

use endurance::Endurance;
use model::{ConductorId, InlineId, InlineKind, Piece, StateId};
use network::{Convergence, OperatingPoint};
use units::{Ratio, Seconds};

use crate::analysis::Analysis;
use crate::fault::Fault;
use crate::fuses::opening;

/// A fuse that carries less than this part of a conductor's current cannot save it.
const GOOD_PART: f64 = 0.2;

/// What stands between a current and the damage it would do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Protection {
    /// A fuse opens first, at the latest after this time, and the conductor is saved.
    OpensFirst {
        /// The fuse.
        fuse: InlineId,
        /// It has opened by then.
        latest: Seconds,
    },
    /// A fuse would save the conductor, but may open too late.
    TooLate {
        /// The fuse.
        fuse: InlineId,
        /// It has opened by then; nothing when it need not open at this current.
        latest: Option<Seconds>,
    },
    /// No fuse lies in the way of the current.
    None,
}

impl Protection {
    /// This or another fuse that has opened by `latest`, whichever saves the conductor sooner.
    fn or(self, fuse: InlineId, latest: Option<Seconds>, endurance: &Endurance) -> Self {
        let in_time = |latest: Seconds| endurance.limit_after.is_none_or(|limit| latest <= limit);
        match (latest, self) {
            (Some(latest), Self::OpensFirst { latest: known, .. }) if known <= latest => self,
            (Some(latest), _) if in_time(latest) => Self::OpensFirst { fuse, latest },
            (_, Self::OpensFirst { .. }) => self,
            (latest, _) => Self::TooLate { fuse, latest },
        }
    }
}

impl Analysis<'_> {
    /// What would save a conductor that a failure overloads: each fuse that carries a good part of
    /// its current is taken out, and the state solved again, to see whether that relieves it.
    #[must_use]
    pub fn protection(
        &mut self,
        fault: Fault,
        state: StateId,
        conductor: ConductorId,
        endurance: &Endurance,
    ) -> Protection {
        let vehicle = self.vehicle;
        let Some(after) = self.settled(state, &[fault]) else { return Protection::None };
        let Some(bearing) = self.judge(state).and_then(|judge| judge.bearings[conductor.index()])
        else {
            return Protection::None;
        };
        let mut best = Protection::None;
        for (at, part) in vehicle.inlines.iter().enumerate() {
            let fuse = InlineId::at(at);
            let amps = after.piece(vehicle, Piece::Inline(fuse)).amps.abs();
            let is_fuse = matches!(part.kind, InlineKind::Fuse { .. });
            if !is_fuse || amps < endurance.amps * GOOD_PART {
                continue;
            }
            let Some(without) = self.settled(state, &[fault, Fault::Blown(fuse)]) else { continue };
            let left = without.piece(vehicle, Piece::Conductor(conductor)).amps;
            if bearing.may_pass(left, Ratio(1.0)) {
                continue;
            }
            let latest = opening(part, amps).and_then(|opening| opening.latest);
            best = best.or(fuse, latest, endurance);
        }
        best
    }

    /// The state solved again after faults; nothing where it does not settle.
    pub(crate) fn settled(&mut self, state: StateId, faults: &[Fault]) -> Option<OperatingPoint> {
        let (point, _) = self.solved(state, faults)?;
        (point.convergence == Convergence::Reached).then_some(point)
    }
}
