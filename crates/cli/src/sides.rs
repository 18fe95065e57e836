//! The five sides as text.

use answers::told::sides;
use units::Ratio;

use crate::names::written;

/// A probability that is never printed as certainty or as nothing at all.
pub(crate) fn chance(probability: Ratio) -> String {
    written(&sides::chance(probability).into())
}
