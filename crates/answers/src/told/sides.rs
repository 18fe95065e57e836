//! The five sides in words, shared by all that tell where a fault lies.

use diagnosis::{Side, Sides};
use units::Ratio;

use super::quantity::percent;
use super::{Line, Span, joined};

/// A probability that is never told as certainty or as nothing at all.
#[must_use]
pub fn chance(probability: Ratio) -> Span {
    match probability.0 {
        p if p < 0.001 => "under 0.1 %".into(),
        p if p > 0.995 => "over 99 %".into(),
        _ => percent(probability).into(),
    }
}

/// All sides in one sentence.
#[must_use]
pub fn summary(sides: &Sides) -> Line {
    let each =
        sides.sides.iter().map(|own| say!("{} {}", own.side.word(), chance(own.probability)));
    let elsewhere = if sides.elsewhere.0 >= 0.005 {
        say!("; outside this circuit {}", chance(sides.elsewhere))
    } else {
        Line::new()
    };
    let all = joined(each, ", ");
    say!("By side: {}{}; nothing wrong {}.", all, elsewhere, chance(sides.nothing))
}

/// What a side is, in words that need no drawing.
#[must_use]
pub fn meaning(side: Side) -> &'static str {
    match side {
        Side::Source => "battery, and what charges it",
        Side::Feed => "cables from the battery to the load",
        Side::Return => "the way home: earth cables, straps, metal",
        Side::Load => "the load itself",
        Side::Control => "what switches it on",
    }
}
