//! Sources and loads as they are drawn.

use model::{Importance, RegulatedKind, StateId, Vehicle};

use super::{DrawnLoad, DrawnSource};

pub(super) fn sources(vehicle: &Vehicle) -> Vec<DrawnSource> {
    let sources = vehicle.regulated.iter();
    sources
        .map(|own| DrawnSource {
            id: own.id.clone(),
            kind: match own.kind {
                RegulatedKind::Alternator => "alternator",
                RegulatedKind::Charger => "charger",
                RegulatedKind::Solar => "solar",
                RegulatedKind::Converter => "converter",
                RegulatedKind::Equaliser => "equaliser",
            },
            positive: vehicle.point(own.positive).id.clone(),
            negative: vehicle.point(own.negative).id.clone(),
            note: own.note.clone(),
        })
        .collect()
}

pub(super) fn loads(vehicle: &Vehicle, state: impl Fn(&StateId) -> String) -> Vec<DrawnLoad> {
    let loads = vehicle.loads.iter();
    loads
        .map(|own| DrawnLoad {
            id: own.id.clone(),
            name: own.name.clone(),
            kind: own.kind.word(),
            positive: vehicle.point(own.positive).id.clone(),
            negative: vehicle.point(own.negative).id.clone(),
            on: own.on.iter().map(&state).collect(),
            minimum_volts: own.minimum.map(|volts| volts.0),
            importance: match own.importance {
                Importance::Comfort => "comfort",
                Importance::Ordinary => "ordinary",
                Importance::Vital => "vital",
            },
            note: own.note.clone(),
        })
        .collect()
}
