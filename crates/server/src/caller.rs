//! Who asks, once the gate has seen the key.

use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use garage::{Device, DeviceId};

use crate::error::ApiError;
use crate::keys::Role;
use crate::slug::Slug;

/// Who asks.
#[derive(Debug, Clone)]
pub(crate) struct Caller {
    pub role: Role,
    /// A paired device; nothing for the desk.
    pub device: Option<Device>,
}

impl Caller {
    /// How the caller is named in the history.
    pub(crate) fn name(&self) -> &str {
        self.device.as_ref().map_or("desk", |own| own.name.as_str())
    }

    pub(crate) fn device_id(&self) -> Option<DeviceId> {
        self.device.as_ref().map(|own| own.id)
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Caller {
    type Rejection = ApiError;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, ApiError> {
        parts.extensions.get::<Self>().cloned().ok_or_else(no_key)
    }
}

/// The answer to somebody who sent no key.
pub(crate) fn no_key() -> ApiError {
    let expected = Some("`Authorization: Bearer KEY`; open the page by its link again");
    ApiError::new(Slug::NoKey, "the request has no key", expected)
}
