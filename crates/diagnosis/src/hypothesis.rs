//! What may be wrong: one belief about one unknown replaced by that of a fault.

mod single_faults;

use model::{JointId, Piece, PointId, PointOwner, Vehicle};

use crate::fit::Belief;
use crate::forward::{Forward, Layout};
use crate::judged;
use crate::prior::{Prior, battery_prior, draw_prior, held_spread, piece_prior, stated_bad};
use crate::suspect::SuspectKind;
pub(crate) use single_faults::single_faults;

/// One way in which a vehicle may be faulty.
#[derive(Debug, Clone)]
pub(crate) struct Hypothesis {
    pub kind: SuspectKind,
    /// The unknown that it is about.
    pub at: usize,
    /// Belief about that unknown when this is so.
    pub mean: f64,
    pub spread: f64,
    /// The value from which on the piece is bad, for a piece with a resistance.
    pub bad_from: Option<f64>,
    /// Logarithm of its chance against that of nothing being wrong.
    pub log_odds: f64,
    /// The extra path that is there, if it is about one.
    pub present: Option<usize>,
    /// True when it takes a fault away: a joint that the file states as bad is clean after all.
    pub mends: bool,
}

impl Hypothesis {
    /// The belief with this fault in it.
    pub(crate) fn belief(&self, sound: &Belief) -> Belief {
        let mut belief = sound.clone();
        belief.mean[self.at] = self.mean;
        belief.spread[self.at] = self.spread;
        belief.present.extend(self.present);
        belief
    }

    /// The faults that are there when this is so beside those.
    pub(crate) fn beside(&self, faults: &[SuspectKind]) -> Vec<SuspectKind> {
        let mut all: Vec<SuspectKind> =
            faults.iter().copied().filter(|kind| *kind != self.kind).collect();
        if !self.mends {
            all.push(self.kind);
        }
        all.sort_unstable();
        all
    }

    /// False when it says nothing beside those faults: what is bad is bad already, what is clean is.
    pub(crate) fn changes(&self, faults: &[SuspectKind]) -> bool {
        faults.contains(&self.kind) == self.mends
    }
}

/// What is believed of a vehicle in which nothing is wrong.
pub(crate) fn sound(forward: &Forward<'_>) -> Belief {
    let vehicle = forward.vehicle();
    let layout = forward.layout;
    let mut belief = without_knowledge(&layout);
    let mut set = |at: usize, prior: Prior| {
        belief.mean[at] = prior.middle;
        belief.spread[at] = prior.spread;
    };
    for piece in vehicle.pieces() {
        set(vehicle.piece_slot(piece), piece_prior(vehicle, piece));
    }
    for kind in as_filed(forward) {
        let SuspectKind::Joint(id) = kind else { continue };
        set(
            vehicle.piece_slot(Piece::Joint(id)),
            Prior { middle: 0.0, spread: judged::faults().stated_bad_spread.0 },
        );
    }
    for (at, load) in vehicle.loads.iter().enumerate() {
        set(layout.draw(at), draw_prior(load));
    }
    for (at, battery) in vehicle.batteries.iter().enumerate() {
        let (emf, resistance) = battery_prior(battery);
        set(layout.emf(at), emf);
        set(layout.battery(at), resistance);
    }
    for (at, source) in vehicle.regulated.iter().enumerate() {
        belief.spread[layout.held(at)] = held_spread(source);
    }
    belief
}

/// What is believed before anything is known of a vehicle but that it may have paths that no file shows.
fn without_knowledge(layout: &Layout) -> Belief {
    let (mean, spread) = (vec![0.0; layout.len()], vec![1.0; layout.len()]);
    let mut belief = Belief { mean, spread, present: Vec::new() };
    for path in 0..layout.extra {
        belief.mean[layout.extra(path)] = judged::faults().extra_path_middle.0;
        // Where the path is not there, its resistance moves nothing.
        belief.spread[layout.extra(path)] = judged::faults().extra_path_spread.0;
    }
    belief
}

/// What the file itself says is wrong: joints stated with a resistance at which their kind is bad. They are faults
/// of every explanation but those that take one for mended.
pub(crate) fn as_filed(forward: &Forward<'_>) -> Vec<SuspectKind> {
    let vehicle = forward.vehicle();
    let joints = (0..vehicle.joints.len()).map(JointId::at);
    joints.filter(|id| stated_bad(vehicle.joint(*id))).map(SuspectKind::Joint).collect()
}

/// The joints, other than this one, that lie in the same conductor: only a probe on a lug tells
/// them apart.
pub(crate) fn same_conductor(vehicle: &Vehicle, joint: JointId) -> Option<JointId> {
    match vehicle.joint(joint).of {
        model::JointOf::From(id) => Some(vehicle.conductor(id).to),
        model::JointOf::To(id) => Some(vehicle.conductor(id).from),
        _ => None,
    }
}

/// True for a point that is metal of a structure, which can be touched almost anywhere.
pub(crate) fn is_metal(vehicle: &Vehicle, point: PointId) -> bool {
    matches!(vehicle.point(point).owner, PointOwner::Structure(_))
}
