//! Indices that cannot be mixed up: a point's number is not a joint's.

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl $name {
            /// The position in the vehicle's list.
            #[must_use]
            pub fn index(self) -> usize {
                self.0 as usize
            }

            /// The id for a position in the vehicle's list.
            ///
            /// # Panics
            ///
            /// Never for a list that fits in memory: a vehicle with more than 2³² entries cannot be read.
            #[must_use]
            pub fn at(index: usize) -> Self {
                Self(u32::try_from(index).expect("a vehicle file of at most 64 MB has fewer than 2^32 entries"))
            }
        }
    )*};
}

ids! {
    /// A [`Point`](crate::Point) of a vehicle.
    PointId;
    /// A [`Conductor`](crate::Conductor) of a vehicle.
    ConductorId;
    /// A [`Joint`](crate::Joint) of a vehicle.
    JointId;
    /// A [`Stretch`](crate::Stretch) of a structure.
    StretchId;
    /// An [`Incidental`](crate::Incidental) path of a vehicle.
    IncidentalId;
    /// An [`Inline`](crate::Inline) part: fuse, switch or diode.
    InlineId;
    /// A [`Battery`](crate::Battery) of a vehicle.
    BatteryId;
    /// A [`Regulated`](crate::Regulated) source: alternator, charger, converter.
    RegulatedId;
    /// A [`Load`](crate::Load) of a vehicle.
    LoadId;
    /// An operating [`State`](crate::State) of a vehicle.
    StateId;
}
