//! What is kept of studs, plugs and split relays until the whole file is known.

use std::ops::Range;

use catalogue::{Known, PlugLayout, PropertyClass, Thread};
use model::PointId;
use units::Volts;

/// What a stud's foot says of its thread, for the eyes that say nothing.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stud {
    pub point: PointId,
    pub thread: Option<Known<Thread>>,
    pub class: Option<Known<PropertyClass>>,
}

/// A plug of which at least one pin is used.
#[derive(Debug, Clone)]
pub(crate) struct Plug {
    pub name: String,
    pub layout: Option<Known<PlugLayout>>,
    pub pins: Vec<MatedPin>,
}

/// One pin, with the points on its two sides.
#[derive(Debug, Clone)]
pub(crate) struct MatedPin {
    pub pin: String,
    pub socket: PointId,
    pub plug: PointId,
}

/// What decides when a split relay closes.
#[derive(Debug, Clone)]
pub(crate) struct Sensing {
    pub name: String,
    /// Points of which one is enough.
    pub sides: Vec<PointId>,
    pub closes: Volts,
    pub opens: Volts,
    pub place: Range<usize>,
}
