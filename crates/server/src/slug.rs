//! The kinds of refusal, and the status that goes with each.

use axum::http::StatusCode;
use serde::Serialize;

macro_rules! slugs {
    ($($(#[$doc:meta])* $slug:ident $status:ident,)*) => {
        /// A kind of refusal, by a name that never changes.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub(crate) enum Slug {
            $($(#[$doc])* $slug,)*
        }

        impl Slug {
            /// The status of an answer that is refused so.
            pub(crate) const fn status(self) -> StatusCode {
                match self {
                    $(Self::$slug => StatusCode::$status,)*
                }
            }
        }
    };
}

slugs! {
    /// The request cannot be read.
    Malformed BAD_REQUEST,
    /// There is no such thing.
    NotFound NOT_FOUND,
    /// The body, or what was asked, is too large.
    TooLarge PAYLOAD_TOO_LARGE,
    /// Too many requests in a short time.
    TooMany TOO_MANY_REQUESTS,
    /// Something failed that no request can put right.
    Inside INTERNAL_SERVER_ERROR,
    /// The vehicle file has errors.
    Problems UNPROCESSABLE_ENTITY,
    /// The question has no answer as it was asked.
    Question UNPROCESSABLE_ENTITY,
    /// What is new bears an id that is taken.
    CidTaken CONFLICT,
    /// There is nothing to take back.
    NothingToUndo CONFLICT,
    /// There is nothing to do again.
    NothingToRedo CONFLICT,
    /// Somebody else has changed the same vehicle.
    Conflict CONFLICT,
    /// The workbench is not shared.
    NotShared CONFLICT,
    /// The request has no key.
    NoKey UNAUTHORIZED,
    /// The key is not known, or no longer.
    KeyRefused UNAUTHORIZED,
    /// The role of the key does not allow it.
    Role FORBIDDEN,
    /// The request comes from another page.
    Origin FORBIDDEN,
    /// The pairing code is not known, or no longer.
    PairingRefused FORBIDDEN,
    /// The request names another host.
    Host MISDIRECTED_REQUEST,
    /// The body is of another media type.
    MediaType UNSUPPORTED_MEDIA_TYPE,
    /// The request took too long.
    TooSlow REQUEST_TIMEOUT,
    /// As much is being worked on as may be.
    Busy SERVICE_UNAVAILABLE,
}
