//! What a person believes of a value before any reading.

/// A range in which nine of ten would lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Likely<Q> {
    /// One of twenty would be less; above zero, and below `high`.
    pub low: Q,
    /// One of twenty would be more.
    pub high: Q,
}
