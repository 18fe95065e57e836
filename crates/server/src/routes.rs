//! The routes, by what they are about.

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

use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

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
