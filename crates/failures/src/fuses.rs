//! When a fuse opens.
//!
//! A fuse's own curve counts where the file states one. Otherwise one cautious rule stands in: at twice
//! what it is marked with it has opened within ten minutes, and above that at the same I²t. Every kind of
//! vehicle fuse that we recall is quicker many times over, so what is promised here is not too much; the
//! catalogue's recalled tables are not used, because none has been compared with its standard.

use catalogue::Judgements;
use model::{Inline, InlineKind};
use network::time_current;
use physics::protection::{Opening, OpeningPoint, TimeCurrent};
use units::{Amperes, Ratio, Seconds};

/// Marked current of a fuse.
#[must_use]
pub fn rating(part: &Inline) -> Option<Amperes> {
    match part.kind {
        InlineKind::Fuse { rating, .. } => rating,
        InlineKind::Switch { .. } | InlineKind::Shunt | InlineKind::Diode { .. } => None,
    }
}

/// Share of its marked current that a fuse is to carry for hours.
#[must_use]
pub fn held_share() -> Ratio {
    Judgements::standard().fuse_held_share
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
