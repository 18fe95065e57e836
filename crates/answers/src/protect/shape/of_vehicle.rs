//! The JSON of a whole vehicle's protection.

use model::Vehicle;
use protection::{
    Broken, Carried, Custom, Feed, Gap, Guard, Harm, Origin, Protection, Source, Supply, Verdict,
    Worst,
};
use serde::Serialize;
use units::Amperes;
use utoipa::ToSchema;

use super::super::NOTES;
use super::super::found::Whole;
use super::{FaultCleared, FaultHarm, cleared, harm, verdict_word};
use crate::cautions::{CautionTold, Cautions, told};
use crate::shape::each;
use crate::unsettled;

shape! {
    /// What protection every conductor has.
    pub struct ProtectVehicle from pub(super) (own: &Whole<'_>) {
        let Whole { vehicle, protection, unsettled } = own;
        let dead = protection.dead.iter().map(|id| vehicle.conductor(*id).id.clone());
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// Conductors that feed, in the order of the file.
        pub feeds: Vec<FedConductor> =
            protection.feeds.iter().map(|feed| FedConductor::of(vehicle, feed)).collect(),
        /// Conductors of the return under the shorts of others, in the order of the file.
        pub returns: Vec<ReturnUnderShorts> =
            each(own.vehicle, &protection.returns, ReturnUnderShorts::of),
        /// Fuses, in the order of the file.
        pub fuses: Vec<FuseUnderShort> =
            protection.fuses.iter().map(|own| FuseUnderShort::of(vehicle, protection, own)).collect(),
        /// Conductors that are live in no state looked at.
        pub dead: Vec<String> = dead.collect(),
        /// How many shorts have no solution and are left out.
        pub unsolved: usize = protection.unsolved,
        /// States that have no operating point with all loads off; what is said of them rests on the last attempt.
        pub unsettled: Vec<String> = unsettled::ids(vehicle, unsettled),
        /// What to know about it all.
        pub notes: Vec<&'static str> = NOTES.to_vec(),
        /// Cautions that concern work on fuses.
        pub cautions: Vec<CautionTold> = told(&Cautions::of(vehicle).of_fuses()),
    }

    /// The worst that was found of a conductor that feeds.
    pub struct FedConductor from (vehicle: &Vehicle, feed: &Feed) {
        let fed = &feed.fed;
        let (lacking, suffers) = match feed.verdict {
            Verdict::Ages(gap) | Verdict::Burns(gap) => (Some(gap), gap.harm),
            Verdict::Nothing { burns } => (None, burns),
            _ => (None, Harm::None),
        };
        /// The conductor.
        pub conductor: String = vehicle.conductor(fed.conductor).id.clone(),
        /// `protected`, `harmless`, `ages`, `burns`, `nothing opens`, `curve missing` or `not judged`.
        pub verdict: &'static str = verdict_word(&feed.verdict),
        /// Why it has no fuse, where that is usual: `starter cable`, `charging cable`, `battery link` or `up to the
        /// first fuses`.
        pub custom: Option<&'static str> = feed.custom.map(custom_word),
        /// The state in which that is.
        pub state: String = vehicle.state(fed.state).id.clone(),
        /// The end at which current comes in.
        pub near: String = vehicle.point(fed.near).id.clone(),
        /// The other end.
        pub far: String = vehicle.point(fed.far).id.clone(),
        /// The current that it bears for ever.
        pub bears_amps: Option<f64> = feed.lasting.map(amps),
        /// What a short at the near end sends.
        pub near_short_amps: f64 = amps(fed.near_short),
        /// What a short at the far end sends through it.
        pub far_short_amps: f64 = amps(fed.far_short),
        /// The most at its beginning, over all states.
        pub most_short_amps: f64 = amps(feed.most),
        /// The least of a short at its far end, over all states.
        pub least_short_amps: f64 = amps(feed.least),
        /// Where the current comes from, and what stands between.
        pub supplies: Vec<FeedSupply> = each(vehicle, &fed.supplies, FeedSupply::of),
        /// Currents for which protection is lacking.
        pub gap: Option<FeedGap> = lacking.map(FeedGap::of),
        /// What they do to it.
        pub harm: Option<FaultHarm> = harm(suffers),
    }

    /// A source and what stands between it and a conductor.
    pub struct FeedSupply from (vehicle: &Vehicle, own: &Supply) {
        let source = match own.source {
            Source::Battery(id) => &vehicle.battery(id).id,
            Source::Regulated(id) => &vehicle.regulated_source(id).id,
        };
        let fuses = own.guards.iter().map(|guard| FeedGuard::of(vehicle, guard));
        /// The source.
        pub source: String = source.clone(),
        /// The most that it delivers by itself; null for a battery.
        pub limit_amps: Option<f64> = own.limit.map(amps),
        /// Fuses any one of which cuts it off.
        pub fuses: Vec<FeedGuard> = fuses.collect(),
    }

    /// A fuse between a source and a conductor.
    pub struct FeedGuard from (vehicle: &Vehicle, guard: &Guard) {
        /// The fuse.
        pub fuse: String = vehicle.inline(guard.fuse).id.clone(),
        /// Its share of the conductor's current: above one where it feeds others too, below one where other sources do.
        pub share: f64 = guard.share.0,
    }

    /// Currents for which protection is lacking.
    pub struct FeedGap from (own: Gap) {
        /// The least of them.
        pub from_amps: f64 = amps(own.from),
        /// The most of them.
        pub to_amps: f64 = amps(own.to),
        /// Where a second gap begins, above the first.
        pub again_from_amps: Option<f64> = own.again.map(amps),
        /// Resistance of the fault's path with which the most flows.
        pub least_path_ohms: Option<f64> = own.path.map(|path| path.0.0),
        /// Resistance of the fault's path with which the least flows.
        pub most_path_ohms: Option<f64> = own.path.map(|path| path.1.0),
    }

    /// A conductor of the return under the shorts of others.
    pub struct ReturnUnderShorts from (vehicle: &Vehicle, own: &Carried) {
        /// The conductor.
        pub conductor: String = vehicle.conductor(own.conductor).id.clone(),
        /// The current that it bears for ever.
        pub bears_amps: Option<f64> = own.lasting.map(amps),
        /// The most that any short sends through it.
        pub most_short_amps: f64 = amps(own.most),
        /// The worst among shorts that are cleared.
        pub fused: Option<WorstShort> = own.fused.as_ref().map(|own| WorstShort::of(vehicle, own)),
        /// The worst among shorts that nothing clears.
        pub unfused: Option<WorstShort> =
            own.unfused.as_ref().map(|(own, _)| WorstShort::of(vehicle, own)),
        /// From how many points it suffers of those.
        pub unfused_points: usize = own.unfused.as_ref().map_or(0, |(_, points)| points.len()),
        /// The most current among shorts whose fuse has no stated curve and that would harm it in the end.
        pub curve_missing: Option<WorstShort> =
            own.unknown.as_ref().map(|own| WorstShort::of(vehicle, own)),
    }

    /// The worst short for a conductor of the return.
    pub struct WorstShort from (vehicle: &Vehicle, own: &Worst) {
        /// The live point.
        pub at: String = vehicle.point(own.fault.at).id.clone(),
        /// What it touches.
        pub home: String = vehicle.point(own.fault.home).id.clone(),
        /// The state.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// Current through the conductor.
        pub amps: f64 = amps(own.amps),
        /// When the short is cleared.
        pub cleared: FaultCleared = cleared(own.clearing),
        /// What that does to the conductor.
        pub harm: Option<FaultHarm> = harm(own.harm),
    }

    /// A fuse under the largest short that it may have to break.
    pub struct FuseUnderShort from (vehicle: &Vehicle, protection: &Protection, own: &Broken) {
        let curve = match protection.curves.origin(own.fuse) {
            Origin::File(source) => Some(CurveOrigin { from: "file", source: source.clone() }),
            Origin::Recalled(kind) => Some(CurveOrigin { from: "recalled", source: kind.clone() }),
            Origin::Missing => None,
        };
        /// The fuse.
        pub fuse: String = vehicle.inline(own.fuse).id.clone(),
        /// Its rating.
        pub rating_amps: Option<f64> = protection::feeds::rating(vehicle, own.fuse).map(amps),
        /// The largest current through it.
        pub most_short_amps: f64 = amps(own.most),
        /// The most that it can break, if anybody has said.
        pub breaking_capacity_amps: Option<f64> = own.capacity.map(amps),
        /// Where its opening times come from; null where there are none.
        pub curve: Option<CurveOrigin> = curve,
    }
}

/// Where a fuse's opening times come from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct CurveOrigin {
    /// `file` or `recalled`.
    pub from: &'static str,
    /// The source that the file names, or the kind of fuse in the catalogue.
    pub source: String,
}

fn amps(own: Amperes) -> f64 {
    own.0
}

fn custom_word(custom: Custom) -> &'static str {
    match custom {
        Custom::Starter => "starter cable",
        Custom::Charging => "charging cable",
        Custom::BatteryLink => "battery link",
        Custom::UpToFuses => "up to the first fuses",
    }
}
