//! What may be wrong: one belief about one unknown replaced by that of a fault.

use model::{InlineKind, JointId, LoadId, LoadKind, Piece, PointId, PointOwner, Vehicle};

use crate::fit::Belief;
use crate::forward::Forward;
use crate::judged;
use crate::paths::same_bodies;
use crate::prior::{
    Prior, bad_from, bad_probability, battery_prior, battery_spread, beyond_usual, clean_after_all,
    draw_prior, draw_spread, piece_prior, sound_until, stated_bad,
};
use crate::suspect::SuspectKind;

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
    let mut belief = Belief {
        mean: vec![0.0; layout.len()],
        spread: vec![1.0; layout.len()],
        present: Vec::new(),
    };
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
    for at in 0..vehicle.regulated.len() {
        belief.spread[layout.held(at)] =
            judged::faults().regulator_spread_12_v.0 * vehicle.nominal.0 / 12.0;
    }
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

/// A joint that the file states as bad, taken for one that was mended since.
fn mended_since(vehicle: &Vehicle, id: JointId, at: usize) -> Hypothesis {
    let joint = vehicle.joint(id);
    let chance = bad_probability(vehicle, joint);
    let Prior { middle: mean, spread } = clean_after_all(joint);
    Hypothesis {
        kind: SuspectKind::Joint(id),
        at,
        mean,
        spread,
        bad_from: None,
        log_odds: ((1.0 - chance) / chance).ln(),
        present: None,
        mends: true,
    }
}

/// Every single fault that is considered.
pub(crate) fn single_faults(forward: &Forward<'_>) -> Vec<Hypothesis> {
    let vehicle = forward.vehicle();
    let layout = forward.layout;
    let mut faults = Vec::new();
    let mut add = |kind, at, mean, spread, chance: f64, present| {
        let bad_from = matches!(
            kind,
            SuspectKind::Joint(_) | SuspectKind::Conductor(_) | SuspectKind::Inline(_)
        )
        .then_some(mean - judged::faults().bad_multiple_middle.0);
        let log_odds = chance.ln();
        let mends = false;
        faults.push(Hypothesis { kind, at, mean, spread, bad_from, log_odds, present, mends });
    };
    let mut mended = Vec::new();
    for piece in vehicle.pieces() {
        let at = vehicle.piece_slot(piece);
        if let Piece::Joint(id) = piece
            && stated_bad(vehicle.joint(id))
        {
            mended.push(mended_since(vehicle, id, at));
            continue;
        }
        let Some(threshold) = bad_from(vehicle, piece, &forward.points) else { continue };
        let written = vehicle.piece_resistance(piece).0;
        let bad = (threshold.0 / written).ln().max(judged::faults().bad_least_logarithm.0);
        let mean = bad.max(sound_until(vehicle, piece).unwrap_or(bad))
            + judged::faults().bad_multiple_middle.0;
        match piece {
            Piece::Joint(id) => {
                let joint = vehicle.joint(id);
                let chance = bad_probability(vehicle, joint);
                // A chance that a person states may be large: what counts is how it stands to the
                // chance of its being sound.
                let chance =
                    if joint.suspicion.is_some() { chance / (1.0 - chance) } else { chance };
                add(
                    SuspectKind::Joint(id),
                    at,
                    mean,
                    judged::faults().bad_multiple_spread.0,
                    chance,
                    None,
                );
            }
            Piece::Conductor(id) => {
                add(
                    SuspectKind::Conductor(id),
                    at,
                    mean,
                    judged::faults().bad_multiple_spread.0,
                    judged::faults().conductor_rotten.0,
                    None,
                );
                // What nobody has seen may well not be there; what is drawn was seen.
                let missing = vehicle.conductor(id).missing;
                let open = missing
                    .map_or(judged::faults().conductor_open.0, |told| told.0 / (1.0 - told.0));
                let own = judged::faults();
                let mean = (own.conductor_open_resistance.0 / written).ln();
                add(SuspectKind::Open(id), at, mean, own.conductor_open_spread.0, open, None);
            }
            Piece::Inline(id) if !matches!(vehicle.inline(id).kind, InlineKind::Diode { .. }) => {
                add(
                    SuspectKind::Inline(id),
                    at,
                    mean,
                    judged::faults().bad_multiple_spread.0,
                    judged::faults().inline_bad.0,
                    None,
                );
            }
            Piece::Inline(_) | Piece::Stretch(_) | Piece::Incidental(_) => {}
        }
    }
    for (at, load) in vehicle.loads.iter().enumerate().filter(|(_, load)| !load.on.is_empty()) {
        let (id, own) = (LoadId::at(at), judged::faults());
        let drags = matches!(load.kind, LoadKind::Motor | LoadKind::Starter);
        let chance = if drags { own.load_drags } else { own.load_drags_unless_motor };
        let further = beyond_usual(draw_prior(load), draw_spread(load.kind));
        let (middle, spread) = (own.load_drags_middle.0 + further, own.load_drags_spread.0);
        add(SuspectKind::LoadDrags(id), layout.draw(at), middle, spread, chance.0, None);
        let (middle, spread) = (own.load_open_middle.0, own.load_open_spread.0);
        add(SuspectKind::LoadOpen(id), layout.draw(at), middle, spread, own.load_open.0, None);
    }
    for (at, battery) in vehicle.batteries.iter().enumerate() {
        let blocks = battery.nominal.0 / 12.0;
        let id = model::BatteryId::at(at);
        let (voltage, resistance) = battery_prior(battery);
        let (usual_voltage, usual_resistance) = battery_spread(battery.nominal);
        let lower = 2.0 * voltage.middle - beyond_usual(voltage, usual_voltage);
        add(
            SuspectKind::BatteryLow(id),
            layout.emf(at),
            judged::faults().battery_low_middle_12_v.0 * blocks + lower,
            judged::faults().battery_low_spread_12_v.0 * blocks,
            judged::faults().battery_low.0,
            None,
        );
        let mean =
            judged::faults().battery_worn_middle.0 + beyond_usual(resistance, usual_resistance);
        add(
            SuspectKind::BatteryWorn(id),
            layout.battery(at),
            mean,
            judged::faults().battery_worn_spread.0,
            judged::faults().battery_worn.0,
            None,
        );
    }
    for (at, source) in vehicle.regulated.iter().enumerate() {
        if source.limit.iter().any(|limit| *limit > units::Amperes::ZERO) {
            let blocks = vehicle.nominal.0 / 12.0;
            let (mean, spread) = (
                judged::faults().source_low_middle_12_v.0 * blocks,
                judged::faults().source_low_spread_12_v.0 * blocks,
            );
            let kind = SuspectKind::SourceLow(model::RegulatedId::at(at));
            add(kind, layout.held(at), mean, spread, judged::faults().source_low.0, None);
        }
    }
    let suspected = &forward.paths[..forward.suspected];
    for (path, ends) in suspected.iter().enumerate() {
        let kind = SuspectKind::ExtraPath { from: ends.0, to: ends.1 };
        let alike = suspected.iter().filter(|own| same_bodies(vehicle, **own, *ends)).count();
        let chance = judged::faults().extra_path.0 / alike.max(1) as f64;
        add(
            kind,
            layout.extra(path),
            judged::faults().extra_path_middle.0,
            judged::faults().extra_path_spread.0,
            chance,
            Some(path),
        );
    }
    faults.extend(mended);
    faults
}

/// The joints, other than this one, that lie in the same conductor: only a probe on a lug tells
/// them apart.
pub(crate) fn same_conductor(vehicle: &Vehicle, joint: JointId) -> Option<JointId> {
    match vehicle.joint(joint).of {
        model::JointOf::From(id) => Some(vehicle.conductor(id).to),
        model::JointOf::To(id) => Some(vehicle.conductor(id).from),
        model::JointOf::LoadCase(_) | model::JointOf::SourceCase(_) => None,
    }
}

/// True for a point that is metal of a structure, which can be touched almost anywhere.
pub(crate) fn is_metal(vehicle: &Vehicle, point: PointId) -> bool {
    matches!(vehicle.point(point).owner, PointOwner::Structure(_))
}
