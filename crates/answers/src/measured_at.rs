//! Where a reading was taken, as programs are told.

use model::{Measured, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

/// What was measured.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum MeasuredAt {
    /// Volts between two places.
    Volts {
        /// The red lead.
        red: String,
        /// The black lead.
        black: String,
    },
    /// Amperes by a clamp.
    Amps {
        /// The conductor.
        through: String,
        /// The point at its end towards which the current is counted, as the clamp's arrow points.
        towards: String,
    },
    /// Ohms between two places.
    Ohms {
        /// One lead.
        from: String,
        /// The other lead.
        to: String,
    },
    /// What a jump lead did.
    JumpLead {
        /// One end.
        from: String,
        /// The other end.
        to: String,
        /// The load that was watched.
        load: String,
    },
    /// What pushing on a joint did.
    Moved {
        /// The joint.
        joint: String,
    },
}

/// What was measured, and its unit.
pub(crate) fn measured(vehicle: &Vehicle, own: Measured) -> (MeasuredAt, Option<&'static str>) {
    let probe = |own| vehicle.probe_name(own);
    match own {
        Measured::Volts { high, low } => {
            (MeasuredAt::Volts { red: probe(high), black: probe(low) }, Some("V"))
        }
        Measured::Amps { conductor } => {
            let end = vehicle.conductor_ends(conductor).1;
            let (through, towards) =
                (vehicle.conductor(conductor).id.clone(), vehicle.point(end).id.clone());
            (MeasuredAt::Amps { through, towards }, Some("A"))
        }
        Measured::Ohms { from, to } => {
            (MeasuredAt::Ohms { from: probe(from), to: probe(to) }, Some("Ω"))
        }
        Measured::JumpLead { from, to, load } => (
            MeasuredAt::JumpLead {
                from: vehicle.point(from).id.clone(),
                to: vehicle.point(to).id.clone(),
                load: vehicle.load(load).id.clone(),
            },
            None,
        ),
        Measured::Moved { joint } => {
            (MeasuredAt::Moved { joint: vehicle.joint(joint).id.clone() }, None)
        }
    }
}
