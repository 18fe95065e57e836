//! Versions of a vehicle's file, undoing and redoing.

use axum::Json as Answer;
use axum::extract::{Path, State};
use axum::response::Response;
use garage::{Garage, GarageError, Saved, Stamp, VehicleId, Version};
use serde::Deserialize;
use utoipa::ToSchema;

use super::vehicles::{ChangedVehicle, ConflictBody, saved_answer};
use crate::app::Shared;
use crate::body::{Json, SMALL};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::ApiError;

shown! {
    /// One version of a file.
    #[schema(as = FileVersion)]
    VersionBody of Version as own {
        /// Counts from one.
        revision: i64,
        /// The file; null in lists.
        text: Option<String> = Some(own.text),
        /// When it was stored.
        when: String = own.stored,
        /// Who changed it.
        by: String,
        /// What was changed.
        what: String,
        /// `import`, `edit`, `undo` or `redo`.
        kind: &'static str = own.kind.word(),
    }
}

answer! {
    /// Every version.
    History {
        /// The latest first, without texts.
        versions: Vec<VersionBody>,
    }
}

answer! {
    /// One version.
    OneVersion {
        /// With its text.
        version: VersionBody,
    }
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
    Ok(Answer(History::of(versions.collect())))
}

/// One version of a file.
#[utoipa::path(get, path = "/api/vehicles/{id}/history/{revision}", responses((status = 200, body = OneVersion)))]
pub(crate) async fn get(
    State(app): State<Shared>,
    Path((id, revision)): Path<(i64, i64)>,
) -> Result<Answer<OneVersion>, ApiError> {
    let version = app.garage(move |garage| garage.version(VehicleId(id), revision)).await?;
    Ok(Answer(OneVersion::of(version.into())))
}

/// Go back to the text before the last change.
#[utoipa::path(post, path = "/api/vehicles/{id}/undo", request_body = AtRevision, responses((status = 200, body = ChangedVehicle), (status = 409, body = ConflictBody)))]
pub(crate) async fn undo(
    State(app): State<Shared>,
    Path(id): Path<i64>,
    caller: Caller,
    Json(at): Json<AtRevision, SMALL>,
) -> Result<Response, ApiError> {
    gone(&app, id, &caller, at, Garage::undo, "redo").await
}

/// Go again to the text that was undone.
#[utoipa::path(post, path = "/api/vehicles/{id}/redo", request_body = AtRevision, responses((status = 200, body = ChangedVehicle), (status = 409, body = ConflictBody)))]
pub(crate) async fn redo(
    State(app): State<Shared>,
    Path(id): Path<i64>,
    caller: Caller,
    Json(at): Json<AtRevision, SMALL>,
) -> Result<Response, ApiError> {
    gone(&app, id, &caller, at, Garage::redo, "undo").await
}

/// What became of a step to and fro among the texts.
async fn gone(
    app: &Shared,
    id: i64,
    caller: &Caller,
    at: AtRevision,
    go: fn(&mut Garage, VehicleId, i64, Stamp<'_>) -> Result<Saved, GarageError>,
    back: &str,
) -> Result<Response, ApiError> {
    let by = caller.name().to_owned();
    let stepped = move |garage: &mut Garage| {
        go(garage, VehicleId(id), at.revision, Stamp { when: &now(), by: &by })
    };
    let saved = app.garage(stepped).await?;
    Ok(saved_answer(app, saved, None, back))
}
