//! How a conductor is fed in a state: from which end, by which sources, through which fuses.

use model::{ConductorId, InlineId, LoadId, Piece, PointId, Vehicle};
use units::{Amperes, Ratio};

use crate::feeds::{Fed, Guard, Supply};
use crate::graph::{Reach, View};
use crate::shorts::{Shorts, Touch};
use crate::state_view::{NOTHING, Seen, Solved, is_live};

/// A conductor as it is fed from either end.
pub(crate) fn fed(
    vehicle: &Vehicle,
    seen: &Seen,
    shorts: &Shorts<'_>,
    solved: &Solved,
    id: ConductorId,
) -> Vec<Fed> {
    let piece = Piece::Conductor(id);
    let Some((first, second)) = vehicle.piece_ends(piece) else { return Vec::new() };
    if !is_live(vehicle, seen, first) && !is_live(vehicle, seen, second) {
        return Vec::new();
    }
    [(first, second, Reach::FromFirst), (second, first, Reach::FromSecond)]
        .into_iter()
        .filter_map(|way| fed_from(vehicle, seen, shorts, solved, id, way))
        .collect()
}

/// A conductor as it is fed from its near end; nothing where no source feeds it from there.
fn fed_from(
    vehicle: &Vehicle,
    seen: &Seen,
    shorts: &Shorts<'_>,
    solved: &Solved,
    conductor: ConductorId,
    (near, far, only): (PointId, PointId, Reach),
) -> Option<Fed> {
    let piece = Piece::Conductor(conductor);
    let at_near = solved.get(&(near, Touch::Strongest))?;
    let at_far = solved.get(&(far, Touch::Strongest))?;
    let far_short = shorts.amps(at_far, piece);
    let feeds = |view: &View| [only, Reach::Both].contains(&view.reach(vehicle, piece));
    let guard = |fuse: InlineId| {
        let own = shorts.amps(at_far, Piece::Inline(fuse));
        let share = if far_short > NOTHING { own / far_short } else { 1.0 };
        Guard { fuse, share: Ratio(share) }
    };
    let guards = |view: &View| before_both(view, near, far).map(guard).collect();
    let supplies = supplies(seen, feeds, guards);
    (!supplies.is_empty()).then(|| Fed {
        conductor,
        state: seen.state,
        near,
        far,
        // What reaches the near end through the conductor itself does not flow into it there.
        near_short: at_near.total - shorts.amps(at_near, piece),
        far_short,
        least_short: least_short(shorts, solved, far, piece).min(far_short),
        volts: at_far.open_volts,
        supplies,
    })
}

/// The sources that feed something, each with the fuses that guard it.
fn supplies(
    seen: &Seen,
    feeds: impl Fn(&View) -> bool,
    guards: impl Fn(&View) -> Vec<Guard>,
) -> Vec<Supply> {
    let sources = seen.views.iter().filter(|(_, _, view)| feeds(view));
    sources
        .map(|(source, limit, view)| Supply {
            source: *source,
            limit: *limit,
            guards: guards(view),
        })
        .collect()
}

/// The least that a short at a point sends through a piece.
fn least_short(shorts: &Shorts<'_>, solved: &Solved, at: PointId, piece: Piece) -> Amperes {
    let there = solved.iter().filter(|((point, _), _)| *point == at);
    let amps = there.map(|(_, short)| shorts.amps(short, piece));
    amps.fold(Amperes(f64::INFINITY), Amperes::min)
}

/// The fuses that stand between a source and both ends of a conductor.
fn before_both(view: &View, near: PointId, far: PointId) -> impl Iterator<Item = InlineId> {
    let far = view.fuses(far);
    view.fuses(near).into_iter().filter(move |fuse| far.contains(fuse))
}

/// Loads' own return leads: a short inside the load flows through them whole, so they are looked at
/// over the whole range of currents too.
pub(crate) fn return_leads(
    vehicle: &Vehicle,
    seen: &Seen,
    shorts: &Shorts<'_>,
    solved: &Solved,
) -> Vec<Fed> {
    let loads = (0..vehicle.loads.len()).map(LoadId::at);
    loads.filter_map(|load| return_lead(vehicle, seen, shorts, solved, load)).collect()
}

/// The one conductor over which a load returns; nothing where there are more, or no short was solved.
fn return_lead(
    vehicle: &Vehicle,
    seen: &Seen,
    shorts: &Shorts<'_>,
    solved: &Solved,
    load: LoadId,
) -> Option<Fed> {
    let (live, earthed) = vehicle.load_terminals(load);
    let short = solved.get(&(live, Touch::Inside(load)))?;
    let mut meeting = seen.graph.meeting(earthed);
    let (Some(Piece::Conductor(conductor)), None) = (meeting.next(), meeting.next()) else {
        return None;
    };
    let (from, to) = vehicle.piece_ends(Piece::Conductor(conductor))?;
    let guard = |fuse: InlineId| {
        let share = Ratio(shorts.amps(short, Piece::Inline(fuse)) / short.total);
        Guard { fuse, share }
    };
    let guards = |view: &View| view.fuses(live).into_iter().map(guard).collect();
    Some(Fed {
        conductor,
        state: seen.state,
        near: earthed,
        far: if from == earthed { to } else { from },
        near_short: short.total,
        far_short: short.total,
        least_short: short.total,
        volts: short.open_volts,
        supplies: supplies(seen, |view| view.reaches(live), guards),
    })
}
