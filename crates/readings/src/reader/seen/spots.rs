//! Which pieces of a vehicle are meant by what people call them.

use std::collections::BTreeSet;

use model::{
    BatteryId, ConductorId, Earth, InlineId, InlineKind, JointId, LoadId, LoadKind, Pieces,
    PointId, PointOwner, Vehicle,
};

use super::super::known::Thing;
use super::lexicon::Whose;

/// A pole as it was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pole {
    Plus,
    Minus,
    Live,
    Earthed,
}

impl Pole {
    /// True for the pole that is joined to the metal.
    pub(super) fn is_earthed(self, vehicle: &Vehicle) -> bool {
        match self {
            Self::Plus => vehicle.earth == Earth::Positive,
            Self::Minus => vehicle.earth == Earth::Negative,
            Self::Live => false,
            Self::Earthed => true,
        }
    }
}

/// The starter, or else the load that draws most.
pub(super) fn starter(vehicle: &Vehicle) -> Option<LoadId> {
    let loads = || (0..vehicle.loads.len()).map(LoadId::at);
    loads().find(|id| vehicle.load(*id).kind == LoadKind::Starter)
}

/// A load that is such a device: by its kind or its name.
pub(super) fn load_of(vehicle: &Vehicle, kinds: &[LoadKind], names: &[&str]) -> Option<LoadId> {
    let loads = || (0..vehicle.loads.len()).map(LoadId::at);
    let named = |id: &LoadId| names.iter().any(|name| vehicle.load(*id).id.contains(name));
    loads().find(named).or_else(|| loads().find(|id| kinds.contains(&vehicle.load(*id).kind)))
}

/// The posts of all batteries on one pole.
fn posts(vehicle: &Vehicle, earthed: bool) -> Vec<PointId> {
    (0..vehicle.batteries.len())
        .map(|at| {
            let (live, back) = vehicle.battery_terminals(BatteryId::at(at));
            if earthed { back } else { live }
        })
        .collect()
}

/// Conductors with an end at one of these points, the leads of devices left out.
fn at(vehicle: &Vehicle, points: &[PointId]) -> Vec<ConductorId> {
    let own = |id: &ConductorId| {
        let (from, to) = vehicle.conductor_ends(*id);
        !vehicle.conductor(*id).id.contains('.') && (points.contains(&from) || points.contains(&to))
    };
    (0..vehicle.conductors.len()).map(ConductorId::at).filter(own).collect()
}

/// Joints at these points.
fn joints_at(vehicle: &Vehicle, points: &[PointId]) -> Vec<JointId> {
    let all = vehicle.joints.iter().enumerate();
    all.filter(|(_, own)| points.contains(&own.point)).map(|(at, _)| JointId::at(at)).collect()
}

/// Points of the bodies of metal that people call so.
fn metal(vehicle: &Vehicle, whose: Whose) -> Vec<PointId> {
    let own = called(vehicle, whose);
    match (whose, own.is_empty()) {
        // Many say one for the other where there is but one of them.
        (Whose::Frame, true) => called(vehicle, Whose::Body),
        (Whose::Body, true) => called(vehicle, Whose::Frame),
        _ => own,
    }
}

fn called(vehicle: &Vehicle, whose: Whose) -> Vec<PointId> {
    let words: &[&str] = match whose {
        Whose::Engine | Whose::Starter | Whose::Alternator => &["engine", "block", "motor"],
        Whose::Frame => &["frame", "chassis", "rail"],
        _ => &["body", "cab", "shell", "hull", "wing"],
    };
    let called = |own: &&model::Structure| words.iter().any(|word| own.id.contains(word));
    vehicle.structures.iter().filter(called).flat_map(|own| own.points.clone()).collect()
}

/// Points on the way home that belong to no device: metal, earthed posts and where those meet.
fn earthed_points(vehicle: &Vehicle) -> BTreeSet<PointId> {
    let metal = |id: &PointId| matches!(vehicle.point(*id).owner, PointOwner::Structure(_));
    let mut all: BTreeSet<PointId> =
        (0..vehicle.points.len()).map(PointId::at).filter(metal).collect();
    all.extend(posts(vehicle, true));
    let live = posts(vehicle, false);
    loop {
        let before = all.len();
        for id in (0..vehicle.conductors.len()).map(ConductorId::at) {
            let (from, to) = vehicle.conductor_ends(id);
            let lead = vehicle.conductor(id).id.contains('.');
            if !lead && (all.contains(&from) || all.contains(&to)) {
                all.extend([from, to].into_iter().filter(|own| !live.contains(own)));
            }
        }
        if all.len() == before {
            return all;
        }
    }
}

/// Straps and cables on the way home, of these bodies only where any are told.
pub(super) fn earths(vehicle: &Vehicle, whose: &[Whose]) -> Pieces {
    let home = earthed_points(vehicle);
    let home: Vec<PointId> = home.into_iter().collect();
    let both = |id: &ConductorId| {
        let (from, to) = vehicle.conductor_ends(*id);
        home.contains(&from) && home.contains(&to)
    };
    let mut conductors: Vec<ConductorId> = at(vehicle, &home).into_iter().filter(both).collect();
    for own in whose {
        let points = match own {
            Whose::Battery => posts(vehicle, true),
            Whose::Starter | Whose::Alternator => continue,
            other => metal(vehicle, *other),
        };
        let beside: Vec<ConductorId> = at(vehicle, &points);
        let narrowed: Vec<ConductorId> =
            conductors.iter().copied().filter(|id| beside.contains(id)).collect();
        // `Frame` is what many say for the body: a body that is not there narrows nothing.
        if !narrowed.is_empty() {
            conductors = narrowed;
        }
    }
    Pieces { conductors, ..Pieces::default() }
}

/// The joints of straps and cables on the way home, of these bodies only where any are told.
pub(super) fn earth_joints(vehicle: &Vehicle, whose: &[Whose]) -> Pieces {
    let ends = |id: &ConductorId| {
        let own = vehicle.conductor(*id);
        [own.from, own.to]
    };
    let all: Vec<JointId> = earths(vehicle, whose).conductors.iter().flat_map(ends).collect();
    let points: Vec<PointId> = whose
        .iter()
        .flat_map(|own| match own {
            Whose::Battery => posts(vehicle, true),
            other => metal(vehicle, *other),
        })
        .collect();
    let there: Vec<JointId> =
        all.iter().copied().filter(|id| points.contains(&vehicle.joint(*id).point)).collect();
    Pieces { joints: if there.is_empty() { all } else { there }, ..Pieces::default() }
}

/// Cables and their ends on the live side: at the battery, the starter or the alternator.
pub(super) fn feeds(vehicle: &Vehicle, whose: &[Whose]) -> Pieces {
    let points = live_points(vehicle, whose);
    Pieces { conductors: near(vehicle, &points), ..Pieces::default() }
}

/// The joints there.
pub(super) fn feed_joints(vehicle: &Vehicle, whose: &[Whose]) -> Pieces {
    Pieces { joints: joints_at(vehicle, &live_points(vehicle, whose)), ..Pieces::default() }
}

/// The same as [`at`], an alternator's own lead among them.
fn near(vehicle: &Vehicle, points: &[PointId]) -> Vec<ConductorId> {
    let mut all = at(vehicle, points);
    for source in &vehicle.regulated {
        let own = |id: &ConductorId| {
            let (from, to) = vehicle.conductor_ends(*id);
            let posts = [source.positive, source.negative];
            points.iter().any(|at| posts.contains(at) && (*at == from || *at == to))
        };
        all.extend((0..vehicle.conductors.len()).map(ConductorId::at).filter(own));
    }
    all.sort_unstable();
    all.dedup();
    all
}

fn live_points(vehicle: &Vehicle, whose: &[Whose]) -> Vec<PointId> {
    let mut points = Vec::new();
    for own in whose {
        match own {
            Whose::Starter => {
                points.extend(starter(vehicle).map(|id| vehicle.load_terminals(id).0));
            }
            Whose::Alternator => points.extend(
                (0..vehicle.regulated.len())
                    .map(|at| vehicle.regulated_terminals(model::RegulatedId::at(at)).0),
            ),
            _ => points.extend(posts(vehicle, false)),
        }
    }
    if points.is_empty() { posts(vehicle, false) } else { points }
}

/// Of a cable between a battery's post and the metal that is named, its end there alone: nobody calls the
/// clamp on the post an engine strap.
pub(super) fn ends_at(vehicle: &Vehicle, mut own: Pieces, whose: &[Whose]) -> Pieces {
    let is_metal = |own: &&Whose| matches!(own, Whose::Engine | Whose::Body | Whose::Frame);
    let there: Vec<PointId> =
        whose.iter().filter(is_metal).flat_map(|own| metal(vehicle, *own)).collect();
    if whose.contains(&Whose::Battery) {
        return own;
    }
    let posts = [posts(vehicle, true), posts(vehicle, false)].concat();
    let at = |id: &JointId, points: &[PointId]| points.contains(&vehicle.joint(*id).point);
    for id in std::mem::take(&mut own.conductors) {
        let ends = [vehicle.conductor(id).from, vehicle.conductor(id).to];
        let here: Vec<JointId> = ends.into_iter().filter(|id| at(id, &there)).collect();
        if here.is_empty() || !ends.iter().any(|id| at(id, &posts)) {
            own.conductors.push(id);
        } else {
            own.joints.extend(here);
        }
    }
    own
}

/// Clamps and posts of one pole.
pub(super) fn clamps(vehicle: &Vehicle, earthed: bool) -> Pieces {
    Pieces { joints: joints_at(vehicle, &posts(vehicle, earthed)), ..Pieces::default() }
}

/// The wire by which a load gets home, or its feed.
pub(super) fn wire_of(vehicle: &Vehicle, load: LoadId, earthed: bool) -> Pieces {
    let (live, back) = vehicle.load_terminals(load);
    let end = if earthed { back } else { live };
    let own = |id: &ConductorId| {
        let (from, to) = vehicle.conductor_ends(*id);
        from == end || to == end
    };
    let conductors = (0..vehicle.conductors.len()).map(ConductorId::at).filter(own).collect();
    Pieces { conductors, ..Pieces::default() }
}

/// Fuses or battery switches, with the joints at them.
pub(super) fn inlines(vehicle: &Vehicle, fuses: bool) -> Pieces {
    let fits = |kind: &InlineKind| match kind {
        InlineKind::Fuse { .. } => fuses,
        _ => !fuses,
    };
    let named = |id: &str| {
        if fuses {
            id.contains("fuse")
        } else {
            id.contains("isolator") || id.contains("battery-switch")
        }
    };
    let all = vehicle.inlines.iter().enumerate();
    let own: Vec<(usize, &model::Inline)> =
        all.filter(|(_, own)| named(&own.id) || (fuses && fits(&own.kind))).collect();
    let mut points: Vec<PointId> = own.iter().flat_map(|(_, own)| [own.from, own.to]).collect();
    let here = |id: &PointId| fuses && vehicle.point(*id).id.contains("fuse");
    points.extend((0..vehicle.points.len()).map(PointId::at).filter(here));
    Pieces {
        joints: joints_at(vehicle, &points),
        inlines: own.into_iter().map(|(at, _)| InlineId::at(at)).collect(),
        ..Pieces::default()
    }
}

/// Pieces that the vehicle's file calls so; nothing for devices.
pub(super) fn named(vehicle: &Vehicle, thing: Thing) -> Option<Pieces> {
    match thing {
        Thing::Conductor(id) => Some(Pieces { conductors: vec![id], ..Pieces::default() }),
        Thing::Lug(id) => Some(Pieces { joints: vec![id], ..Pieces::default() }),
        Thing::Inline(id) => Some(Pieces { inlines: vec![id], ..Pieces::default() }),
        Thing::Point(id) => Some(Pieces { joints: joints_at(vehicle, &[id]), ..Pieces::default() }),
        _ => None,
    }
}

/// Both together.
pub(super) fn together(mut one: Pieces, other: Pieces) -> Pieces {
    one.conductors.extend(other.conductors);
    one.joints.extend(other.joints);
    one.inlines.extend(other.inlines);
    one
}
