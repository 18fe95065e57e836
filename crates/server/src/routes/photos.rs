//! Photographs of joints and work.

use axum::Json as Answer;
use axum::extract::{Path, Query, Request, State};
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use garage::{NewPhoto, Stamp, VehicleId};
use serde::Deserialize;
use serde_json::json;
use utoipa::{IntoParams, ToSchema};

use super::{Undo, kept, was_new};
use crate::app::Shared;
use crate::body::{PHOTO, bytes, cid, media_type};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::ApiError;
use crate::image::{MediaType, sniff};
use crate::slug::Slug;

shown! {
    /// A photograph that is kept.
    Photo of garage::Photo as own {
        /// The sender's id.
        cid: String,
        /// What it shows, by its name in the vehicle file.
        on: Option<String>,
        /// The id of the work that it belongs to.
        work: Option<String>,
        /// `before` or `after` that work.
        side: Option<String>,
        /// A remark.
        caption: Option<String>,
        /// `image/jpeg`, `image/png` or `image/webp`.
        #[serde(rename = "type")]
        media_type: String,
        /// Its size.
        bytes: i64 = own.size,
        /// When it arrived.
        stored: String,
        /// Who brought it.
        by: String,
        /// True when it was taken back.
        retracted: bool,
    }
}

answer! {
    /// All photographs of a vehicle.
    PhotoList {
        /// In the order of arrival.
        photos: Vec<Photo>,
    }
}

answer! {
    /// A photograph after an act on it.
    ChangedPhoto {
        /// The photograph.
        photo: Photo,
        /// The request that takes this act back.
        undo: Option<Undo>,
    }
}

/// What a photograph shows.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub(crate) struct About {
    /// What it shows, by its name in the vehicle file.
    on: Option<String>,
    /// The id of the work that it belongs to.
    work: Option<String>,
    /// `before` or `after` that work.
    side: Option<Side>,
    /// A remark.
    caption: Option<String>,
}

/// Before or after the work.
#[derive(Debug, Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Side {
    /// Before it.
    Before,
    /// After it.
    After,
}

/// All photographs of a vehicle.
#[utoipa::path(get, path = "/api/vehicles/{id}/photos", responses((status = 200, body = PhotoList)))]
pub(crate) async fn list(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<Answer<PhotoList>, ApiError> {
    let photos = app.garage(move |garage| garage.photos(VehicleId(id))).await?;
    let photos = photos.into_iter().map(Photo::from).collect();
    Ok(Answer(PhotoList::of(photos)))
}

/// The picture.
#[utoipa::path(get, path = "/api/vehicles/{id}/photos/{cid}", responses((status = 200, body = Vec<u8>, content_type = "image/*")))]
pub(crate) async fn get(
    State(app): State<Shared>,
    Path((id, own)): Path<(i64, String)>,
) -> Result<Response, ApiError> {
    let (media_type, bytes) =
        app.garage(move |garage| garage.photo_bytes(VehicleId(id), &own)).await?;
    Ok(([(header::CONTENT_TYPE, media_type)], bytes).into_response())
}

/// The kind of a picture, which has to be the one that it is sent as.
fn kind_as_said(picture: &[u8], headers: &HeaderMap) -> Result<MediaType, ApiError> {
    let kind = sniff(picture).filter(|kind| media_type(headers) == Some(kind.name()));
    kind.ok_or_else(|| {
        let what = "the photograph is not what it is said to be";
        let expected = Some("a picture sent as image/jpeg, image/png or image/webp");
        ApiError::new(Slug::MediaType, what, expected)
    })
}

/// Keep a photograph. Sending it again changes nothing.
#[utoipa::path(put, path = "/api/vehicles/{id}/photos/{cid}", params(About), request_body(content = Vec<u8>, content_type = "image/*"), responses((status = 200, body = ChangedPhoto), (status = 201, body = ChangedPhoto)))]
pub(crate) async fn put(
    State(app): State<Shared>,
    Path((id, own)): Path<(i64, String)>,
    Query(about): Query<About>,
    caller: Caller,
    request: Request,
) -> Result<Response, ApiError> {
    let own = cid(&own)?.to_owned();
    let (parts, body) = request.into_parts();
    let picture = bytes(&parts.headers, body, PHOTO).await?;
    let kind = kind_as_said(&picture, &parts.headers)?;
    let by = caller.name().to_owned();
    let put = app
        .garage(move |garage| {
            let new = NewPhoto {
                cid: &own,
                on: about.on.as_deref(),
                work: about.work.as_deref(),
                side: about.side.map(|side| match side {
                    Side::Before => "before",
                    Side::After => "after",
                }),
                caption: about.caption.as_deref(),
                media_type: kind.name(),
                bytes: &picture,
            };
            garage.put_photo(VehicleId(id), new, Stamp { when: &now(), by: &by })
        })
        .await?;
    let (new, own) = was_new(put);
    Ok(kept(new, changed(&app, id, own, true).await?))
}

async fn changed(
    app: &Shared,
    id: i64,
    own: garage::Photo,
    _: bool,
) -> Result<ChangedPhoto, ApiError> {
    let photo = Photo::from(own);
    app.events.tell("photo", &json!({ "vehicle": id, "photo": photo }));
    let undo = Undo::turning(&format!("/api/vehicles/{id}/photos/{}", photo.cid), photo.retracted);
    Ok(ChangedPhoto::of(photo, Some(undo)))
}

turned! {
    "/api/vehicles/{id}/photos/{cid}" set_photo_retracted ChangedPhoto;
    /// Take a photograph back.
    retract;
    /// Show a photograph again.
    restore;
}
