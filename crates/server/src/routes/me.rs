//! Who asks, and what the server is.

use axum::Json;
use axum::extract::State;
use serde::Serialize;
use utoipa::ToSchema;

use crate::app::Shared;
use crate::caller::Caller;
use crate::clock::now;
use crate::keys::Role;

/// Who asks, and what the server is.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Me {
    /// The number of the contract.
    format: u32,
    /// What the key allows.
    role: Role,
    /// The device's name; null for the desk.
    device: Option<String>,
    /// The program.
    program: String,
    /// True when other devices can be paired.
    shared: bool,
    /// The addresses at which the page can be opened.
    addresses: Vec<String>,
    /// When the key ends; null for the desk.
    expires: Option<String>,
    /// The server's time.
    now: String,
}

/// Who asks, and what the server is.
#[utoipa::path(get, path = "/api/me", responses((status = 200, body = Me)))]
pub(crate) async fn me(State(app): State<Shared>, caller: Caller) -> Json<Me> {
    Json(Me {
        format: answers::FORMAT,
        role: caller.role,
        device: caller.device.as_ref().map(|own| own.name.clone()),
        program: app.program.clone(),
        shared: app.shared.is_some(),
        addresses: app.addresses.iter().map(|own| format!("http://{own}/")).collect(),
        expires: caller.device.map(|own| own.expires),
        now: now(),
    })
}
