//! Whether a fuse opens before a conductor is damaged.

use endurance::Endurance;
use model::{ConductorId, InlineId, InlineKind, Piece, StateId};
use network::Convergence;
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
        let Some((after, _)) = self.solved(state, &[fault]) else { return Protection::None };
        if after.convergence != Convergence::Reached {
            return Protection::None;
        }
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
            let Some((without, _)) = self.solved(state, &[fault, Fault::Blown(fuse)]) else {
                continue;
            };
            if without.convergence != Convergence::Reached {
                continue;
            }
            let left = without.piece(vehicle, Piece::Conductor(conductor)).amps;
            if bearing.may_pass(left, Ratio(1.0)) {
                continue;
            }
            let latest = opening(part, amps).and_then(|opening| opening.latest);
            let in_time =
                |latest: Seconds| endurance.limit_after.is_none_or(|limit| latest <= limit);
            best = match (latest, best) {
                (Some(latest), Protection::OpensFirst { latest: known, .. }) if known <= latest => {
                    best
                }
                (Some(latest), _) if in_time(latest) => Protection::OpensFirst { fuse, latest },
                (_, Protection::OpensFirst { .. }) => best,
                (latest, _) => Protection::TooLate { fuse, latest },
            };
        }
        best
    }
}
