//! Whether a fuse opens before a conductor is damaged.
//!
//! A fuse's own curve counts where the file states one. Otherwise one cautious rule stands in: at twice
//! what it is marked with it has opened within ten minutes, and above that at the same I²t. Every kind of
//! vehicle fuse that we recall is quicker many times over, so what is promised here is not too much; the
//! catalogue's recalled tables are not used, because none has been compared with its standard.

use endurance::Endurance;
use model::{ConductorId, Inline, InlineId, InlineKind, Piece, StateId};
use network::{Convergence, time_current};
use physics::protection::{Opening, OpeningPoint, TimeCurrent};
use units::{Amperes, Ratio, Seconds};

use crate::analysis::Analysis;
use crate::fault::Fault;

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

/// Marked current of a fuse.
#[must_use]
pub fn rating(part: &Inline) -> Option<Amperes> {
    match part.kind {
        InlineKind::Fuse { rating, .. } => rating,
        InlineKind::Switch { .. } | InlineKind::Diode { .. } => None,
    }
}

/// The cautious rule: at so many times the marked current it has opened by then.
const CAUTIOUS: (f64, Seconds) = (2.0, Seconds(600.0));

/// The curve of a fuse: its own, or the cautious rule; nothing where it is not marked either.
#[must_use]
pub fn curve(part: &Inline) -> Option<TimeCurrent> {
    time_current(part).or_else(|| {
        let (times, by) = CAUTIOUS;
        let current = rating(part)? * times;
        let point = OpeningPoint { current, not_before: None, not_after: Some(by) };
        TimeCurrent::new(&[point]).ok()
    })
}

/// When a fuse opens at a current, if anything is known of it.
#[must_use]
pub fn opening(part: &Inline, amps: Amperes) -> Option<Opening> {
    curve(part).map(|curve| curve.opening(amps))
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
