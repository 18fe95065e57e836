//! When the fuses and breakers of a vehicle open.

use model::{Curve, CurvePoint, Inline, InlineKind};
use physics::protection::{OpeningPoint, TimeCurrent};

/// The time–current curve of a fuse or breaker, where somebody has stated one.
#[must_use]
pub fn time_current(part: &Inline) -> Option<TimeCurrent> {
    match &part.kind {
        InlineKind::Fuse { curve: Some(curve), .. } => time_current_of(curve),
        _ => None,
    }
}

/// A stated curve as the law has it; nothing when its points make none, which no vehicle of a file has.
#[must_use]
pub fn time_current_of(curve: &Curve) -> Option<TimeCurrent> {
    let points: Vec<OpeningPoint> = curve
        .points
        .iter()
        .map(|&CurvePoint { current, not_before, not_after }| OpeningPoint {
            current,
            not_before,
            not_after,
        })
        .collect();
    TimeCurrent::new(&points).ok()
}
