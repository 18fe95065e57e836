//! The whole vehicle, or every fault at one point of it.

use model::{ConductorId, InlineId, Piece, PointId, StateId, Vehicle};
use protection::shorts::{DEAD, without_loads};
use protection::{
    AtPoint, Broken, Carried, Feed, Harm, Protection, Scope, Verdict, at_point, protect,
};
use units::Ohms;

use super::Asked;
use crate::Refusal;
use crate::arguments::Arguments;
use crate::refusal::{Refused, state};
use crate::room::Watch;
use crate::unsettled;

/// Vehicles with more conductors are looked at piece by piece.
const MOST_CONDUCTORS: usize = 2_000;

/// What was found.
#[derive(Debug)]
pub enum Found<'v> {
    /// What protection every conductor has.
    Whole(Whole<'v>),
    /// What flows at one point, and what opens.
    At(At<'v>),
}

/// What protection every conductor has.
#[derive(Debug)]
pub struct Whole<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) protection: Protection,
    /// States that have no operating point with all loads off, as shorts are looked at.
    pub(super) unsettled: Vec<StateId>,
}

/// Every fault at a point.
#[derive(Debug)]
pub struct At<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) point: PointId,
    /// The fault's own path; a dead short when left out.
    pub(super) through: Option<Ohms>,
    /// True when recalled curves stand in for missing ones.
    pub(super) recalled: bool,
    pub(super) faults: Vec<AtPoint>,
    /// How many have no solution and are left out.
    pub(super) unsolved: usize,
    /// States that have no operating point with all loads off, as shorts are looked at.
    pub(super) unsettled: Vec<StateId>,
}

impl<'v> Found<'v> {
    pub(super) fn of(vehicle: &'v Vehicle, asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let mut arguments = Arguments::default();
        let at_state = asked.state.as_deref().map(|name| state(vehicle, name));
        let states: Vec<StateId> =
            at_state.and_then(|state| arguments.keep(state)).into_iter().collect();
        let conductors = asked.conductor.iter();
        let conductors: Vec<ConductorId> =
            conductors.filter_map(|name| conductor(vehicle, name, &mut arguments)).collect();
        let at = asked.at.as_deref().and_then(|name| {
            let points = vehicle.points.iter().map(|point| point.id.as_str());
            arguments.named("at", name, "point", vehicle.point_named(name), points)
        });
        let through = arguments.perhaps::<Ohms>("through", &asked.through);
        together(vehicle, asked, &mut arguments);
        arguments.0.unless(Some(()))?;
        let mut unsettled = unsettled::states(&without_loads(vehicle));
        unsettled.retain(|own| states.is_empty() || states.contains(own));
        let scope = Scope { states, conductors, recalled: asked.recalled_curves };
        Ok(match at {
            Some(point) => {
                let (faults, unsolved) = at_point(vehicle, point, through.unwrap_or(DEAD), &scope);
                let recalled = scope.recalled;
                Self::At(At { vehicle, point, through, recalled, faults, unsolved, unsettled })
            }
            None => {
                let protection = protect(vehicle, &scope);
                Self::Whole(Whole { vehicle, protection, unsettled })
            }
        })
    }

    /// True when something wants attention that custom does not excuse.
    pub(super) fn wants_attention(&self) -> bool {
        let Whole { protection, unsettled, .. } = match self {
            Self::Whole(own) => own,
            Self::At(own) => return own.unsolved > 0 || !own.unsettled.is_empty(),
        };
        let bad = |feed: &Feed| match feed.verdict {
            Verdict::Ages(_) | Verdict::Burns(_) => true,
            Verdict::Nothing { .. } => feed.custom.is_none(),
            _ => false,
        };
        let harmed = |own: &Carried| own.fused.is_some_and(|worst| worst.harm != Harm::None);
        !unsettled.is_empty()
            || protection.unsolved > 0
            || protection.feeds.iter().any(bad)
            || protection.returns.iter().any(harmed)
            || protection.fuses.iter().any(overtaxed)
    }
}

/// Refuses what does not go together, each of it being readable by itself.
fn together(vehicle: &Vehicle, asked: &Asked, arguments: &mut Arguments) {
    match (&asked.at, &asked.through) {
        (Some(at), _) if !asked.conductor.is_empty() => arguments.refuse(Refusal::of(
            "at",
            at,
            "does not go with `conductor`",
            "a point, or conductors",
        )),
        (None, Some(through)) => arguments.refuse(Refusal::of(
            "through",
            through,
            "stands without `at`",
            "a point for it to lie at",
        )),
        _ => {}
    }
    if vehicle.conductors.len() > MOST_CONDUCTORS && asked.at.is_none() {
        arguments.refuse(Refusal::new(
            format!("{} conductors are too many for one answer", vehicle.conductors.len()),
            "one point of them, `--at POINT`",
        ));
    }
}

fn conductor(vehicle: &Vehicle, name: &str, arguments: &mut Arguments) -> Option<ConductorId> {
    let found = match vehicle.piece_named(name) {
        Some(Piece::Conductor(id)) => Some(id),
        _ => None,
    };
    let names = vehicle.conductors.iter().map(|own| own.id.as_str());
    arguments.named("conductor", name, "conductor", found, names)
}

/// True for a fuse that may have to break more than it can.
pub(super) fn overtaxed(fuse: &Broken) -> bool {
    fuse.capacity.is_some_and(|capacity| fuse.most > capacity)
}

/// Every fuse that guards a conductor, each once.
pub(super) fn guards(feed: &Feed) -> Vec<InlineId> {
    let mut all = Vec::new();
    for guard in feed.fed.supplies.iter().flat_map(|supply| &supply.guards) {
        if !all.contains(&guard.fuse) {
            all.push(guard.fuse);
        }
    }
    all
}
