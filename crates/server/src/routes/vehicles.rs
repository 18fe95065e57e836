//! Vehicles: listing, beginning, reading and changing them.

use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use garage::{Conflict, Saved, Stamp, VehicleId, VersionKind};
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::{IntoParams, ToSchema};

use super::Undo;
use crate::app::Shared;
use crate::body::{FILE, Json, short_enough};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::{ApiError, ErrorBody};
use crate::routes::history::VersionBody;
use crate::slug::Slug;
use crate::subject::understood;
use crate::template::Template;

answer! {
    /// Vehicles of the garage.
    VehicleList {
        /// The last changed one first.
        vehicles: Vec<ListedVehicle>,
    }
}

shown! {
    /// A vehicle in the list.
    ListedVehicle of garage::Listed as own {
        /// Its number.
        id: i64 = own.id.0,
        /// What it is called.
        name: String,
        /// The current revision.
        revision: i64,
        /// When its file was last changed.
        changed: String,
        /// Who changed it.
        by: String,
        /// Readings entered one by one that count.
        readings: i64,
        /// Files of readings that count.
        readings_files: i64,
        /// Entries of work that count.
        work: i64,
        /// Photographs that count.
        photos: i64,
        /// True when it was taken out of the list.
        removed: bool,
    }
}

shown! {
    /// A vehicle with its file.
    VehicleBody of garage::Vehicle as own {
        /// Its number.
        id: i64 = own.id.0,
        /// What it is called.
        name: String,
        /// The current revision.
        revision: i64 = own.current.revision,
        /// The file.
        text: String = own.current.text,
        /// When it was last changed.
        changed: String = own.current.stored,
        /// Who changed it.
        by: String = own.current.by,
        /// What was changed.
        what: String = own.current.what,
        /// True when there is an earlier text to go back to.
        can_undo: bool,
        /// True when something undone can be made again.
        can_redo: bool,
        /// True when it was taken out of the list.
        removed: bool,
    }
}

answer! {
    /// A vehicle after an act on it, and how to take that act back.
    ChangedVehicle {
        /// The vehicle now.
        vehicle: VehicleBody,
        /// The request that takes this act back.
        undo: Option<Undo>,
    }
}

answer! {
    /// One vehicle.
    OneVehicle {
        /// The vehicle.
        vehicle: VehicleBody,
    }
}

/// Somebody else changed the file first: nothing was stored.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct ConflictBody {
    #[serde(flatten)]
    error: ErrorBody,
    /// Both texts.
    conflict: BothTexts,
}

/// The texts of a conflict.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct BothTexts {
    /// The text on which the refused change was made; null when there is no such revision.
    base: Option<VersionBody>,
    /// The current text.
    theirs: VersionBody,
    /// The refused text; null when an undo or redo was refused.
    yours: Option<String>,
}

answer! {
    /// What a vehicle can begin with.
    LayoutList {
        /// Shapes to begin with.
        layouts: Vec<NamedTemplate>,
        /// Finished examples with readings.
        examples: Vec<NamedTemplate>,
    }
}

/// Something to begin with.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct NamedTemplate {
    /// Its name.
    name: String,
    /// What it is.
    what: String,
}

/// A vehicle to begin: one of `text`, `layout` and `example`.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewVehicle {
    /// A vehicle file.
    text: Option<String>,
    /// The name of a layout.
    layout: Option<String>,
    /// The name of an example.
    example: Option<String>,
    /// What to call it; the name in its file when left out.
    name: Option<String>,
    /// True to keep a text that has errors all the same; without it such a text is refused with them.
    #[serde(default)]
    even_unread: bool,
}

/// A changed file.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ChangedText {
    /// The file.
    text: String,
    /// The revision that was changed.
    revision: i64,
    /// What was changed, as a sentence.
    what: String,
    /// True to keep a text that has errors all the same; without it such a text is refused with them.
    #[serde(default)]
    even_unread: bool,
}

/// Which vehicles.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub(crate) struct Which {
    /// Those taken out of the list too.
    #[serde(default)]
    removed: bool,
}

/// The vehicles of the garage.
#[utoipa::path(get, path = "/api/vehicles", params(Which), responses((status = 200, body = VehicleList)))]
pub(crate) async fn list(
    State(app): State<Shared>,
    Query(which): Query<Which>,
) -> Result<axum::Json<VehicleList>, ApiError> {
    let listed = app.garage(move |garage| garage.vehicles(which.removed)).await?;
    let vehicles = listed.into_iter().map(ListedVehicle::from).collect();
    Ok(axum::Json(VehicleList::of(vehicles)))
}

/// What a vehicle can begin with.
#[utoipa::path(get, path = "/api/layouts", responses((status = 200, body = LayoutList)))]
pub(crate) async fn layouts(State(app): State<Shared>) -> axum::Json<LayoutList> {
    let named =
        |own: &Template| NamedTemplate { name: own.name.to_owned(), what: own.what.to_owned() };
    let all = |own: &[Template]| own.iter().map(named).collect();
    axum::Json(LayoutList::of(all(&app.layouts), all(&app.examples)))
}

/// What a vehicle begins with.
struct Beginning {
    text: String,
    readings: Option<&'static str>,
    what: String,
}

impl Beginning {
    fn of(app: &Shared, new: &NewVehicle) -> Result<Self, ApiError> {
        let (list, name, kind) = match (&new.text, &new.layout, &new.example) {
            (Some(text), None, None) => {
                let what = "file brought to the page".to_owned();
                return Ok(Self { text: text.clone(), readings: None, what });
            }
            (None, Some(name), None) => (&app.layouts, name, "layout"),
            (None, None, Some(name)) => (&app.examples, name, "example"),
            _ => {
                return Err(ApiError::malformed(
                    "it is not clear what the vehicle begins with",
                    "one of `text`, `layout` and `example`",
                ));
            }
        };
        let own = list.iter().find(|own| own.name == name);
        let own = own.ok_or_else(|| ApiError::not_found(kind))?;
        let begun = if kind == "layout" { "begun from the layout" } else { "example" };
        let what = format!("{begun} “{name}”");
        Ok(Self { text: own.text.to_owned(), readings: own.readings, what })
    }
}

/// Begin a vehicle.
#[utoipa::path(post, path = "/api/vehicles", request_body = NewVehicle, responses((status = 201, body = ChangedVehicle)))]
pub(crate) async fn create(
    State(app): State<Shared>,
    caller: Caller,
    Json(new): Json<NewVehicle, FILE>,
) -> Result<Response, ApiError> {
    let Beginning { text, readings, what } = Beginning::of(&app, &new)?;
    let named = name_in(&app, &text, new.even_unread).await?;
    let name = new.name.or(named).unwrap_or_else(|| "unnamed".to_owned());
    let by = caller.name().to_owned();
    let made = app
        .garage(move |garage| {
            let now = now();
            let stamp = Stamp { when: &now, by: &by };
            let made = garage.create(&name, None, &text, &what, stamp)?;
            if let Some(readings) = readings {
                garage.put_readings_file(
                    made.id,
                    "example-readings",
                    "readings.toml",
                    readings.as_bytes(),
                    stamp,
                )?;
            }
            Ok(made)
        })
        .await?;
    tell(&app, &made);
    let undo = Undo { method: "DELETE", path: format!("/api/vehicles/{}", made.id.0), body: None };
    let body = ChangedVehicle::of(made.into(), Some(undo));
    Ok((StatusCode::CREATED, axum::Json(body)).into_response())
}

/// A vehicle with its file.
#[utoipa::path(get, path = "/api/vehicles/{id}", responses((status = 200, body = OneVehicle)))]
pub(crate) async fn get(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<axum::Json<OneVehicle>, ApiError> {
    let vehicle = app.garage(move |garage| garage.vehicle(VehicleId(id))).await?;
    Ok(axum::Json(OneVehicle::of(vehicle.into())))
}

/// The vehicle file itself.
#[utoipa::path(get, path = "/api/vehicles/{id}/file", responses((status = 200, body = String)))]
pub(crate) async fn file(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<Response, ApiError> {
    let current = app.garage(move |garage| garage.current(VehicleId(id))).await?;
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], current.text).into_response())
}

/// Store a changed file.
#[utoipa::path(put, path = "/api/vehicles/{id}", request_body = ChangedText, responses((status = 200, body = ChangedVehicle), (status = 409, body = ConflictBody)))]
pub(crate) async fn put(
    State(app): State<Shared>,
    Path(id): Path<i64>,
    caller: Caller,
    Json(new): Json<ChangedText, FILE>,
) -> Result<Response, ApiError> {
    let name = name_in(&app, &new.text, new.even_unread).await?;
    let by = caller.name().to_owned();
    let (text, ChangedText { revision, what, .. }) = (new.text.clone(), new);
    let own = text.clone();
    let saved = app
        .garage(move |garage| {
            let now = now();
            let stamp = Stamp { when: &now, by: &by };
            let (id, kind) = (VehicleId(id), VersionKind::Edit);
            garage.save(id, revision, kind, name.as_deref(), &own, &what, stamp)
        })
        .await?;
    Ok(saved_answer(&app, saved, Some(text), "undo"))
}

/// Take a vehicle out of the list; nothing of it is deleted.
#[utoipa::path(delete, path = "/api/vehicles/{id}", responses((status = 200, body = ChangedVehicle)))]
pub(crate) async fn remove(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<axum::Json<ChangedVehicle>, ApiError> {
    set_removed(&app, id, true).await
}

/// Put a vehicle back into the list.
#[utoipa::path(post, path = "/api/vehicles/{id}/restore", responses((status = 200, body = ChangedVehicle)))]
pub(crate) async fn restore(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<axum::Json<ChangedVehicle>, ApiError> {
    set_removed(&app, id, false).await
}

async fn set_removed(
    app: &Shared,
    id: i64,
    removed: bool,
) -> Result<axum::Json<ChangedVehicle>, ApiError> {
    let vehicle = app.garage(move |garage| garage.set_removed(VehicleId(id), removed)).await?;
    tell(app, &vehicle);
    let path = format!("/api/vehicles/{id}");
    let undo = if removed {
        Undo::post(format!("{path}/restore"))
    } else {
        Undo { method: "DELETE", path, body: None }
    };
    Ok(axum::Json(ChangedVehicle::of(vehicle.into(), Some(undo))))
}

/// What became of a change, for the one who made it, and told to the others.
pub(crate) fn saved_answer(
    app: &Shared,
    saved: Saved,
    yours: Option<String>,
    back: &str,
) -> Response {
    match saved {
        Saved::Stored(vehicle) => {
            tell(app, &vehicle);
            let undo = Undo {
                method: "POST",
                path: format!("/api/vehicles/{}/{back}", vehicle.id.0),
                body: Some(json!({ "revision": vehicle.current.revision })),
            };
            axum::Json(ChangedVehicle::of((*vehicle).into(), Some(undo))).into_response()
        }
        Saved::Conflict(conflict) => {
            let Conflict { base, theirs } = *conflict;
            let what = format!("{} changed the file meanwhile", theirs.by);
            let expected = Some("a text made with both in view, put with their revision");
            let error = ApiError::new(Slug::Conflict, what, expected);
            let body = ConflictBody {
                error: ErrorBody { format: answers::FORMAT, error: *error.why },
                conflict: BothTexts { base: base.map(Into::into), theirs: theirs.into(), yours },
            };
            (StatusCode::CONFLICT, axum::Json(body)).into_response()
        }
    }
}

fn tell(app: &Shared, vehicle: &garage::Vehicle) {
    app.events.tell(
        "vehicle",
        &json!({
            "vehicle": vehicle.id.0,
            "revision": vehicle.current.revision,
            "what": vehicle.current.what,
            "by": vehicle.current.by,
            "removed": vehicle.removed,
        }),
    );
}

/// The name in a text that is to be kept; a text that has errors is refused with them, unless it is wanted all
/// the same, and has none.
async fn name_in(app: &Shared, text: &str, even_unread: bool) -> Result<Option<String>, ApiError> {
    short_enough(text)?;
    let understood = understood(app, text.to_owned()).await?;
    match understood.vehicle() {
        Ok(vehicle) => Ok(Some(vehicle.name.clone())),
        Err(_) if even_unread => Ok(None),
        Err(mut error) => {
            let expected = "a text without errors, or `even_unread` to keep it as it is";
            error.why.expected = Some(expected.to_owned());
            Err(error)
        }
    }
}
