//! The vehicle as meant: points, structures, conductors, joints, sources, loads, states.
//!
//! Nothing here reads a file or solves anything. Every reference is an index that exists, every
//! quantity is finite and inside its domain: whoever holds a [`Vehicle`] may rely on that.

pub mod id;
pub mod point;
pub mod joint;
pub mod conductor;
pub mod structure;
pub mod inline;
pub mod source;
pub mod load;
pub mod state;
pub mod work;
pub mod workshop;
pub mod vehicle;
pub mod engine;
pub mod graph;
pub mod reading;
pub mod crimp;
pub mod seen;
pub mod code;
pub mod problem;
pub mod likely;
mod most;

pub use code::Code;
pub use conductor::{Conductor, ConductorKind, Laid, Surroundings};
pub use crimp::Behind;
pub use engine::Engine;
pub use graph::Conducts;
pub use id::{
    BatteryId, ConductorId, IncidentalId, InlineId, JointId, LoadId, PointId, RegulatedId, StateId,
    StretchId,
};
pub use inline::{Curve, CurvePoint, Inline, InlineKind};
pub use joint::{Joint, JointOf};
pub use likely::Likely;
pub use load::{Importance, Load, LoadKind, LoadLaw};
pub use most::Impossible;
pub use point::{Access, AccessGroup, Place, Point, PointOwner};
pub use problem::{Problem, Severity};
pub use reading::{Accuracy, Measured, Probe, Reading, Told};
pub use seen::{Condition, Done, Occasion, Pieces, Seen, Sight, Spot, Upset};
pub use source::{Bank, Battery, Converter, Regulated, RegulatedKind};
pub use state::{AlternatorMode, State};
pub use structure::{Incidental, Stretch, Structure};
pub use vehicle::{Earth, Filled, Piece, Vehicle};
pub use work::Work;
pub use workshop::Workshop;
