//! What is believed of one vehicle before any reading: that it is sound, or which faults it may have.

use crate::fit::{Belief, Fit};
use crate::forward::Forward;
use crate::hypothesis::{Hypothesis, as_filed, single_faults, sound};
use crate::mixture::normal_below;
use crate::suspect::SuspectKind;

/// Spreads by which a sound piece may be worse than expected before it is asked whether it is sound.
const MOVED: f64 = 0.7;
/// Tails of bells are no knowledge: this much of a fit may always be sound.
const LEAST_SOUND: f64 = 1e-3;

/// What is believed of a vehicle before any reading.
#[derive(Debug, Clone)]
pub(crate) struct APriori {
    /// With nothing wrong.
    pub sound: Belief,
    /// Every single fault that is considered.
    pub faults: Vec<Hypothesis>,
    /// What is wrong with it by its own file.
    pub as_filed: Vec<SuspectKind>,
}

impl APriori {
    /// Those of a vehicle laid out.
    pub(crate) fn of(forward: &Forward<'_>) -> Self {
        let (sound, faults) = (sound(forward), single_faults(forward));
        Self { sound, faults, as_filed: as_filed(forward) }
    }

    /// The fault of a kind, if this vehicle can have it.
    pub(crate) fn fault(&self, kind: SuspectKind) -> Option<&Hypothesis> {
        self.faults.iter().find(|own| own.kind == kind)
    }

    /// Logarithm of the share of a fit in which what is called sound in it is no worse than sound,
    /// against the same share before any reading.
    ///
    /// A fit that explains a loss by a sound joint beyond what counts as bad is no explanation: the
    /// belief about a sound joint ends there, though its bell does not.
    pub(crate) fn still_sound(&self, fit: &Fit, belief: &Belief, faults: &[SuspectKind]) -> f64 {
        let mut log = 0.0;
        for fault in self.faults.iter().filter(|own| !faults.contains(&own.kind)) {
            let Some(end) = fault.bad_from else { continue };
            let (mean, spread) = (belief.mean[fault.at], belief.spread[fault.at]);
            let now = fit.unknowns[fault.at];
            // One that has not moved far is as sound as before.
            if now < mean + MOVED * spread || mean >= end {
                continue;
            }
            let left = fit.spread_of(fault.at, spread);
            let after = normal_below((end - now) / left).max(LEAST_SOUND);
            log += (after / normal_below((end - mean) / spread)).ln();
        }
        log
    }

    /// The middle of an unknown when the fault that is about it is put right.
    pub(crate) fn mended(&self, kind: SuspectKind, at: usize) -> f64 {
        let clean = self.faults.iter().find(|own| own.mends && own.kind == kind);
        clean.map_or(self.sound.mean[at], |own| own.mean)
    }

    /// Those of some faults that are none of the file's own.
    pub(crate) fn beyond_the_file(&self, faults: &[SuspectKind]) -> Vec<SuspectKind> {
        faults.iter().copied().filter(|kind| !self.as_filed.contains(kind)).collect()
    }
}
