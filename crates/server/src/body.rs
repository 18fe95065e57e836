//! Reading bodies: JSON and pictures, each up to a size.

use axum::body::{Body, to_bytes};
use axum::extract::{FromRequest, Request};
use axum::http::{HeaderMap, header};
use serde::de::DeserializeOwned;

use crate::caller::Caller;
use crate::error::ApiError;
use crate::keys::Role;
use crate::slug::Slug;

/// A reading, a note of work, a code: little text.
pub(crate) const SMALL: usize = 4 << 10;
/// A vehicle file, which is at most [`LARGEST_TEXT`] long, as a JSON text, which may be longer.
pub(crate) const FILE: usize = 6 << 20;
/// The longest vehicle or readings file.
pub(crate) const LARGEST_TEXT: usize = 2 << 20;
/// The largest body in JSON of somebody who may change no vehicle file.
const OF_A_READER: usize = 1 << 20;
/// A photograph.
pub(crate) const PHOTO: usize = 12 << 20;

/// A body in JSON of at most so many bytes.
#[derive(Debug)]
pub(crate) struct Json<T, const MOST: usize>(pub T);

impl<S: Send + Sync, T: DeserializeOwned, const MOST: usize> FromRequest<S> for Json<T, MOST> {
    type Rejection = ApiError;

    async fn from_request(request: Request, _: &S) -> Result<Self, ApiError> {
        let (parts, body) = request.into_parts();
        if media_type(&parts.headers) != Some("application/json") {
            let expected = Some("`Content-Type: application/json`");
            let what = "the body is not said to be JSON";
            return Err(ApiError::new(Slug::MediaType, what, expected));
        }
        let reader = parts.extensions.get::<Caller>().is_some_and(|own| own.role < Role::Edit);
        let most = if reader { MOST.min(OF_A_READER) } else { MOST };
        let bytes = bytes(&parts.headers, body, most).await?;
        let value = serde_json::from_slice(&bytes).map_err(|error| {
            ApiError::malformed(format!("the body cannot be read: {error}"), "the documented JSON")
        })?;
        Ok(Self(value))
    }
}

/// The bytes of a body of at most so many.
pub(crate) async fn bytes(
    headers: &HeaderMap,
    body: Body,
    most: usize,
) -> Result<Vec<u8>, ApiError> {
    let too_large = || ApiError::too_large("request", &format!("at most {most} bytes"));
    let said = headers.get(header::CONTENT_LENGTH).and_then(|own| own.to_str().ok()?.parse().ok());
    if said.is_some_and(|said: u64| said > most as u64) {
        return Err(too_large());
    }
    match to_bytes(body, most).await {
        Ok(bytes) => Ok(bytes.into()),
        Err(_) => Err(too_large()),
    }
}

/// The media type without its parameters.
pub(crate) fn media_type(headers: &HeaderMap) -> Option<&str> {
    let whole = headers.get(header::CONTENT_TYPE)?.to_str().ok()?;
    Some(whole.split(';').next().unwrap_or(whole).trim())
}

/// An id that a client made: 8 to 64 letters, digits and hyphens.
pub(crate) fn cid(text: &str) -> Result<&str, ApiError> {
    let well = (8..=64).contains(&text.len())
        && text.bytes().all(|own| own.is_ascii_alphanumeric() || own == b'-');
    if well {
        Ok(text)
    } else {
        Err(ApiError::malformed("the id cannot be used", "8 to 64 letters, digits and hyphens"))
    }
}

/// A file's text that is not too long.
pub(crate) fn short_enough(text: &str) -> Result<(), ApiError> {
    if text.len() <= LARGEST_TEXT {
        Ok(())
    } else {
        Err(ApiError::too_large("file", "at most 2 MiB of text"))
    }
}
