//! Did it work: the same readings before the work and after it.

use crate::diagnose::Found;
use crate::proof;
use crate::told::{Told, strong};

/// What was read before the work and again after it; nothing when nothing was.
pub(super) fn told(told: &mut Told, found: &Found<'_>) {
    if found.proof.is_empty() {
        return;
    }
    told.line(strong("The same readings before the work and after it"));
    proof::rows(told, &found.proof);
    told.gap();
}
