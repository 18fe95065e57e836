//! What keeps a side or a vehicle from being called cleared, in words that every answer uses.

use diagnosis::{Hold, Observation, beside};
use model::{ConductorId, Measured, Probe, Vehicle};
use serde::Serialize;
use units::{UnitSystem, Volts};
use utoipa::ToSchema;

use crate::measured_at::{self, MeasuredAt};
use crate::told::quantity::loss;
use crate::told::{Line, name, written};

/// A reason for which a side, or the vehicle, is not called cleared.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NotCleared {
    /// `above-taught-limit`, `take-again`, `unseen-way-home` or `only-seen`.
    pub why: &'static str,
    /// The side that it is about; null for all of them.
    pub side: Option<&'static str>,
    /// The reading that it is about; null where it is about none.
    pub reading: Option<u32>,
    /// The conductor that nobody has seen; null where it is about none.
    pub conductor: Option<String>,
    /// What would settle it, as a place to measure; null where a reading is to be taken again, or its stretch
    /// is to be measured piece by piece.
    pub measure: Option<MeasuredAt>,
    /// The reason and what would settle it, as a sentence part for people.
    pub words: String,
}

/// The same for programs.
#[must_use]
pub fn of(vehicle: &Vehicle, seen: &[Observation], hold: Hold) -> NotCleared {
    let own = NotCleared {
        why: "take-again",
        side: None,
        reading: None,
        conductor: None,
        measure: None,
        words: words(vehicle, seen, hold),
    };
    match hold {
        Hold::AboveTaught { number, side } => NotCleared {
            why: "above-taught-limit",
            side: side.map(diagnosis::Side::word),
            reading: Some(number),
            ..own
        },
        Hold::Doubted { number } => NotCleared { reading: Some(number), ..own },
        Hold::Unseen { conductor } => NotCleared {
            why: "unseen-way-home",
            side: Some(diagnosis::Side::Return.word()),
            conductor: Some(vehicle.conductor(conductor).id.clone()),
            measure: Some(measured_at::measured(vehicle, along(vehicle, conductor)).0),
            ..own
        },
        Hold::OnlySeen { side } => NotCleared { why: "only-seen", side: Some(side.word()), ..own },
    }
}

/// The reason and what would settle it, as a part of a sentence.
#[must_use]
pub fn said(vehicle: &Vehicle, seen: &[Observation], hold: Hold) -> Line {
    match hold {
        Hold::AboveTaught { number, .. } => {
            let own = seen.iter().find(|own| own.number == number);
            let limit = own.and_then(|own| Some((own, beside(vehicle, own)?)));
            let number = number.to_string();
            match limit {
                None => say!("reading {} is above what is taught for it", number),
                Some((own, limit)) => say!(
                    "reading {} shows {}, where {} is taught ({}); the same stretch piece by \
                     piece, in the same state, settles it",
                    number,
                    loss(Volts(own.value.abs())),
                    loss(limit.allowed),
                    limit.limit.rule_set.to_string()
                ),
            }
        }
        Hold::OnlySeen { .. } => {
            say!("only what was seen and tried speaks for it; a reading settles it")
        }
        Hold::Doubted { number } => say!("take reading {} again first", number.to_string()),
        Hold::Unseen { conductor } => {
            let [from, to] = ends(vehicle, conductor).map(|point| name(&vehicle.point(point).id));
            say!(
                "nobody has seen {}, a second way home: look whether it is there and bolted at \
                 both ends, or clamp it under load, or measure {} to {} under load",
                name(&vehicle.conductor(conductor).id),
                from,
                to
            )
        }
    }
}

/// The same as bare text.
#[must_use]
pub fn words(vehicle: &Vehicle, seen: &[Observation], hold: Hold) -> String {
    // Volts are written alike for everybody.
    written(&said(vehicle, seen, hold), UnitSystem::default())
}

fn ends(vehicle: &Vehicle, conductor: ConductorId) -> [model::PointId; 2] {
    let own = vehicle.conductor(conductor);
    [own.from, own.to].map(|joint| vehicle.joint(joint).point)
}

/// The voltage along a conductor.
fn along(vehicle: &Vehicle, conductor: ConductorId) -> Measured {
    let [high, low] = ends(vehicle, conductor).map(Probe::Point);
    Measured::Volts { high, low }
}
