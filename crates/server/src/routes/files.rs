//! Whole files of readings.

use axum::Json as Answer;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use garage::{ReadingsFile, Stamp, VehicleId};
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use super::{Undo, kept, was_new};
use crate::app::Shared;
use crate::body::{FILE, Json, cid, short_enough};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::ApiError;
use crate::measured::NumberedFile;

/// A file of readings.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = ReadingsFile)]
pub(crate) struct FileBody {
    /// The sender's id.
    cid: String,
    /// What it was called.
    name: String,
    /// Entries in it; zero while the vehicle file has an error.
    entries: u32,
    /// True when the vehicle was worked on since: they are kept, and not weighed.
    before_work: bool,
    /// When it arrived.
    stored: String,
    /// Who brought it.
    by: String,
    /// True when it was taken back.
    retracted: bool,
}

impl FileBody {
    pub(crate) fn of(own: &ReadingsFile, numbered: NumberedFile) -> Self {
        let NumberedFile { entries, before_work } = numbered;
        Self {
            before_work,
            cid: own.cid.clone(),
            name: own.name.clone(),
            entries,
            stored: own.stored.clone(),
            by: own.by.clone(),
            retracted: own.retracted,
        }
    }
}

/// A file to be kept.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewFile {
    /// What it is called; never used as a path.
    name: String,
    /// Its text.
    text: String,
}

answer! {
    /// A file after an act on it.
    ChangedFile {
        /// The id of the file.
        cid: String,
        /// True when it was taken back.
        retracted: bool,
        /// The request that takes this act back.
        undo: Option<Undo>,
    }
}

/// Keep a file of readings.
#[utoipa::path(put, path = "/api/vehicles/{id}/readings-files/{cid}", request_body = NewFile, responses((status = 200, body = ChangedFile), (status = 201, body = ChangedFile)))]
pub(crate) async fn put(
    State(app): State<Shared>,
    Path((id, own)): Path<(i64, String)>,
    caller: Caller,
    Json(new): Json<NewFile, FILE>,
) -> Result<Response, ApiError> {
    let own = cid(&own)?.to_owned();
    short_enough(&new.text)?;
    if new.name.len() > 200 {
        return Err(ApiError::malformed("the file's name is too long", "at most 200 bytes"));
    }
    let by = caller.name().to_owned();
    let put = app
        .garage(move |garage| {
            let now = now();
            let stamp = Stamp { when: &now, by: &by };
            garage.put_readings_file(VehicleId(id), &own, &new.name, new.text.as_bytes(), stamp)
        })
        .await?;
    let (new, own) = was_new(put);
    Ok(kept(new, changed(&app, id, own, true).await?))
}

async fn changed(
    app: &Shared,
    id: i64,
    own: ReadingsFile,
    _: bool,
) -> Result<ChangedFile, ApiError> {
    app.events.tell("reading-file", &json!({ "vehicle": id, "cid": own.cid }));
    let undo =
        Undo::turning(&format!("/api/vehicles/{id}/readings-files/{}", own.cid), own.retracted);
    Ok(ChangedFile::of(own.cid, own.retracted, Some(undo)))
}

/// A file of readings, byte for byte.
#[utoipa::path(get, path = "/api/vehicles/{id}/readings-files/{cid}", responses((status = 200, body = String)))]
pub(crate) async fn get(
    State(app): State<Shared>,
    Path((id, own)): Path<(i64, String)>,
) -> Result<Response, ApiError> {
    let found = app.garage(move |garage| garage.readings_file(VehicleId(id), &own)).await?;
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], found.bytes).into_response())
}

turned! {
    "/api/vehicles/{id}/readings-files/{cid}" set_readings_file_retracted ChangedFile;
    /// Take a file of readings back.
    retract;
    /// Let a file of readings count again.
    restore;
}
