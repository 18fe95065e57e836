//! Metal that conducts without being a wire: structures, their stretches, and incidental paths.

use catalogue::{IncidentalPath, Known, Material};
use units::{Amperes, Ohms};

use crate::id::PointId;
use crate::likely::Likely;

/// Engine block, frame rail, body shell, axle, hull plate: one body of metal with several points.
#[derive(Debug, Clone, PartialEq)]
pub struct Structure {
    /// The name used in the file, such as `block`.
    pub id: String,
    /// What people call it, such as "engine block".
    pub name: String,
    /// Its metal.
    pub material: Known<Material>,
    /// Its points.
    pub points: Vec<PointId>,
    /// A remark for people.
    pub note: Option<String>,
}

/// A piece of a structure between two of its points.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// The name used everywhere, such as `frame/front..rear`.
    pub id: String,
    /// Position of the structure in [`Vehicle::structures`](crate::Vehicle::structures).
    pub structure: u32,
    /// One end.
    pub from: PointId,
    /// The other end.
    pub to: PointId,
    /// Resistance of the metal between them.
    pub resistance: Ohms,
    /// The range in which the file's writer expects it.
    pub likely: Option<Likely<Ohms>>,
    /// Where the resistance comes from, in words.
    pub basis: String,
}

/// Metal that was never meant to carry current but will when a strap is gone.
#[derive(Debug, Clone, PartialEq)]
pub struct Incidental {
    /// The name used in the file, such as `parking-brake-cable`.
    pub id: String,
    /// Its kind.
    pub kind: Known<IncidentalPath>,
    /// One end.
    pub from: PointId,
    /// The other end.
    pub to: PointId,
    /// Resistance from end to end, contacts included.
    pub resistance: Ohms,
    /// The range in which the file's writer expects it.
    pub likely: Option<Likely<Ohms>>,
    /// The current above which damage must be feared.
    pub damage: Option<Amperes>,
    /// A remark for people.
    pub note: Option<String>,
}
