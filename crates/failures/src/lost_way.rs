//! What has no way home any more in the file, and where the current of a real vehicle would then go.

use model::{BatteryId, InlineKind, Piece, PointId, PointOwner, Vehicle};

use crate::fault::{Fault, conductor_of};

/// What hangs by nothing else than what failed, on the side of the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct LostWay {
    /// Where the current would come from.
    pub from: Vec<Where>,
    /// Where to look on the vehicle for the ways that its file does not show; empty where no body of metal
    /// is cut off. Common practice.
    pub look: Vec<&'static str>,
}

/// A body of metal, or a point that stands for itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Where {
    /// The structure at this position.
    Structure(usize),
    /// A point.
    Point(PointId),
}

/// Where a current goes that finds no strap between an engine and the rest (common practice).
const ENGINE: [&str; 8] = [
    "propeller shaft and its joints",
    "gear linkage, clutch and throttle cables",
    "braided hoses and air lines",
    "exhaust, its hangers and flexible pipe",
    "screens of sensor cables",
    "fuel and oil pipes",
    "engine mounts with metal in them",
    "small ground leads of modules",
];
/// The same for another body of metal (common practice).
const BODY: [&str; 6] = [
    "hinges, hitch or coupling",
    "brake, shift and control cables",
    "pipes and braided hoses",
    "screens of cables",
    "small ground leads of lamps and modules",
    "lamps that share a ground: dim, or lit with another",
];
/// The same between a battery and all the metal (common practice).
const BATTERY: [&str; 4] = [
    "the tray, its hold-down and whatever touches a post",
    "negative leads of devices that are wired straight to the battery, their cases and screens",
    "leads of battery sensor, charger or second battery",
    "aerial and data cables between such devices and the metal",
];

impl LostWay {
    /// What a failure leaves without a way home in the file; nothing where another is left, or where the
    /// failure is not on the side of the ground.
    #[must_use]
    pub fn of(vehicle: &Vehicle, fault: Fault) -> Option<Self> {
        let Fault::Open(gone) = fault else { return None };
        let ends = ends(vehicle, gone)?;
        let (before, after) = (Joined::new(vehicle, None), Joined::new(vehicle, Some(gone)));
        let posts: Vec<(PointId, PointId)> = (0..vehicle.batteries.len())
            .map(|at| vehicle.battery_terminals(BatteryId::at(at)))
            .collect();
        // In a series only the last one's post is home: the others stand on a live one.
        let grounded = |post: &PointId| posts.iter().all(|(live, _)| !before.same(*live, *post));
        let homes: Vec<PointId> = posts.iter().map(|own| own.1).filter(grounded).collect();
        let home =
            |joined: &Joined, point: PointId| homes.iter().any(|post| joined.same(*post, point));
        if !home(&before, ends.0) || after.same(ends.0, ends.1) {
            return None;
        }
        let Some(lost) = [ends.0, ends.1].into_iter().find(|end| !home(&after, *end)) else {
            return Self::of_one_battery(vehicle, &after, ends, &homes);
        };
        let mut from = bodies_joined_to(vehicle, lost, &after);
        let look = look(vehicle, &from);
        if from.is_empty() {
            from.push(Where::Point(lost));
        }
        Some(Self { from, look })
    }
}

impl LostWay {
    /// Where several batteries are grounded: one that is cut off with no body of metal on its side.
    fn of_one_battery(
        vehicle: &Vehicle,
        after: &Joined,
        ends: (PointId, PointId),
        homes: &[PointId],
    ) -> Option<Self> {
        let bare = |end: &PointId| {
            let mut points = (0..vehicle.points.len()).map(PointId::at);
            !points.any(|point| {
                let metal = matches!(vehicle.point(point).owner, PointOwner::Structure(_));
                metal && after.same(point, *end)
            })
        };
        let cut = [ends.0, ends.1].into_iter().find(bare)?;
        let post = homes.iter().find(|post| after.same(**post, cut))?;
        Some(Self { from: vec![Where::Point(*post)], look: BATTERY.to_vec() })
    }
}

/// The bodies of metal that hang together with a point.
fn bodies_joined_to(vehicle: &Vehicle, lost: PointId, joined: &Joined) -> Vec<Where> {
    let mut bodies = Vec::new();
    let points = (0..vehicle.points.len()).map(PointId::at);
    for point in points.filter(|point| joined.same(*point, lost)) {
        if let PointOwner::Structure(at) = vehicle.point(point).owner
            && !bodies.contains(&Where::Structure(at as usize))
        {
            bodies.push(Where::Structure(at as usize));
        }
    }
    bodies
}

fn look(vehicle: &Vehicle, from: &[Where]) -> Vec<&'static str> {
    let cut = |at: &usize| from.contains(&Where::Structure(*at));
    if from.is_empty() {
        Vec::new()
    } else if (0..vehicle.structures.len()).all(|at| cut(&at)) {
        BATTERY.to_vec()
    } else if vehicle.engine_bodies().iter().any(|own| cut(&(*own as usize))) {
        ENGINE.to_vec()
    } else {
        BODY.to_vec()
    }
}

/// The two points of a piece, through its joints where it is a conductor's.
fn ends(vehicle: &Vehicle, piece: Piece) -> Option<(PointId, PointId)> {
    let whole = match piece {
        Piece::Joint(id) => conductor_of(vehicle.joint(id)).map(Piece::Conductor),
        _ => None,
    };
    vehicle.piece_ends(whole.unwrap_or(piece))
}

/// Which points hang together by metal, without any device.
struct Joined(Vec<usize>);

impl Joined {
    fn new(vehicle: &Vehicle, without: Option<Piece>) -> Self {
        let diode = |piece| {
            matches!(piece, Piece::Inline(id)
                if matches!(vehicle.inline(id).kind, InlineKind::Diode { .. }))
        };
        Self(vehicle.parts(|piece| Some(piece) != without && !diode(piece)).roots())
    }

    fn same(&self, a: PointId, b: PointId) -> bool {
        self.0[a.index()] == self.0[b.index()]
    }
}
