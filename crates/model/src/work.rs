//! Work: what was done to which joint or conductor, when, how.

use units::NewtonMetres;

/// One thing done to a vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// The joint or conductor it was done to, by the name used in the file.
    pub on: String,
    /// What was done, in the words of whoever did it.
    pub what: String,
    /// When, as an ISO 8601 date.
    pub date: Option<String>,
    /// Torque applied.
    pub torque: Option<NewtonMetres>,
    /// Protection applied.
    pub protection: Option<String>,
    /// A remark for people.
    pub note: Option<String>,
}
