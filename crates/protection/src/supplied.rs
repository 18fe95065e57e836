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
        let guard = |fuse: InlineId| {
            let own = shorts.amps(at_far, Piece::Inline(fuse));
            let share = if far_short > NOTHING { own / far_short } else { 1.0 };
            Guard { fuse, share: Ratio(share) }
        };
        let supplies: Vec<Supply> = sources
            .map(|(source, limit, view)| {
                let guards = before_both(view, near, far).map(guard).collect();
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
    let mut all = Vec::new();
    for load in (0..vehicle.loads.len()).map(LoadId::at) {
        let (live, earthed) = vehicle.load_terminals(load);
        let Some(short) = solved.get(&(live, Touch::Inside(load))) else { continue };
        let mut meeting = seen.graph.meeting(earthed);
        let (Some(Piece::Conductor(id)), None) = (meeting.next(), meeting.next()) else { continue };
        let Some((from, to)) = vehicle.piece_ends(Piece::Conductor(id)) else { continue };
        let guard = |fuse: InlineId| {
            let share = Ratio(shorts.amps(short, Piece::Inline(fuse)) / short.total);
            Guard { fuse, share }
        };
        let sources = seen.views.iter().filter(|(_, _, view)| view.reaches(live));
        let supplies = sources.map(|(source, limit, view)| {
            let guards = view.fuses(live).into_iter().map(guard).collect();
            Supply { source: *source, limit: *limit, guards }
        });
        let supplies = supplies.collect();
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
