//! What was seen, felt or tried without a meter.

use crate::{ConductorId, InlineId, JointId, LoadId, StateId};

/// Something seen, felt or tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen {
    /// Its number among the readings, from one, as a person counts them.
    pub number: u32,
    /// When; nothing when it was not told or matters not.
    pub state: Option<StateId>,
    /// What.
    pub sight: Sight,
    /// What it was seen of, in the words in which it was told; empty where it is about no part.
    pub what: String,
    /// The line in which it was told.
    pub text: String,
}

/// What was seen, felt or tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sight {
    /// Something gets hot, smokes or melts; or stays cool, which is the contrary.
    Heat {
        /// What.
        spot: Spot,
        /// False where it was felt and is cool.
        hot: bool,
    },
    /// The condition in which something was found.
    Condition {
        /// What.
        spot: Spot,
        /// How it was found.
        condition: Condition,
        /// False where just that was looked for and not found.
        so: bool,
    },
    /// What something else does when the symptom shows or another load comes on.
    Upset {
        /// What it does.
        upset: Upset,
        /// The load that does it, where the vehicle has one by that name.
        device: Option<LoadId>,
        /// False where it does not.
        so: bool,
    },
    /// Something was done about a part, and what came of it.
    Worked {
        /// The part.
        spot: Spot,
        /// What was done.
        done: Done,
        /// True where the fault went away or got less.
        helped: bool,
    },
    /// When the fault comes.
    Comes(Occasion),
}

/// Where something was seen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spot {
    /// Metal that was never meant to carry current and stands on no diagram: control cables, shields, linkages.
    Undrawn,
    /// Pieces of the vehicle.
    Pieces(Pieces),
    /// A load.
    Load(LoadId),
    /// The batteries.
    Battery,
    /// What charges them.
    Charger,
    /// What switches the load on.
    Control,
}

/// Pieces of the vehicle, any of which may be meant.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Pieces {
    /// Conductors, with the joints at their ends.
    pub conductors: Vec<ConductorId>,
    /// Joints.
    pub joints: Vec<JointId>,
    /// Fuses and switches.
    pub inlines: Vec<InlineId>,
}

/// How something was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Condition {
    /// It can be turned by hand.
    Loose,
    /// Green, rusty, furred, dirty.
    Corroded,
    /// Broken, frayed, cut.
    Broken,
    /// Off, or not there.
    Missing,
    /// Clean and tight.
    Fine,
}

/// What else misbehaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Upset {
    /// A gauge, radio or module moves or acts up when another load comes on.
    Moves,
    /// Lamps dim.
    Dims,
    /// All else is dead too.
    Dies,
}

/// What was done about a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Done {
    /// Another one was put in.
    Replaced,
    /// It was cleaned or tightened.
    Cleaned,
    /// It was pushed, pulled or tapped.
    Moved,
}

/// When a fault comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occasion {
    /// Only when it is wet.
    Wet,
    /// Only when it is hot.
    Hot,
    /// Only when it is cold.
    Cold,
    /// After bumps and vibration.
    Shaken,
    /// It comes and goes.
    ComesAndGoes,
}
