//! Joints: where the end of a conductor, the case of a device or the foot of a stud meets its point.

use catalogue::{Finish, JointKind, JointProtection, Known, PropertyClass, Thread};
use units::{NewtonMetres, Ohms, Ratio};

use crate::id::{ConductorId, JointId, LoadId, PointId, RegulatedId};
use crate::likely::Likely;

/// What a joint belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JointOf {
    /// The beginning of a conductor.
    From(ConductorId),
    /// The end of a conductor.
    To(ConductorId),
    /// The crimp between the eye at a conductor's beginning and its strands.
    FromCrimp(ConductorId),
    /// The crimp between the eye at a conductor's end and its strands.
    ToCrimp(ConductorId),
    /// A load whose case is bolted to metal.
    LoadCase(LoadId),
    /// An alternator or other source whose case is bolted to metal.
    SourceCase(RegulatedId),
    /// Nothing else: it stands between this point and its own, as a stud's foot or a mated pin does.
    Between(PointId),
}

impl JointOf {
    /// The conductor at one of whose ends it is.
    #[must_use]
    pub const fn conductor(self) -> Option<ConductorId> {
        match self {
            Self::From(id) | Self::To(id) | Self::FromCrimp(id) | Self::ToCrimp(id) => Some(id),
            Self::LoadCase(_) | Self::SourceCase(_) | Self::Between(_) => None,
        }
    }

    /// True for the joint or the crimp at the beginning of a conductor.
    #[must_use]
    pub const fn is_at_the_beginning(self) -> bool {
        matches!(self, Self::From(_) | Self::FromCrimp(_))
    }

    /// True for a crimp: no faces to clean, and mended by a new lug.
    #[must_use]
    pub const fn is_crimp(self) -> bool {
        matches!(self, Self::FromCrimp(_) | Self::ToCrimp(_))
    }
}

/// The meeting of a lug (or case) and a point, or of a lug and the strands crimped into it. A meter can
/// touch both sides: they are two places.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Position in the vehicle's list.
    pub this: JointId,
    /// The name used everywhere, such as `main-negative.to`.
    pub id: String,
    /// The point that it joins to; of a crimp, the one that its lug meets.
    pub point: PointId,
    /// What it belongs to.
    pub of: JointOf,
    /// Its kind.
    pub kind: Known<JointKind>,
    /// Resistance between the lug and the point's metal; of a crimp, what it adds to its conductor.
    pub resistance: Ohms,
    /// True when the file states the resistance; false when it is the kind's typical value.
    pub stated: bool,
    /// The range in which the file's writer expects it when sound.
    pub likely: Option<Likely<Ohms>>,
    /// The chance of being bad before any reading, where the file's writer knows better.
    pub suspicion: Option<Ratio>,
    /// Its thread, such as `M8`.
    pub thread: Option<Known<Thread>>,
    /// Property class or grade, such as `8.8`.
    pub class: Option<Known<PropertyClass>>,
    /// Tightening torque.
    pub torque: Option<NewtonMetres>,
    /// Finish of the faces, such as `tin on bare steel`.
    pub finish: Option<Finish>,
    /// What keeps water and salt off, or that nothing does; nothing where the file does not say.
    pub protection: Option<Known<JointProtection>>,
    /// Washers in the joint, as written.
    pub washer: Option<String>,
    /// How the lug is fixed to the strands, as written.
    pub crimp: Option<String>,
    /// Number of terminals stacked on the same stud.
    pub stack: u32,
    /// When it was last serviced, as an ISO 8601 date or year.
    pub serviced: Option<String>,
    /// A remark for people.
    pub note: Option<String>,
}

impl Joint {
    /// A joint of a kind of which nothing else is known: sound, as clean as its kind usually is.
    #[must_use]
    pub fn unknown(
        this: JointId,
        id: String,
        point: PointId,
        of: JointOf,
        kind: Known<JointKind>,
    ) -> Self {
        Self {
            this,
            id,
            point,
            of,
            kind,
            resistance: kind.clean_typical,
            stated: false,
            likely: None,
            suspicion: None,
            thread: None,
            class: None,
            torque: None,
            finish: None,
            protection: None,
            washer: None,
            crimp: None,
            stack: 1,
            serviced: None,
            note: None,
        }
    }
}

impl Joint {
    /// The resistance that the file states as what the joint has. Nothing where it states none, or
    /// says itself what is sound (`likely`) or how likely the joint is bad (`suspicion`).
    #[must_use]
    pub fn stated_ohms(&self) -> Option<Ohms> {
        let plain = self.stated && self.likely.is_none() && self.suspicion.is_none();
        plain.then_some(self.resistance)
    }
}
