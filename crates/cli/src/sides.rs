//! The five sides in words, shared by `diagnose` and `start`.

use diagnosis::{Side, Sides};
use units::{Ratio, print};

/// A probability that is never printed as certainty or as nothing at all.
pub(crate) fn chance(probability: Ratio) -> String {
    match probability.0 {
        p if p < 0.001 => "under 0.1 %".to_owned(),
        p if p > 0.995 => "over 99 %".to_owned(),
        _ => print::percent(probability),
    }
}

/// All sides in one sentence.
pub(crate) fn summary(sides: &Sides) -> String {
    let own: Vec<String> = sides
        .sides
        .iter()
        .map(|own| format!("{} {}", own.side.word(), chance(own.probability)))
        .collect();
    let elsewhere = if sides.elsewhere.0 >= 0.005 {
        format!("; outside this circuit {}", chance(sides.elsewhere))
    } else {
        String::new()
    };
    format!("By side: {}{elsewhere}; nothing wrong {}.", own.join(", "), chance(sides.nothing))
}

/// What a side is, in words that need no drawing.
pub(crate) fn meaning(side: Side) -> &'static str {
    match side {
        Side::Source => "battery, and what charges it",
        Side::Feed => "cables from the battery to the load",
        Side::Return => "the way home: earth cables, straps, metal",
        Side::Load => "the load itself",
        Side::Control => "what switches it on",
    }
}
