//! Pairing devices, and taking their keys away.

use std::net::SocketAddr;

use axum::Json as Answer;
use axum::extract::{ConnectInfo, Path, State};
use axum::http::StatusCode;
use fast_qr::convert::{Builder, Shape, svg::SvgBuilder};
use fast_qr::qr::{QRBuilder, QRCode};
use garage::{DeviceId, NewDevice};
use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};
use serde_json::json;
use tokio::time::Instant;
use utoipa::ToSchema;

use crate::app::{App, Shared};
use crate::body::{Json, SMALL};
use crate::clock::{now, written};
use crate::error::ApiError;
use crate::keys::{Role, digest, new_code, new_key, new_spoken_code};
use crate::limits::Counted;
use crate::lock::locked;
use crate::pairing::VALID;
use crate::slug::Slug;

/// How long a device's key lasts when nobody says otherwise, and at most.
pub(crate) const USUAL_HOURS: u32 = 12;
const MOST_HOURS: u32 = 24 * 30;
/// The longest name of a device.
const LONGEST_NAME: usize = 60;

/// A code and who has it.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PairWith {
    /// The code, in its long form or as eight letters.
    code: String,
    /// What the device calls itself.
    name: String,
}

/// A key.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Paired {
    /// The number of the contract.
    format: u32,
    /// The key; it is not kept here and not told again.
    key: String,
    /// What it allows.
    role: Role,
    /// The device's number.
    device: i64,
    /// When the key ends.
    expires: String,
}

/// What a code shall give.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewPairing {
    /// `look`, `read` or `edit`.
    role: Role,
    /// How long the key lasts; 12 when left out, at most 720.
    hours: Option<u32>,
    /// The vehicle on which the device opens.
    vehicle: Option<i64>,
}

/// A code to be shown.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Pairing {
    /// The number of the contract.
    format: u32,
    /// Its number.
    id: u64,
    /// The address with the code, for a device without a camera.
    link: String,
    /// The address without the code.
    address: String,
    /// Eight letters to be typed there.
    spoken: String,
    /// The link as a QR code.
    qr_svg: String,
    /// When the code ends.
    expires: String,
}

answer! {
    /// All devices.
    DeviceList {
        /// The last paired one first.
        devices: Vec<DeviceBody>,
    }
}

shown! {
    /// A device that was paired.
    #[schema(as = PairedDevice)]
    DeviceBody of garage::Device as own {
        /// Its number.
        id: i64 = own.id.0,
        /// What it calls itself.
        name: String,
        /// What its key allows: `look`, `read` or `edit`.
        role: String,
        /// When it was paired.
        paired: String,
        /// When it was last heard of.
        seen: String,
        /// When its key ends.
        expires: String,
        /// True when its key was taken away.
        revoked: bool,
    }
}

fn usable(name: &str) -> Result<String, ApiError> {
    let name = name.trim();
    if name.is_empty() || name.len() > LONGEST_NAME || name.chars().any(char::is_control) {
        return Err(ApiError::malformed("the device has no usable name", "1 to 60 bytes of text"));
    }
    Ok(name.to_owned())
}

/// Exchange a code for a key. Needs no key.
#[utoipa::path(post, path = "/api/pair", request_body = PairWith, responses((status = 200, body = Paired)))]
pub(crate) async fn pair(
    State(app): State<Shared>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    Json(with): Json<PairWith, SMALL>,
) -> Result<Answer<Paired>, ApiError> {
    let started = Instant::now();
    let counted = locked(&app.limits).count(Counted::Pairing, from.ip(), started);
    counted.map_err(ApiError::too_many)?;
    let name = usable(&with.name)?;
    let taken = locked(&app.pairings).take(&with.code, started);
    let Some((role, hours)) = taken else {
        // Wrong, used and too old are not told apart: that would help somebody who guesses.
        let what = "the code is wrong, was used already, or is older than two minutes";
        let expected = Some("a new code, from “Let a phone in” at the desk, under Hand on");
        return Err(ApiError::new(Slug::PairingRefused, what, expected));
    };
    let key = new_key()?;
    let paired = Timestamp::now();
    let expires = written(paired + SignedDuration::from_hours(i64::from(hours)));
    let (key_digest, until, called) = (digest(&key), expires.clone(), name.clone());
    let id = app
        .garage(move |garage| {
            garage.add_device(NewDevice {
                name: &called,
                role: role.word(),
                key_digest: &key_digest,
                paired: &written(paired),
                expires: &until,
            })
        })
        .await?;
    let told = json!({ "id": id.0, "name": name, "role": role, "what": "paired" });
    app.events.tell_from(Role::Desk, "device", &told);
    Ok(Answer(Paired { format: answers::FORMAT, key, role, device: id.0, expires }))
}

/// Show a code with which a device can be paired.
#[utoipa::path(post, path = "/api/pairings", request_body = NewPairing, responses((status = 200, body = Pairing)))]
pub(crate) async fn open(
    State(app): State<Shared>,
    Json(new): Json<NewPairing, SMALL>,
) -> Result<Answer<Pairing>, ApiError> {
    let Some(address) = app.shared else {
        let what = "the program listens to this machine alone";
        let expected = Some("`groundloom open --share`");
        return Err(ApiError::new(Slug::NotShared, what, expected));
    };
    if new.role == Role::Desk {
        return Err(ApiError::malformed(
            "the role `desk` belongs to this machine",
            "`look`, `read` or `edit`",
        ));
    }
    let hours = new.hours.unwrap_or(USUAL_HOURS);
    if !(1..=MOST_HOURS).contains(&hours) {
        return Err(ApiError::malformed(
            format!("a key cannot last {hours} hours"),
            "1 to 720 hours",
        ));
    }
    let Opened { id, link, spoken, qr } = opened(&app, address, new.role, hours, new.vehicle)?;
    let valid = SignedDuration::from_secs(VALID.as_secs().cast_signed());
    Ok(Answer(Pairing {
        format: answers::FORMAT,
        id,
        address: format!("http://{address}/p"),
        qr_svg: SvgBuilder::default().shape(Shape::Square).to_str(&qr),
        link,
        spoken: format!("{} {}", &spoken[..4], &spoken[4..]),
        expires: written(Timestamp::now() + valid),
    }))
}

/// A code that waits for its device.
pub(crate) struct Opened {
    id: u64,
    pub link: String,
    pub spoken: String,
    pub qr: QRCode,
}

/// Opens a code and draws its link.
pub(crate) fn opened(
    app: &App,
    address: SocketAddr,
    role: Role,
    hours: u32,
    vehicle: Option<i64>,
) -> Result<Opened, ApiError> {
    let (code, spoken) = (new_code()?, new_spoken_code()?);
    let id = locked(&app.pairings).open(&code, &spoken, role, hours, Instant::now());
    let at = vehicle.map_or_else(String::new, |id| format!("&vehicle={id}"));
    let link = format!("http://{address}{}#pair={code}{at}", crate::pages::phone_path());
    let qr = QRBuilder::new(link.as_str()).build();
    let qr = qr.map_err(|error| ApiError::inside(format!("no QR code: {error:?}")))?;
    Ok(Opened { id, link, spoken, qr })
}

/// Close a code that was not used.
#[utoipa::path(delete, path = "/api/pairings/{id}", responses((status = 204)))]
pub(crate) async fn close(
    State(app): State<Shared>,
    Path(id): Path<u64>,
) -> Result<StatusCode, ApiError> {
    let closed = locked(&app.pairings).close(id);
    if closed { Ok(StatusCode::NO_CONTENT) } else { Err(ApiError::not_found("pairing")) }
}

/// All devices that were ever paired.
#[utoipa::path(get, path = "/api/devices", responses((status = 200, body = DeviceList)))]
pub(crate) async fn list(State(app): State<Shared>) -> Result<Answer<DeviceList>, ApiError> {
    let devices = app.garage(|garage| garage.devices()).await?;
    let devices = devices.into_iter().map(DeviceBody::from).collect();
    Ok(Answer(DeviceList::of(devices)))
}

/// Take a device's key away.
#[utoipa::path(delete, path = "/api/devices/{id}", responses((status = 204)))]
pub(crate) async fn revoke(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<StatusCode, ApiError> {
    app.garage(move |garage| garage.revoke_device(DeviceId(id))).await?;
    app.end_device(DeviceId(id));
    let told = json!({ "id": id, "what": "revoked", "when": now() });
    app.events.tell_from(Role::Desk, "device", &told);
    Ok(StatusCode::NO_CONTENT)
}
