//! Which side of a load's circuit is at fault: source, feed, return, the load itself, its control.
//!
//! Suspects are single things; a person first wants to know where to look. Each explanation of the
//! readings puts its faults on sides, and a side is at fault with the weight of all explanations
//! that have a fault on it.

use model::{LoadId, Vehicle};
use units::Ratio;

use crate::acquittal::Hold;
use crate::diagnose::Diagnosis;
use crate::judged;
use crate::side::Map;
pub use crate::side::{Side, not_switched_on, side_of};
use crate::suspect::SuspectKind;

/// What the readings leave of the suspicion against a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// More likely at fault than not.
    Suspect,
    /// Neither cleared nor convicted.
    Open,
    /// The readings took the suspicion away.
    Cleared,
    /// They took it away, or it was never there, but something keeps the side from being called cleared.
    UnlikelySoFar,
    /// It was never likely, and still is not.
    Unlikely,
}

/// What is believed of one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideBelief {
    /// The side.
    pub side: Side,
    /// Probability that something on it is at fault.
    pub probability: Ratio,
    /// Its likeliest suspect, if it has any.
    pub first: Option<SuspectKind>,
}

impl SideBelief {
    /// How it stands, given what was believed before the readings and what keeps it from being called
    /// cleared.
    #[must_use]
    pub fn standing(&self, before: Ratio, holds: &[Hold]) -> Standing {
        let held = |hold: &Hold| hold.keeps(self.side);
        let above = |hold: &Hold| held(hold) && matches!(hold, Hold::AboveTaught { .. });
        let judged = judged::verdicts();
        if self.probability >= judged.suspect_from {
            Standing::Suspect
        } else if self.probability >= judged.unlikely_below {
            Standing::Open
        } else if holds.iter().any(above) {
            Standing::UnlikelySoFar
        } else if before >= judged.unlikely_below
            && self.probability.0 < judged.cleared_share.0 * before.0
        {
            let clear = self.probability < judged.cleared_below && !holds.iter().any(held);
            if clear { Standing::Cleared } else { Standing::UnlikelySoFar }
        } else {
            Standing::Unlikely
        }
    }
}

/// All five sides, the likeliest first. They may add up to more than one: two things may be at fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Sides {
    /// Each side once.
    pub sides: Vec<SideBelief>,
    /// Probability of a fault that lies in no side of this load's circuit.
    pub elsewhere: Ratio,
    /// Probability that nothing is at fault.
    pub nothing: Ratio,
}

impl Sides {
    /// Groups what is suspected by the sides of a load's circuit; without a load, by the sides of
    /// the whole vehicle.
    ///
    /// `control` is the share of a dead load that is one not switched on; see
    /// [`not_switched_on`] and [`Session::hear`](crate::Session::hear). It counts only for loads
    /// whose file names what switches them on.
    #[must_use]
    pub fn of(
        vehicle: &Vehicle,
        diagnosis: &Diagnosis,
        load: Option<LoadId>,
        control: Ratio,
    ) -> Self {
        let map = Map::new(vehicle, load);
        let mut weights = [0.0; 5];
        let (mut elsewhere, mut nothing) = (0.0, diagnosis.nothing_bad);
        for explanation in &diagnosis.explanations {
            if explanation.idle {
                nothing += explanation.weight;
                continue;
            }
            let (touched, outside) = map.touched_by(explanation, control);
            for (weight, share) in weights.iter_mut().zip(touched) {
                *weight += explanation.weight * share;
            }
            elsewhere += if outside { explanation.weight } else { 0.0 };
        }
        let mut sides: Vec<SideBelief> =
            Side::ALL
                .into_iter()
                .map(|side| SideBelief {
                    side,
                    probability: Ratio(weights[side as usize].clamp(0.0, 1.0)),
                    first: diagnosis.suspects.iter().map(|own| own.kind).find(|kind| {
                        map.places(*kind, control).iter().any(|(own, _)| *own == side)
                    }),
                })
                .collect();
        sides.sort_by(|a, b| units::larger_first(a.probability.0, b.probability.0));
        Self { sides, elsewhere: Ratio(elsewhere), nothing: Ratio(nothing) }
    }

    /// What is believed of one side.
    #[must_use]
    pub fn probability(&self, side: Side) -> Ratio {
        self.sides.iter().find(|own| own.side == side).map_or(Ratio(0.0), |own| own.probability)
    }
}
