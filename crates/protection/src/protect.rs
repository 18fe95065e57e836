//! The whole vehicle: every feed conductor in every state, every return under every short.

use std::collections::BTreeMap;

use model::{
    BatteryId, ConductorId, InlineId, InlineKind, LoadId, LoadKind, Piece, PointId, RegulatedId,
    RegulatedKind, StateId, Vehicle,
};
use network::Network;
use units::{Amperes, Ratio};

use crate::curves::Curves;
use crate::feeds::{Fed, Guard, Source, Supply, Verdict, rating};
use crate::graph::{Graph, Reach, View, ends};
use crate::returns::{Carried, Returns};
use crate::shorts::{DEAD, Short, Shorts, Touch, home, without_loads};

/// A conductor carries this share of a starter's or an alternator's current when it is its cable.
const MOST_OF_IT: f64 = 0.5;

/// Currents below this are nothing: the leak that keeps every network regular.
const NOTHING: Amperes = Amperes(1e-3);

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

/// Why a conductor has no fuse, where it is usual that it has none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Custom {
    /// It is a starter's cable.
    Starter,
    /// It is the cable between an alternator and a battery.
    Charging,
    /// It joins the posts of batteries.
    BatteryLink,
    /// It ends at fuses and nothing else.
    UpToFuses,
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

/// A state seen from all its sources.
pub(crate) struct Seen {
    pub(crate) state: StateId,
    pub(crate) graph: Graph,
    pub(crate) views: Vec<(Source, Option<Amperes>, View)>,
}

/// Looks at a vehicle.
#[must_use]
pub fn protect(vehicle: &Vehicle, scope: &Scope) -> Protection {
    let curves = Curves::of(vehicle, scope.recalled);
    let quiet = without_loads(vehicle);
    let states: Vec<StateId> = if scope.states.is_empty() {
        (0..vehicle.states.len()).map(StateId::at).collect()
    } else {
        scope.states.clone()
    };
    let seen: Vec<Seen> = states.iter().map(|state| see(vehicle, *state)).collect();
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
        for short in solved.values() {
            for fuse in fuses(vehicle) {
                let amps = shorts.amps(short, Piece::Inline(fuse));
                let most = most_through.entry(fuse).or_default();
                *most = most.max(amps);
            }
        }
        let leads = return_leads(vehicle, seen, &shorts, &solved);
        let feeds = all().flat_map(|id| fed(vehicle, seen, &shorts, &solved, id));
        for fed in feeds.chain(leads).filter(|fed| wanted(&fed.conductor)) {
            let verdict = fed.judge(vehicle, &curves);
            keep(&mut found, fed, verdict, vehicle);
        }
        returns.look(vehicle, seen, &shorts, &solved, &curves, &wanted);
    }
    let returns = returns.all();
    let custom = customs(vehicle);
    for feed in found.values_mut() {
        if !matches!(feed.verdict, Verdict::Nothing { .. }) {
            continue;
        }
        feed.custom = custom
            .get(&feed.fed.conductor)
            .copied()
            .or_else(|| between_posts(vehicle, &feed.fed).then_some(Custom::BatteryLink))
            .or_else(|| up_to_fuses(vehicle, &feed.fed, &seen).then_some(Custom::UpToFuses));
    }
    let returned = |id: &ConductorId| returns.iter().any(|own| own.conductor == *id);
    let dead = all().filter(wanted).filter(|id| !found.contains_key(id) && !returned(id)).collect();
    let fuses = fuses(vehicle)
        .map(|fuse| Broken {
            fuse,
            most: most_through.get(&fuse).copied().unwrap_or_default(),
            capacity: match &vehicle.inline(fuse).kind {
                InlineKind::Fuse { breaking_capacity, .. } => *breaking_capacity,
                _ => None,
            },
        })
        .collect();
    Protection { feeds: found.into_values().collect(), returns, fuses, dead, curves, unsolved }
}

pub(crate) fn fuses(vehicle: &Vehicle) -> impl Iterator<Item = InlineId> + '_ {
    (0..vehicle.inlines.len())
        .map(InlineId::at)
        .filter(|id| matches!(vehicle.inline(*id).kind, InlineKind::Fuse { .. }))
}

/// Live points from which every piece of metal is touched, for the sake of the returns: the posts of
/// batteries, before which nothing stands, and the outlets of the largest fuses.
fn everywhere(vehicle: &Vehicle) -> Vec<PointId> {
    const LARGEST: usize = 3;
    let mut rated: Vec<(Amperes, InlineId)> =
        fuses(vehicle).filter_map(|id| Some((rating(vehicle, id)?, id))).collect();
    rated.sort_by(|a, b| b.0.0.total_cmp(&a.0.0).then(a.1.cmp(&b.1)));
    let outlets = rated.into_iter().take(LARGEST).flat_map(|(_, id)| {
        let part = vehicle.inline(id);
        [part.from, part.to]
    });
    let posts =
        (0..vehicle.batteries.len()).map(|at| vehicle.battery_terminals(BatteryId::at(at)).0);
    posts.chain(outlets).collect()
}

pub(crate) fn see(vehicle: &Vehicle, state: StateId) -> Seen {
    let graph = Graph::new(vehicle, state);
    let mut views = Vec::new();
    for id in (0..vehicle.batteries.len()).map(BatteryId::at) {
        let live = vehicle.battery_terminals(id).0;
        views.push((Source::Battery(id), None, graph.view(vehicle, live)));
    }
    for id in (0..vehicle.regulated.len()).map(RegulatedId::at) {
        let source = vehicle.regulated_source(id);
        if source.runs_in(state) {
            let live = match vehicle.earth {
                model::Earth::Negative => source.positive,
                model::Earth::Positive => source.negative,
            };
            let limit = source.limit[state.index()];
            views.push((Source::Regulated(id), Some(limit), graph.view(vehicle, live)));
        }
    }
    Seen { state, graph, views }
}

/// True when a point is live in a state: a source reaches it, and it is not part of home.
fn is_live(vehicle: &Vehicle, seen: &Seen, point: PointId) -> bool {
    home(vehicle).is_none_or(|home| !seen.graph.joined(home, point))
        && seen.views.iter().any(|(_, _, view)| view.reaches(point))
}

/// True when a conductor is part of home in a state.
pub(crate) fn is_return(vehicle: &Vehicle, seen: &Seen, id: ConductorId) -> bool {
    let Some((from, _)) = ends(vehicle, Piece::Conductor(id)) else { return false };
    home(vehicle).is_some_and(|home| seen.graph.joined(from, home))
}

/// Points at the ends of the conductors that are live in some state.
fn live_points(
    vehicle: &Vehicle,
    seen: &[Seen],
    conductors: &mut dyn Iterator<Item = ConductorId>,
) -> Vec<PointId> {
    let mut points: Vec<PointId> = conductors
        .filter_map(|id| ends(vehicle, Piece::Conductor(id)))
        .flat_map(|(from, to)| [from, to])
        .filter(|point| seen.iter().any(|seen| is_live(vehicle, seen, *point)))
        .collect();
    points.sort();
    points.dedup();
    points
}

pub(crate) type Solved = BTreeMap<(PointId, Touch), Short>;

/// Every fault at a point that is live in the state.
fn solve(shorts: &mut Shorts<'_>, seen: &Seen, unsolved: &mut usize) -> Solved {
    let mut solved = Solved::new();
    for fault in shorts.faults().to_vec() {
        if !seen.views.iter().any(|(_, _, view)| view.reaches(fault.at)) {
            continue;
        }
        match shorts.solve(seen.state, fault, DEAD) {
            Some(short) => {
                solved.insert((fault.at, fault.touch), short);
            }
            None => *unsolved += 1,
        }
    }
    solved
}

/// A conductor as it is fed from either end.
fn fed(
    vehicle: &Vehicle,
    seen: &Seen,
    shorts: &Shorts<'_>,
    solved: &Solved,
    id: ConductorId,
) -> Vec<Fed> {
    let piece = Piece::Conductor(id);
    let Some((first, second)) = ends(vehicle, piece) else { return Vec::new() };
    if !is_live(vehicle, seen, first) && !is_live(vehicle, seen, second) {
        return Vec::new();
    }
    let mut all = Vec::new();
    for (near, far, only) in [(first, second, Reach::FromFirst), (second, first, Reach::FromSecond)]
    {
        let feeds = |view: &View| {
            let reach = view.reach(vehicle, piece);
            reach == only || reach == Reach::Both
        };
        let sources = seen.views.iter().filter(|(_, _, view)| feeds(view));
        let (Some(at_near), Some(at_far)) =
            (solved.get(&(near, Touch::Strongest)), solved.get(&(far, Touch::Strongest)))
        else {
            continue;
        };
        let far_short = shorts.amps(at_far, piece);
        // What reaches the near end through the conductor itself does not flow into it there.
        let near_short = at_near.total - shorts.amps(at_near, piece);
        let least_short = solved
            .iter()
            .filter(|((at, _), _)| *at == far)
            .map(|(_, short)| shorts.amps(short, piece))
            .fold(far_short, Amperes::min);
        let supplies: Vec<Supply> = sources
            .map(|(source, limit, view)| {
                let (near_fuses, far_fuses) = (view.fuses(near), view.fuses(far));
                let guards = near_fuses
                    .into_iter()
                    .filter(|fuse| far_fuses.contains(fuse))
                    .map(|fuse| {
                        let own = shorts.amps(at_far, Piece::Inline(fuse));
                        let share = if far_short > NOTHING { own / far_short } else { 1.0 };
                        Guard { fuse, share: Ratio(share) }
                    })
                    .collect();
                Supply { source: *source, limit: *limit, guards }
            })
            .collect();
        if supplies.is_empty() {
            continue;
        }
        all.push(Fed {
            conductor: id,
            state: seen.state,
            near,
            far,
            near_short,
            far_short,
            least_short,
            volts: at_far.open_volts,
            supplies,
        });
    }
    all
}

/// Loads' own return leads: a short inside the load flows through them whole, so they are looked at
/// over the whole range of currents too.
fn return_leads(vehicle: &Vehicle, seen: &Seen, shorts: &Shorts<'_>, solved: &Solved) -> Vec<Fed> {
    let mut all = Vec::new();
    for load in (0..vehicle.loads.len()).map(LoadId::at) {
        let (live, earthed) = vehicle.load_terminals(load);
        let Some(short) = solved.get(&(live, Touch::Inside(load))) else { continue };
        let mut meeting = seen.graph.meeting(earthed);
        let (Some(Piece::Conductor(id)), None) = (meeting.next(), meeting.next()) else { continue };
        let Some((from, to)) = ends(vehicle, Piece::Conductor(id)) else { continue };
        let supplies = seen
            .views
            .iter()
            .filter(|(_, _, view)| view.reaches(live))
            .map(|(source, limit, view)| Supply {
                source: *source,
                limit: *limit,
                guards: view
                    .fuses(live)
                    .into_iter()
                    .map(|fuse| Guard {
                        fuse,
                        share: Ratio(shorts.amps(short, Piece::Inline(fuse)) / short.total),
                    })
                    .collect(),
            })
            .collect();
        all.push(Fed {
            conductor: id,
            state: seen.state,
            near: earthed,
            far: if from == earthed { to } else { from },
            near_short: short.total,
            far_short: short.total,
            least_short: short.total,
            volts: short.open_volts,
            supplies,
        });
    }
    all
}

/// Keeps the worst of a conductor, and the widest range of its currents.
fn keep(found: &mut BTreeMap<ConductorId, Feed>, fed: Fed, verdict: Verdict, vehicle: &Vehicle) {
    let (most, least) = (fed.near_short, fed.least_short);
    let lasting = || {
        crate::endurance::Endurance::of(vehicle, fed.conductor, fed.state)
            .map(|endurance| endurance.lasting())
    };
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

/// Cables that are left without a fuse by custom: those of starters and alternators.
fn customs(vehicle: &Vehicle) -> BTreeMap<ConductorId, Custom> {
    let mut customs = BTreeMap::new();
    let mut network = Network::new(vehicle);
    for state in (0..vehicle.states.len()).map(StateId::at) {
        let starters = (0..vehicle.loads.len()).map(LoadId::at).filter(|id| {
            vehicle.load(*id).kind == LoadKind::Starter && vehicle.load(*id).is_on_in(state)
        });
        let starters: Vec<_> = starters.collect();
        let alternators: Vec<RegulatedId> = (0..vehicle.regulated.len())
            .map(RegulatedId::at)
            .filter(|id| {
                let source = vehicle.regulated_source(*id);
                source.kind == RegulatedKind::Alternator && source.runs_in(state)
            })
            .collect();
        if starters.is_empty() && alternators.is_empty() {
            continue;
        }
        let point = network.operating_point(state);
        let starting: Amperes = starters.iter().map(|id| point.load(*id).amps).sum();
        for id in (0..vehicle.conductors.len()).map(ConductorId::at) {
            let amps = point.piece(vehicle, Piece::Conductor(id)).amps.abs();
            if starting > NOTHING && amps > starting * MOST_OF_IT {
                customs.insert(id, Custom::Starter);
            }
        }
        for alternator in alternators {
            let source = vehicle.regulated_source(alternator);
            let live = match vehicle.earth {
                model::Earth::Negative => source.positive,
                model::Earth::Positive => source.negative,
            };
            for id in (0..vehicle.conductors.len()).map(ConductorId::at) {
                let at_it = ends(vehicle, Piece::Conductor(id))
                    .is_some_and(|(from, to)| from == live || to == live);
                if at_it {
                    customs.entry(id).or_insert(Custom::Charging);
                }
            }
        }
    }
    customs
}

/// True when both ends of a conductor are posts of batteries.
fn between_posts(vehicle: &Vehicle, fed: &Fed) -> bool {
    let post = |point: PointId| {
        vehicle.batteries.iter().any(|own| own.positive == point || own.negative == point)
    };
    post(fed.near) && post(fed.far)
}

/// True when everything that goes on at a conductor's far end is a fuse.
fn up_to_fuses(vehicle: &Vehicle, fed: &Fed, seen: &[Seen]) -> bool {
    let own = Piece::Conductor(fed.conductor);
    let Some(seen) = seen.iter().find(|seen| seen.state == fed.state) else { return false };
    let mut beyond = seen.graph.meeting(fed.far).filter(|piece| *piece != own).peekable();
    beyond.peek().is_some()
        && beyond.all(|piece| match piece {
            Piece::Inline(id) => matches!(vehicle.inline(id).kind, InlineKind::Fuse { .. }),
            _ => false,
        })
}
