//! The whole vehicle: every feed conductor in every state, every return under every short.

use std::collections::BTreeMap;

use endurance::Thermal;
use model::Vehicle;
use model::{BatteryId, ConductorId, InlineId, InlineKind, Piece, PointId, StateId};
use units::Amperes;

use crate::curves::Curves;
use crate::customs::{Custom, between_posts, customs, up_to_fuses};
use crate::feeds::{Fed, Verdict, rating};
use crate::returns::{Carried, Returns};
use crate::shorts::{Shorts, without_loads};
use crate::state_view::{Seen, Solved, fuses, is_return, live_points, see, solve};
use crate::supplied::{fed, return_leads};

/// What is looked at.
#[derive(Debug, Clone, Default)]
pub struct Scope {
    /// Operating states; all when empty.
    pub states: Vec<StateId>,
    /// Conductors; all when empty.
    pub conductors: Vec<ConductorId>,
    /// Whether the catalogue's recalled curves may stand in for missing ones.
    pub recalled: bool,
}

impl Scope {
    /// The states to look at, of a vehicle.
    pub(crate) fn states(&self, vehicle: &Vehicle) -> Vec<StateId> {
        if self.states.is_empty() {
            (0..vehicle.states.len()).map(StateId::at).collect()
        } else {
            self.states.clone()
        }
    }
}

/// The worst that was found of a feed conductor.
#[derive(Debug, Clone)]
pub struct Feed {
    /// Where it was found: the state, the end, the currents and the fuses.
    pub fed: Fed,
    /// What protection it has there.
    pub verdict: Verdict,
    /// The worst of where a fuse does stand before it: from another end, or in another state.
    pub guarded: Option<Verdict>,
    /// The current that it bears for ever in that state.
    pub lasting: Option<Amperes>,
    /// Why nothing stands between it and a battery, if that is usual.
    pub custom: Option<Custom>,
    /// The most at its beginning, over all states in which it is fed from there.
    pub most: Amperes,
    /// The least of a short at its far end, over the same states.
    pub least: Amperes,
}

/// A fuse under the largest short that it may have to break.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Broken {
    /// The fuse.
    pub fuse: InlineId,
    /// The largest current through it.
    pub most: Amperes,
    /// The most it can break, if anybody has said.
    pub capacity: Option<Amperes>,
}

/// What was found.
#[derive(Debug)]
pub struct Protection {
    /// Feed conductors in the order of the file.
    pub feeds: Vec<Feed>,
    /// Return conductors under the shorts of others, in the order of the file.
    pub returns: Vec<Carried>,
    /// Fuses, in the order of the file.
    pub fuses: Vec<Broken>,
    /// Conductors that no running source reaches in any state looked at.
    pub dead: Vec<ConductorId>,
    /// Curves that were used.
    pub curves: Curves,
    /// Shorts for which no operating point was found.
    pub unsolved: usize,
}

/// Looks at a vehicle.
#[must_use]
pub fn protect(vehicle: &Vehicle, scope: &Scope) -> Protection {
    let curves = Curves::of(vehicle, scope.recalled);
    let quiet = without_loads(vehicle);
    let seen: Vec<Seen> =
        scope.states(vehicle).into_iter().map(|state| see(vehicle, state)).collect();
    let wanted = |id: &ConductorId| scope.conductors.is_empty() || scope.conductors.contains(id);
    let all = || (0..vehicle.conductors.len()).map(ConductorId::at);
    // A conductor of the feed needs shorts at its own ends alone; a return suffers from all.
    let returning = |id: ConductorId| seen.iter().any(|seen| is_return(vehicle, seen, id));
    let some = !scope.conductors.is_empty() && !scope.conductors.iter().any(|id| returning(*id));
    let points = live_points(vehicle, &seen, &mut all().filter(|id| !some || wanted(id)));
    let mut shorts = Shorts::new(&quiet, &points, &everywhere(vehicle));
    let mut unsolved = 0;
    let mut found: BTreeMap<ConductorId, Feed> = BTreeMap::new();
    let mut returns = Returns::default();
    let mut most_through: BTreeMap<InlineId, Amperes> = BTreeMap::new();
    for seen in &seen {
        let solved = solve(&mut shorts, seen, &mut unsolved);
        note_fuses(&mut most_through, vehicle, &shorts, &solved);
        let leads = return_leads(vehicle, seen, &shorts, &solved);
        let feeds = all().flat_map(|id| fed(vehicle, seen, &shorts, &solved, id));
        for fed in feeds.chain(leads).filter(|fed| wanted(&fed.conductor)) {
            let verdict = fed.judge(vehicle, &curves);
            keep(&mut found, fed, verdict, vehicle);
        }
        returns.look(vehicle, seen, &shorts, &solved, &curves, &wanted);
    }
    let returns = returns.all();
    tell_customs(vehicle, &seen, &mut found);
    let returned = |id: &ConductorId| returns.iter().any(|own| own.conductor == *id);
    let dead = all().filter(wanted).filter(|id| !found.contains_key(id) && !returned(id)).collect();
    let fuses = broken(vehicle, &most_through);
    Protection { feeds: found.into_values().collect(), returns, fuses, dead, curves, unsolved }
}

/// Notes of each fuse the most that a short sends through it.
fn note_fuses(
    most_through: &mut BTreeMap<InlineId, Amperes>,
    vehicle: &Vehicle,
    shorts: &Shorts<'_>,
    solved: &Solved,
) {
    for short in solved.values() {
        for fuse in fuses(vehicle) {
            let amps = shorts.amps(short, Piece::Inline(fuse));
            let most = most_through.entry(fuse).or_default();
            *most = most.max(amps);
        }
    }
}

/// Says of each feed without a fuse why that is usual, if it is.
fn tell_customs(vehicle: &Vehicle, seen: &[Seen], found: &mut BTreeMap<ConductorId, Feed>) {
    let custom = customs(vehicle);
    for feed in found.values_mut() {
        if !matches!(feed.verdict, Verdict::Nothing { .. }) {
            continue;
        }
        feed.custom = custom
            .get(&feed.fed.conductor)
            .copied()
            .or_else(|| between_posts(vehicle, &feed.fed).then_some(Custom::BatteryLink))
            .or_else(|| up_to_fuses(vehicle, &feed.fed, seen).then_some(Custom::UpToFuses));
    }
}

/// Every fuse under the largest current through it.
fn broken(vehicle: &Vehicle, most_through: &BTreeMap<InlineId, Amperes>) -> Vec<Broken> {
    let capacity = |fuse: InlineId| match &vehicle.inline(fuse).kind {
        InlineKind::Fuse { breaking_capacity, .. } => *breaking_capacity,
        _ => None,
    };
    fuses(vehicle)
        .map(|fuse| Broken {
            fuse,
            most: most_through.get(&fuse).copied().unwrap_or_default(),
            capacity: capacity(fuse),
        })
        .collect()
}

/// Live points from which every piece of metal is touched, for the sake of the returns: the posts of
/// batteries, before which nothing stands, and the outlets of the largest fuses.
fn everywhere(vehicle: &Vehicle) -> Vec<PointId> {
    const LARGEST: usize = 3;
    let mut rated: Vec<(Amperes, InlineId)> =
        fuses(vehicle).filter_map(|id| Some((rating(vehicle, id)?, id))).collect();
    rated.sort_by(|a, b| units::larger_first(a.0.0, b.0.0).then(a.1.cmp(&b.1)));
    let outlets = rated.into_iter().take(LARGEST).flat_map(|(_, id)| {
        let part = vehicle.inline(id);
        [part.from, part.to]
    });
    let posts =
        (0..vehicle.batteries.len()).map(|at| vehicle.battery_terminals(BatteryId::at(at)).0);
    posts.chain(outlets).collect()
}

/// Keeps the worst of a conductor, and the widest range of its currents.
fn keep(found: &mut BTreeMap<ConductorId, Feed>, fed: Fed, verdict: Verdict, vehicle: &Vehicle) {
    let (most, least) = (fed.near_short, fed.least_short);
    let lasting =
        || Thermal::of(vehicle, fed.conductor, fed.state).map(|endurance| endurance.lasting);
    let guarded = (!matches!(verdict, Verdict::Nothing { .. })).then_some(verdict);
    let Some(known) = found.get_mut(&fed.conductor) else {
        let lasting = lasting();
        let feed = Feed { fed: fed.clone(), verdict, guarded, lasting, custom: None, most, least };
        found.insert(fed.conductor, feed);
        return;
    };
    if let Some(own) = guarded
        && known.guarded.is_none_or(|known| own.rank() > known.rank())
    {
        known.guarded = guarded;
    }
    let same_way = known.fed.near == fed.near;
    if same_way {
        known.most = known.most.max(most);
        known.least = known.least.min(least);
    }
    if (verdict.rank(), most.0) > (known.verdict.rank(), known.fed.near_short.0) {
        if !same_way {
            (known.most, known.least) = (most, least);
        }
        known.lasting = lasting();
        known.verdict = verdict;
        known.fed = fed;
    }
}
