//! Ranking by size, so that what is equal stays in the order in which it was written.

use std::cmp::Ordering;

/// Compares two values of one quantity, the larger before the smaller.
///
/// Values that differ only by what the arithmetic left are taken as equal (about seven figures), so that a
/// stable sort keeps them as they stood, on every machine.
///
/// ```
/// let mut losses = [0.1 + 0.2, 0.3, 0.5];
/// losses.sort_by(|a, b| units::larger_first(*a, *b));
/// assert_eq!(losses, [0.5, 0.1 + 0.2, 0.3]);
/// ```
#[must_use]
pub fn larger_first(a: f64, b: f64) -> Ordering {
    #[expect(clippy::cast_possible_truncation, reason = "fewer figures are what is wanted")]
    let rounded = |value: f64| value as f32;
    rounded(b).total_cmp(&rounded(a))
}
