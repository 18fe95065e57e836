//! The JSON of protection.

mod at;
mod of_vehicle;

pub use at::{FaultAt, FaultFuse, ProtectAt};
pub use of_vehicle::{
    CurveOrigin, FedConductor, FeedGap, FeedGuard, FeedSupply, FuseUnderShort, ProtectVehicle,
    ReturnUnderShorts, WorstShort,
};

use protection::{Clearing, Harm, Rule, Verdict};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;

/// The answer of `protect`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum Protect {
    /// Of the vehicle, when no point is asked for.
    Vehicle(ProtectVehicle),
    /// Of a point.
    At(ProtectAt),
}

/// What a fault does to a conductor.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FaultHarm {
    /// `ages` or `burns`.
    pub kind: &'static str,
    /// Where it settles; for `burns` the temperature at which its insulation is lost.
    pub kelvin: f64,
    /// How long after the fault began that is; null for `ages`.
    pub after_seconds: Option<f64>,
    /// The rule by which it is judged.
    pub rule: Option<&'static str>,
}

/// When a fault is cleared.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct FaultCleared {
    /// False when nobody has stated when the fuse opens.
    pub known: bool,
    /// By then at the latest; null where that is not known, or where nothing has to open.
    pub seconds: Option<f64>,
}

impl Protect {
    pub(super) fn of(found: &Found<'_>) -> Self {
        match found {
            Found::Whole(own) => Protect::Vehicle(ProtectVehicle::of(own)),
            Found::At(own) => Protect::At(ProtectAt::of(own)),
        }
    }
}

/// What protection a conductor has, in a word.
#[must_use]
pub fn verdict_word(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Protected => "protected",
        Verdict::Harmless => "harmless",
        Verdict::Ages(_) => "ages",
        Verdict::Burns(_) => "burns",
        Verdict::Nothing { .. } => "nothing opens",
        Verdict::CurveMissing => "curve missing",
        Verdict::Unjudged => "not judged",
    }
}

fn harm(harm: Harm) -> Option<FaultHarm> {
    let rule = harm.rule().map(Rule::word);
    match harm {
        Harm::None => None,
        Harm::Ages { hottest } => {
            Some(FaultHarm { kind: "ages", kelvin: hottest.0, after_seconds: None, rule })
        }
        Harm::Burns { limit, after, .. } => {
            let after_seconds = Some(after.0);
            Some(FaultHarm { kind: "burns", kelvin: limit.0, after_seconds, rule })
        }
    }
}

fn cleared(clearing: Clearing) -> FaultCleared {
    match clearing {
        Clearing::By(time) => FaultCleared { known: true, seconds: Some(time.0) },
        Clearing::Never => FaultCleared { known: true, seconds: None },
        Clearing::Unknown => FaultCleared { known: false, seconds: None },
    }
}
