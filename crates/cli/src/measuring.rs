//! Readings, suspects and probes as text.

use answers::told::{Told, measuring as words};
use diagnosis::{Proposal, SuspectKind};
use model::{Measured, Probe, Reading, Vehicle};

use crate::answer::Asked;
use crate::names::written;
use crate::render;

/// A probe as written in a readings file.
pub(crate) fn probe_name(vehicle: &Vehicle, probe: Probe) -> String {
    words::probe_name(vehicle, probe).to_owned()
}

/// What was or is to be measured.
pub(crate) fn measured(vehicle: &Vehicle, measured: Measured) -> String {
    written(&words::measured(vehicle, measured))
}

/// Where the leads or the clamp go for a reading that is proposed.
pub(crate) fn placed(vehicle: &Vehicle, own: &Proposal) -> String {
    written(&words::placed(vehicle, own))
}

/// A value in the unit of what was measured.
pub(crate) fn value(what: Measured, number: f64) -> String {
    written(&words::value(what, number).into())
}

/// A reading's value as it was told.
pub(crate) fn told(reading: &Reading) -> String {
    written(&words::told(reading))
}

/// A suspect in words.
pub(crate) fn suspect(vehicle: &Vehicle, kind: SuspectKind) -> String {
    written(&words::suspect(vehicle, kind))
}

/// A suspect by its name alone, where it is a joint.
pub(crate) fn short(vehicle: &Vehicle, kind: SuspectKind) -> String {
    written(&words::short(vehicle, kind))
}

/// The reading as a person would type it, its value left open.
pub(crate) fn line_to_type(vehicle: &Vehicle, own: &Proposal) -> String {
    written(&words::line_to_type(vehicle, own))
}

/// What concerns taking readings.
pub(crate) fn caution(text: &mut String, vehicle: &Vehicle, proposals: &[Proposal], asked: &Asked) {
    let mut told = Told::default();
    words::caution(&mut told, vehicle, proposals);
    text.push_str(&render::text(&told, asked));
}
