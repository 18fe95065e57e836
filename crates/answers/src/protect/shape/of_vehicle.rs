//! The JSON of a whole vehicle's protection.

use model::Vehicle;
use protection::{
    Broken, Carried, Custom, Feed, Gap, Harm, Origin, Protection, Source, Supply, Verdict, Worst,
};
use serde::Serialize;
use units::Amperes;
use utoipa::ToSchema;

use super::super::NOTES;
use super::super::found::Whole;
use super::{FaultCleared, FaultHarm, cleared, harm, verdict_word};
use crate::cautions::{CautionTold, Cautions, told};

/// What protection every conductor has.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ProtectVehicle {
    /// The number of the contract.
    pub format: u32,
    /// Conductors that feed, in the order of the file.
    pub feeds: Vec<FedConductor>,
    /// Conductors of the return under the shorts of others, in the order of the file.
    pub returns: Vec<ReturnUnderShorts>,
    /// Fuses, in the order of the file.
    pub fuses: Vec<FuseUnderShort>,
    /// Conductors that are live in no state looked at.
    pub dead: Vec<String>,
    /// How many shorts have no solution and are left out.
    pub unsolved: usize,
    /// What to know about it all.
    pub notes: Vec<&'static str>,
    /// Cautions that concern work on fuses.
    pub cautions: Vec<CautionTold>,
}

/// The worst that was found of a conductor that feeds.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FedConductor {
    /// The conductor.
    pub conductor: String,
    /// `protected`, `harmless`, `ages`, `burns`, `nothing opens`, `curve missing` or `not judged`.
    pub verdict: &'static str,
    /// Why it has no fuse, where that is usual: `starter cable`, `charging cable`, `battery link` or `up to the
    /// first fuses`.
    pub custom: Option<&'static str>,
    /// The state in which that is.
    pub state: String,
    /// The end at which current comes in.
    pub near: String,
    /// The other end.
    pub far: String,
    /// The current that it bears for ever.
    pub bears_amps: Option<f64>,
    /// What a short at the near end sends.
    pub near_short_amps: f64,
    /// What a short at the far end sends through it.
    pub far_short_amps: f64,
    /// The most at its beginning, over all states.
    pub most_short_amps: f64,
    /// The least of a short at its far end, over all states.
    pub least_short_amps: f64,
    /// Where the current comes from, and what stands between.
    pub supplies: Vec<FeedSupply>,
    /// Currents for which protection is lacking.
    pub gap: Option<FeedGap>,
    /// What they do to it.
    pub harm: Option<FaultHarm>,
}

/// A source and what stands between it and a conductor.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FeedSupply {
    /// The source.
    pub source: String,
    /// The most that it delivers by itself; null for a battery.
    pub limit_amps: Option<f64>,
    /// Fuses any one of which cuts it off.
    pub fuses: Vec<FeedGuard>,
}

/// A fuse between a source and a conductor.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FeedGuard {
    /// The fuse.
    pub fuse: String,
    /// Its share of the conductor's current: above one where it feeds others too, below one where other sources do.
    pub share: f64,
}

/// Currents for which protection is lacking.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FeedGap {
    /// The least of them.
    pub from_amps: f64,
    /// The most of them.
    pub to_amps: f64,
    /// Where a second gap begins, above the first.
    pub again_from_amps: Option<f64>,
    /// Resistance of the fault's path with which the most flows.
    pub least_path_ohms: Option<f64>,
    /// Resistance of the fault's path with which the least flows.
    pub most_path_ohms: Option<f64>,
}

/// A conductor of the return under the shorts of others.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ReturnUnderShorts {
    /// The conductor.
    pub conductor: String,
    /// The current that it bears for ever.
    pub bears_amps: Option<f64>,
    /// The most that any short sends through it.
    pub most_short_amps: f64,
    /// The worst among shorts that are cleared.
    pub fused: Option<WorstShort>,
    /// The worst among shorts that nothing clears.
    pub unfused: Option<WorstShort>,
    /// From how many points it suffers of those.
    pub unfused_points: usize,
    /// The most current among shorts whose fuse has no stated curve and that would harm it in the end.
    pub curve_missing: Option<WorstShort>,
}

/// The worst short for a conductor of the return.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct WorstShort {
    /// The live point.
    pub at: String,
    /// What it touches.
    pub home: String,
    /// The state.
    pub state: String,
    /// Current through the conductor.
    pub amps: f64,
    /// When the short is cleared.
    pub cleared: FaultCleared,
    /// What that does to the conductor.
    pub harm: Option<FaultHarm>,
}

/// A fuse under the largest short that it may have to break.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FuseUnderShort {
    /// The fuse.
    pub fuse: String,
    /// Its rating.
    pub rating_amps: Option<f64>,
    /// The largest current through it.
    pub most_short_amps: f64,
    /// The most that it can break, if anybody has said.
    pub breaking_capacity_amps: Option<f64>,
    /// Where its opening times come from; null where there are none.
    pub curve: Option<CurveOrigin>,
}

/// Where a fuse's opening times come from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct CurveOrigin {
    /// `file` or `recalled`.
    pub from: &'static str,
    /// The source that the file names, or the kind of fuse in the catalogue.
    pub source: String,
}

pub(super) fn of(own: &Whole<'_>) -> ProtectVehicle {
    let Whole { vehicle, protection } = own;
    let dead = protection.dead.iter().map(|id| vehicle.conductor(*id).id.clone());
    ProtectVehicle {
        format: crate::FORMAT,
        feeds: protection.feeds.iter().map(|feed| fed(vehicle, feed)).collect(),
        returns: protection.returns.iter().map(|own| carried(vehicle, own)).collect(),
        fuses: protection.fuses.iter().map(|own| broken(vehicle, protection, own)).collect(),
        dead: dead.collect(),
        unsolved: protection.unsolved,
        notes: NOTES.to_vec(),
        cautions: told(&Cautions::of(vehicle).of_fuses()),
    }
}

fn amps(own: Amperes) -> f64 {
    own.0
}

fn fed(vehicle: &Vehicle, feed: &Feed) -> FedConductor {
    let fed = &feed.fed;
    let (lacking, suffers) = match feed.verdict {
        Verdict::Ages(gap) | Verdict::Burns(gap) => (Some(gap), gap.harm),
        Verdict::Nothing { burns } => (None, burns),
        _ => (None, Harm::None),
    };
    FedConductor {
        conductor: vehicle.conductor(fed.conductor).id.clone(),
        verdict: verdict_word(&feed.verdict),
        custom: feed.custom.map(custom_word),
        state: vehicle.state(fed.state).id.clone(),
        near: vehicle.point(fed.near).id.clone(),
        far: vehicle.point(fed.far).id.clone(),
        bears_amps: feed.lasting.map(amps),
        near_short_amps: amps(fed.near_short),
        far_short_amps: amps(fed.far_short),
        most_short_amps: amps(feed.most),
        least_short_amps: amps(feed.least),
        supplies: fed.supplies.iter().map(|own| supply(vehicle, own)).collect(),
        gap: lacking.map(gap),
        harm: harm(suffers),
    }
}

fn custom_word(custom: Custom) -> &'static str {
    match custom {
        Custom::Starter => "starter cable",
        Custom::Charging => "charging cable",
        Custom::BatteryLink => "battery link",
        Custom::UpToFuses => "up to the first fuses",
    }
}

fn supply(vehicle: &Vehicle, own: &Supply) -> FeedSupply {
    let source = match own.source {
        Source::Battery(id) => &vehicle.battery(id).id,
        Source::Regulated(id) => &vehicle.regulated_source(id).id,
    };
    let fuses = own.guards.iter().map(|guard| FeedGuard {
        fuse: vehicle.inline(guard.fuse).id.clone(),
        share: guard.share.0,
    });
    FeedSupply { source: source.clone(), limit_amps: own.limit.map(amps), fuses: fuses.collect() }
}

fn gap(own: Gap) -> FeedGap {
    FeedGap {
        from_amps: amps(own.from),
        to_amps: amps(own.to),
        again_from_amps: own.again.map(amps),
        least_path_ohms: own.path.map(|path| path.0.0),
        most_path_ohms: own.path.map(|path| path.1.0),
    }
}

fn carried(vehicle: &Vehicle, own: &Carried) -> ReturnUnderShorts {
    ReturnUnderShorts {
        conductor: vehicle.conductor(own.conductor).id.clone(),
        bears_amps: own.lasting.map(amps),
        most_short_amps: amps(own.most),
        fused: own.fused.as_ref().map(|own| worst(vehicle, own)),
        unfused: own.unfused.as_ref().map(|(own, _)| worst(vehicle, own)),
        unfused_points: own.unfused.as_ref().map_or(0, |(_, points)| points.len()),
        curve_missing: own.unknown.as_ref().map(|own| worst(vehicle, own)),
    }
}

fn worst(vehicle: &Vehicle, own: &Worst) -> WorstShort {
    WorstShort {
        at: vehicle.point(own.fault.at).id.clone(),
        home: vehicle.point(own.fault.home).id.clone(),
        state: vehicle.state(own.state).id.clone(),
        amps: amps(own.amps),
        cleared: cleared(own.clearing),
        harm: harm(own.harm),
    }
}

fn broken(vehicle: &Vehicle, protection: &Protection, own: &Broken) -> FuseUnderShort {
    let curve = match protection.curves.origin(own.fuse) {
        Origin::File(source) => Some(CurveOrigin { from: "file", source: source.clone() }),
        Origin::Recalled(kind) => Some(CurveOrigin { from: "recalled", source: kind.clone() }),
        Origin::Missing => None,
    };
    FuseUnderShort {
        fuse: vehicle.inline(own.fuse).id.clone(),
        rating_amps: protection::feeds::rating(vehicle, own.fuse).map(amps),
        most_short_amps: amps(own.most),
        breaking_capacity_amps: own.capacity.map(amps),
        curve,
    }
}
