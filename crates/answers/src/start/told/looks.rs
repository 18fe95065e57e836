//! Where to look first, when nothing but what was seen and tried is told.

use diagnosis::Side;

use super::sides::first_of;
use super::{Found, WORTH_TAKING};
use crate::start::story::Outcome;
use crate::told::{Line, Told};

/// A side that is less likely, or no likelier than before, is not worth a look before the next reading.
const WORTH_A_LOOK: f64 = 0.35;

/// What to look at before anything is measured.
pub(super) fn told(told: &mut Told, found: &Found) {
    let seen = found.told.iter().any(|own| matches!(own.outcome, Outcome::Seen(_)));
    let Some(first) = found.weighed.account.sides.sides.first() else { return };
    let looks = matches!(first.side, Side::Feed | Side::Return);
    let risen = first.probability.0 > found.weighed.first(first.side).0;
    if !seen || !risen || !found.weighed.seen.is_empty() || first.probability.0 < WORTH_A_LOOK {
        return;
    }
    let place = if looks { say!(": {}", first_of(found, first)) } else { Line::new() };
    // Below one half nothing stands out, and a look is only worth its minute.
    let (speaks, look) = if first.probability.0 < 0.5 {
        ("speaks most for", "a look there costs little")
    } else {
        ("points to", "look and feel there first")
    };
    let next = found.weighed.next.first().filter(|own| own.gain > WORTH_TAKING);
    let then = if next.is_some() { " The reading below settles more than a look." } else { "" };
    told.paragraph(say!(
        "Nothing was measured. What was seen {} the {} side{}; {}. It makes nothing certain.{}",
        speaks,
        first.side.word(),
        place,
        look,
        then
    ));
    told.gap();
}
