//! Points: places with one potential where conductors meet.

use units::{Metres, Seconds};

/// Where a point lies, seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Metres forward of the middle of the front axle; negative behind it.
    pub forward: Metres,
    /// Metres to the left of the vehicle's middle line; negative to the right.
    pub left: Metres,
}

/// What it takes to put a meter's probe on something.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Access {
    /// False where a meter cannot reach at all without taking things apart.
    pub out_of_reach: bool,
    /// Time to get at it, beyond the group's.
    pub time: Seconds,
    /// Name of the access group whose cover must be off, if any.
    pub group: Option<String>,
}

/// What a point is part of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PointOwner {
    /// A stud, bus or splice standing for itself.
    Free,
    /// Metal of the structure with this position in [`Vehicle::structures`](crate::Vehicle::structures).
    Structure(u32),
    /// The positive terminal of a device.
    Positive,
    /// The negative terminal of a device.
    Negative,
}

/// A place with one potential: a battery post, a stud, a terminal, a pin.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// The name used in the file, such as `block/front` or `main/+`.
    pub id: String,
    /// What it is part of.
    pub owner: PointOwner,
    /// Where it lies, if the file says so.
    pub place: Option<Place>,
    /// How a meter gets there.
    pub access: Access,
    /// A remark for people.
    pub note: Option<String>,
}

/// A cover or part whose removal opens several points at once.
#[derive(Debug, Clone, PartialEq)]
pub struct AccessGroup {
    /// The name that points refer to.
    pub id: String,
    /// What has to come off, in words.
    pub name: String,
    /// Time to take it off and put it back.
    pub time: Seconds,
}
