//! The routes, by what they are about.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use garage::Put;
use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

/// States the body of an answer, which begins with the number of the contract.
macro_rules! answer {
    ($(#[$meta:meta])* $name:ident { $($(#[$of_field:meta])* $field:ident: $type:ty,)* }) => {
        #[derive(Debug, serde::Serialize, utoipa::ToSchema)]
        $(#[$meta])*
        pub(crate) struct $name {
            /// The number of the contract.
            format: u32,
            $($(#[$of_field])* pub(crate) $field: $type,)*
        }

        impl $name {
            pub(crate) fn of($($field: $type),*) -> Self {
                Self { format: answers::FORMAT, $($field),* }
            }
        }
    };
}

/// States how something that is kept is shown: each field once, with what it shows where that is not the field of
/// the same name.
macro_rules! shown {
    ($(#[$meta:meta])* $name:ident of $stored:ty as $own:ident {
        $($(#[$of_field:meta])* $field:ident: $type:ty $(= $value:expr)?,)*
    }) => {
        #[derive(Debug, Clone, serde::Serialize, utoipa::ToSchema)]
        $(#[$meta])*
        pub(crate) struct $name {
            $($(#[$of_field])* $field: $type,)*
        }

        impl From<$stored> for $name {
            fn from($own: $stored) -> Self {
                Self { $($field: shown!(@value $own $field $($value)?),)* }
            }
        }
    };
    (@value $own:ident $field:ident) => { $own.$field };
    (@value $own:ident $field:ident $value:expr) => { $value };
}

/// States the two routes that take something back and let it stand again: where it is, how it is changed in the
/// garage, and what the answer is, which a function `changed` of the same module makes.
macro_rules! turned {
    (
        $path:literal $set:ident $changed:ident;
        $(#[$of_retract:meta])* retract;
        $(#[$of_restore:meta])* restore;
    ) => {
        $(#[$of_retract])*
        #[utoipa::path(post, path = concat!($path, "/retract"), responses((status = 200, body = $changed)))]
        pub(crate) async fn retract(
            State(app): State<Shared>,
            Path((id, own)): Path<(i64, String)>,
        ) -> Result<Answer<$changed>, ApiError> {
            set_retracted(&app, id, own, true).await
        }

        $(#[$of_restore])*
        #[utoipa::path(post, path = concat!($path, "/restore"), responses((status = 200, body = $changed)))]
        pub(crate) async fn restore(
            State(app): State<Shared>,
            Path((id, own)): Path<(i64, String)>,
        ) -> Result<Answer<$changed>, ApiError> {
            set_retracted(&app, id, own, false).await
        }

        async fn set_retracted(
            app: &Shared,
            id: i64,
            own: String,
            retracted: bool,
        ) -> Result<Answer<$changed>, ApiError> {
            let act = move |garage: &mut garage::Garage| garage.$set(VehicleId(id), &own, retracted);
            let own = app.garage(act).await?;
            Ok(Answer(changed(app, id, own, true).await?))
        }
    };
}

pub(crate) mod me;
pub(crate) mod vehicles;
pub(crate) mod history;
pub(crate) mod readings;
pub(crate) mod files;
pub(crate) mod work;
pub(crate) mod photos;
pub(crate) mod results;
pub(crate) mod questions;
mod services;
pub(crate) mod jobs;
pub(crate) mod devices;
pub(crate) mod stream;
pub(crate) mod report;

/// The request that takes an act back.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub(crate) struct Undo {
    /// `POST` or `DELETE`.
    pub method: &'static str,
    /// Its path.
    pub path: String,
    /// Its body, if it has one.
    pub body: Option<Value>,
}

impl Undo {
    pub(crate) fn post(path: String) -> Self {
        Self { method: "POST", path, body: Some(Value::Object(serde_json::Map::new())) }
    }

    /// Of something that can be retracted and restored: what turns it round, `path` being its own.
    pub(crate) fn turning(path: &str, retracted: bool) -> Self {
        Self::post(format!("{path}/{}", if retracted { "restore" } else { "retract" }))
    }
}

/// The answer to what was sent under an id: the status says whether it was new.
pub(crate) fn kept<A: Serialize>(new: bool, answer: A) -> Response {
    let status = if new { StatusCode::CREATED } else { StatusCode::OK };
    (status, axum::Json(answer)).into_response()
}

/// Whether something was new, and it.
pub(crate) fn was_new<T>(put: Put<T>) -> (bool, T) {
    (matches!(put, Put::New(_)), put.into_inner())
}
