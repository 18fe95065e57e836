//! Versions of a vehicle's file, undoing and redoing.

use axum::Json as Answer;
use axum::extract::{Path, State};
use axum::response::Response;
use garage::{Stamp, VehicleId, Version};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::vehicles::{ChangedVehicle, ConflictBody, saved_answer};
use crate::app::Shared;
use crate::body::{Json, SMALL};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::ApiError;

/// One version of a file.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = FileVersion)]
pub(crate) struct VersionBody {
    /// Counts from one.
    revision: i64,
    /// The file; null in lists.
    text: Option<String>,
    /// When it was stored.
    when: String,
    /// Who changed it.
    by: String,
    /// What was changed.
    what: String,
    /// `import`, `edit`, `undo` or `redo`.
    kind: &'static str,
}

impl From<Version> for VersionBody {
    fn from(own: Version) -> Self {
        Self {
            revision: own.revision,
            text: Some(own.text),
            when: own.stored,
            by: own.by,
            what: own.what,
            kind: own.kind.word(),
        }
    }
}

/// Every version.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct History {
    /// The number of the contract.
    format: u32,
    /// The latest first, without texts.
    versions: Vec<VersionBody>,
}

/// One version.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct OneVersion {
    /// The number of the contract.
    format: u32,
    /// With its text.
    version: VersionBody,
}

/// The revision that is to be undone or redone from.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct AtRevision {
    /// The current revision, as the page knows it.
    revision: i64,
}

/// Every version of a file.
#[utoipa::path(get, path = "/api/vehicles/{id}/history", responses((status = 200, body = History)))]
pub(crate) async fn list(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<Answer<History>, ApiError> {
    let versions = app.garage(move |garage| garage.history(VehicleId(id))).await?;
    let versions = versions.into_iter().map(|own| VersionBody { text: None, ..own.into() });
    Ok(Answer(History { format: answers::FORMAT, versions: versions.collect() }))
}

/// One version of a file.
#[utoipa::path(get, path = "/api/vehicles/{id}/history/{revision}", responses((status = 200, body = OneVersion)))]
pub(crate) async fn get(
    State(app): State<Shared>,
    Path((id, revision)): Path<(i64, i64)>,
) -> Result<Answer<OneVersion>, ApiError> {
    let version = app.garage(move |garage| garage.version(VehicleId(id), revision)).await?;
    Ok(Answer(OneVersion { format: answers::FORMAT, version: version.into() }))
}

/// Go back to the text before the last change.
#[utoipa::path(post, path = "/api/vehicles/{id}/undo", request_body = AtRevision, responses((status = 200, body = ChangedVehicle), (status = 409, body = ConflictBody)))]
pub(crate) async fn undo(
    State(app): State<Shared>,
    Path(id): Path<i64>,
    caller: Caller,
    Json(at): Json<AtRevision, SMALL>,
) -> Result<Response, ApiError> {
    let by = caller.name().to_owned();
    let saved = app
        .garage(move |garage| {
            garage.undo(VehicleId(id), at.revision, Stamp { when: &now(), by: &by })
        })
        .await?;
    Ok(saved_answer(&app, saved, None, "redo"))
}

/// Go again to the text that was undone.
#[utoipa::path(post, path = "/api/vehicles/{id}/redo", request_body = AtRevision, responses((status = 200, body = ChangedVehicle), (status = 409, body = ConflictBody)))]
pub(crate) async fn redo(
    State(app): State<Shared>,
    Path(id): Path<i64>,
    caller: Caller,
    Json(at): Json<AtRevision, SMALL>,
) -> Result<Response, ApiError> {
    let by = caller.name().to_owned();
    let saved = app
        .garage(move |garage| {
            garage.redo(VehicleId(id), at.revision, Stamp { when: &now(), by: &by })
        })
        .await?;
    Ok(saved_answer(&app, saved, None, "undo"))
}
