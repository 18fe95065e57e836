//! What every request passes before a route sees it, in this order: Host, Origin, key, rate, role.

use std::net::{IpAddr, SocketAddr};

use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, Uri, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use garage::{Device, Garage, GarageError};
use tokio::time::Instant;

use crate::app::{App, Shared};
use crate::caller::{Caller, no_key};
use crate::clock::now;
use crate::error::ApiError;
use crate::host::{Host, Name, parse};
use crate::keys::{Role, digest};
use crate::limits::Counted;
use crate::lock::locked;
use crate::slug::Slug;

/// Host and Origin, for every request, pages too.
pub(crate) async fn origin(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let safe = matches!(*request.method(), Method::GET | Method::HEAD);
    let checked = host(&app, request.headers(), request.uri())
        .and_then(|host| same_origin(request.headers(), &host, safe));
    let data = request.uri().path().starts_with("/api/");
    let mut response = match checked {
        Ok(()) => next.run(request).await,
        Err(error) => error.into_response(),
    };
    headers(response.headers_mut(), data);
    response
}

/// The key and the rate, for every request of the interface but pairing.
pub(crate) async fn key(
    State(app): State<Shared>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    mut request: Request,
    next: Next,
) -> Response {
    match caller(&app, from.ip(), request.headers()).await {
        Ok(caller) => {
            request.extensions_mut().insert(caller);
            next.run(request).await
        }
        Err(error) => error.into_response(),
    }
}

/// Refuses callers below a role.
pub(crate) async fn role(State(least): State<Role>, request: Request, next: Next) -> Response {
    match request.extensions().get::<Caller>() {
        Some(caller) if caller.role >= least => next.run(request).await,
        Some(caller) => {
            let what = format!("a key that may `{}` does not allow this", caller.role.word());
            let expected = format!("a key that may `{}`", least.word());
            ApiError::new(Slug::Role, what, Some(&expected)).into_response()
        }
        None => no_key().into_response(),
    }
}

/// The host of the request, when it is one of ours.
fn host(app: &App, headers: &HeaderMap, uri: &Uri) -> Result<Host, ApiError> {
    let mut all = headers.get_all(header::HOST).iter();
    let only = match (all.next(), all.next()) {
        (Some(only), None) => only.to_str().ok().and_then(|text| parse(text).ok()),
        _ => None,
    };
    let host = only.filter(|host| ours(app, host));
    // A whole address in the request line counts as much as the header.
    let same =
        |host: &Host| uri.authority().is_none_or(|own| parse(own.as_str()).as_ref() == Ok(host));
    host.filter(same).ok_or_else(|| {
        let what = "the request is for another host";
        let expected = Some("the address that `groundloom open` shows");
        ApiError::new(Slug::Host, what, expected)
    })
}

fn ours(app: &App, host: &Host) -> bool {
    let loopback = match &host.name {
        Name::Name(name) => name == "localhost",
        Name::Address(address) => address.is_loopback(),
    };
    app.addresses
        .iter()
        .any(|own| own.port() == host.port && (loopback || host.name == Name::Address(own.ip())))
}

/// Any Origin must be our own, and what changes something must have one.
///
/// `Sec-Fetch-Site` is believed where it is sent; browsers leave it out towards plain addresses of
/// the local network.
fn same_origin(headers: &HeaderMap, host: &Host, safe: bool) -> Result<(), ApiError> {
    let refused = |what: &str| {
        let expected = Some("a request from the page of this program");
        Err(ApiError::new(Slug::Origin, what, expected))
    };
    let mut all = headers.get_all(header::ORIGIN).iter();
    match (all.next(), all.next()) {
        (None, _) if safe => {}
        (None, _) => return refused("the request says of no page that it comes from it"),
        (Some(only), None) => {
            let own = only.to_str().ok().and_then(|text| Host::of_origin(text).ok());
            if own.as_ref() != Some(host) {
                return refused("the request comes from another page");
            }
        }
        (Some(_), Some(_)) => return refused("the request names two pages"),
    }
    match headers.get("sec-fetch-site").map(HeaderValue::as_bytes) {
        None | Some(b"same-origin" | b"none") => Ok(()),
        Some(_) => refused("the request comes from another page"),
    }
}

async fn caller(app: &Shared, from: IpAddr, headers: &HeaderMap) -> Result<Caller, ApiError> {
    let started = Instant::now();
    if !from.is_loopback() {
        let counted = locked(&app.limits).count(Counted::Request, from, started);
        counted.map_err(ApiError::too_many)?;
    }
    let key = headers
        .get(header::AUTHORIZATION)
        .and_then(|own| own.to_str().ok())
        .and_then(|own| own.strip_prefix("Bearer "))
        .ok_or_else(no_key)?;
    let digest = digest(key);
    // The desk is this machine; its key is worth nothing elsewhere. It comes before the limit, so that
    // no forgotten page with an old key locks the desk out.
    if digest == app.desk && from.is_loopback() {
        return Ok(Caller { role: Role::Desk, device: None });
    }
    let wrong = locked(&app.limits).check(Counted::WrongKey, from, started);
    wrong.map_err(ApiError::too_many)?;
    match app.garage(move |garage| device_let_in(garage, &digest)).await? {
        Some(device) => {
            let role = Role::of_device(&device.role);
            Ok(Caller { role, device: Some(device) })
        }
        None => {
            let _ = locked(&app.limits).count(Counted::WrongKey, from, started);
            let what = "the key is wrong, or its time is over, or it was taken away";
            let expected = Some("a new pairing, from “Let a phone in” at the desk, under Hand on");
            Err(ApiError::new(Slug::KeyRefused, what, expected))
        }
    }
}

/// The device with a key that still counts, noted as seen.
fn device_let_in(garage: &mut Garage, digest: &[u8; 32]) -> Result<Option<Device>, GarageError> {
    let now = now();
    let device = garage.device_with_key(digest)?;
    let over = device.as_ref().is_some_and(|own| own.expires.as_str() <= now.as_str());
    if over {
        garage.end_keys(&now)?;
    }
    let device = device.filter(|own| !own.revoked && !over);
    // To the minute is near enough, and saves a write for each request.
    if let Some(own) = device.as_ref().filter(|own| own.seen.get(..16) < now.get(..16)) {
        garage.device_seen(own.id, &now)?;
    }
    Ok(device)
}

/// What every answer carries besides its content.
fn headers(headers: &mut HeaderMap, data: bool) {
    let mut set = |name: &'static str, value: &'static str| {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    };
    set("content-security-policy", crate::pages::POLICY);
    set("x-content-type-options", "nosniff");
    set("referrer-policy", "no-referrer");
    set("cross-origin-opener-policy", "same-origin");
    set("cross-origin-resource-policy", "same-origin");
    set("permissions-policy", "camera=(), microphone=(), geolocation=(), payment=(), usb=()");
    if data {
        set("cache-control", "no-store");
    }
}
