//! What may be at fault, as programs are told.

use diagnosis::SuspectKind;
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

/// What may be at fault.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct SuspectName {
    /// `joint`, `conductor`, `open`, `inline`, `load-drags`, `load-open`, `battery-low`,
    /// `battery-worn`, `source-low` or `extra-path`.
    pub kind: &'static str,
    /// Its name; missing for an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub id: Option<String>,
    /// One end of an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub from: Option<String>,
    /// The other end of an extra path.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub to: Option<String>,
}

/// A suspect by its kind and name.
#[must_use]
pub(crate) fn suspect_name(vehicle: &Vehicle, kind: SuspectKind) -> SuspectName {
    let (kind, id) = match kind {
        SuspectKind::Joint(id) => ("joint", &vehicle.joint(id).id),
        SuspectKind::Conductor(id) => ("conductor", &vehicle.conductor(id).id),
        SuspectKind::Open(id) => ("open", &vehicle.conductor(id).id),
        SuspectKind::Inline(id) => ("inline", &vehicle.inline(id).id),
        SuspectKind::LoadDrags(id) => ("load-drags", &vehicle.load(id).id),
        SuspectKind::LoadOpen(id) => ("load-open", &vehicle.load(id).id),
        SuspectKind::BatteryLow(id) => ("battery-low", &vehicle.battery(id).id),
        SuspectKind::BatteryWorn(id) => ("battery-worn", &vehicle.battery(id).id),
        SuspectKind::SourceLow(id) => ("source-low", &vehicle.regulated_source(id).id),
        SuspectKind::ExtraPath { from, to } => {
            let [from, to] = [from, to].map(|end| Some(vehicle.point(end).id.clone()));
            return SuspectName { kind: "extra-path", id: None, from, to };
        }
    };
    SuspectName { kind, id: Some(id.clone()), from: None, to: None }
}
