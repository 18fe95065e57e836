//! The report: one page that opens anywhere, with the answers of this moment in it.

use std::collections::BTreeSet;
use std::sync::Arc;

use answers::heat::{self, Heat, WarmJoint};
use answers::room::shape_of;
use answers::{bolt, budget};
use axum::Json as Answer;
use axum::extract::{Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use garage::{Garage, VehicleId};
use model::Vehicle;
use serde::Deserialize;
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use utoipa::IntoParams;

use super::questions::{Question, small_enough};
use super::{readings, work};
use crate::app::{App, Shared, now};
use crate::asking::{Stop, Turn, gone};
use crate::error::ApiError;
use crate::gate::Caller;
use crate::subject::{Asked, Subject};

/// Readings of the plan, and repairs.
const PLANNED: usize = 12;
const REPAIRS: usize = 8;
/// What the card of a conductor or joint shows of its heat; more would be ballast.
const HEAT_SHOWN: [&str; 15] = [
    "name",
    "bears_amps",
    "duty_share",
    "surroundings",
    "on_metal",
    "bundle",
    "air_kelvin",
    "at_end_kelvin",
    "settled_kelvin",
    "limit_kelvin",
    "limit_after_seconds",
    "watts",
    "reaches_kelvin",
    "softens_kelvin",
    "contact",
];
/// What job sheets do not show of the sheet of a joint.
const NOT_ON_A_JOB: [&str; 12] = [
    "basis",
    "notes",
    "long_form",
    "nut_factor",
    "proof_share",
    "margin",
    "under_head_pascals",
    "over_pad_pascals",
    "sound_ohms",
    "clean_ohms",
    "zinc_years",
    "on_torque_later",
];
/// Where the empty report takes its content.
const PLACE: &str = "id=\"groundloom-report\">null<";

/// What goes into a report.
#[derive(Debug, Clone, Copy, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(default, deny_unknown_fields)]
pub struct ReportParts {
    /// Remarks and people's names too.
    pub notes: bool,
    /// Photographs too.
    pub photos: bool,
    /// The vehicle file too.
    pub file: bool,
}

impl Default for ReportParts {
    fn default() -> Self {
        Self { notes: false, photos: true, file: false }
    }
}

/// A report on the vehicle as it is now, as one HTML file.
#[utoipa::path(get, path = "/api/vehicles/{id}/report", params(ReportParts), responses((status = 200, content_type = "text/html", body = String)))]
pub(crate) async fn report(
    State(app): State<Shared>,
    Path(id): Path<i64>,
    caller: Caller,
    Query(wanted): Query<ReportParts>,
) -> Result<Response, ApiError> {
    let turn = app.turn(&caller).await?;
    let filled = page_of(&app, &turn, id, wanted).await?;
    let said = [
        (header::CONTENT_TYPE, "text/html; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"report.html\""),
    ];
    Ok((said, filled).into_response())
}

/// The report on a vehicle of a garage that nobody serves, for the command line.
///
/// # Errors
///
/// A sentence part that says why there is none: the program was built without the page, the file has
/// an error, the system refuses threads.
pub fn report_of(
    garage: Garage,
    vehicle: VehicleId,
    program: &str,
    parts: ReportParts,
) -> Result<String, String> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    let runtime = runtime.map_err(|error| error.to_string())?;
    let app: Shared = Arc::new(App::alone(garage, program.to_owned()));
    runtime.block_on(page_of(&app, &Turn::own(), vehicle.0, parts)).map_err(|error| error.why.what)
}

async fn page_of(
    app: &Shared,
    turn: &Turn,
    id: i64,
    wanted: ReportParts,
) -> Result<String, ApiError> {
    let Some(page) = web::file("export.html") else {
        return Err(ApiError::without_page());
    };
    let asked = Asked { vehicle: Some(id), ..Asked::default() };
    let subject = Subject::of(app, &asked, true).await?;
    small_enough(turn, Question::Repairs, &subject)?;
    let (text, vehicle) =
        (subject.file.text.clone(), app.garage(move |own| own.vehicle(VehicleId(id))).await?);
    let (answers, (own_work, own_proofs)) = app
        .compute_for(turn, move |stop| {
            let own = work::of_the_file(subject.file.vehicle()?, subject.measured());
            Ok::<_, ApiError>((answers_of(&subject, stop)?, own))
        })
        .await??;
    let Answer(taken) = readings::list(State(app.clone()), Path(id)).await?;
    let Answer(done) = work::list(State(app.clone()), Path(id)).await?;
    let photos = if wanted.photos { photos(app, id).await? } else { Vec::new() };
    let mut blob = json!({
        "format": answers::FORMAT,
        "made": {
            "program": app.program.split(' ').next().unwrap_or_default(),
            "version": app.program.split(' ').nth(1).unwrap_or_default(),
            "when": now(),
            "file": vehicle.origin.as_deref().and_then(file_name),
            "revision": vehicle.current.revision,
            "sha256": hexadecimal(&Sha256::digest(text.as_bytes())),
        },
        "notes": if wanted.notes { "included" } else { "left out" },
        "answers": answers,
        "readings": taken.kept(),
        "work": own_work.iter().chain(done.kept()).collect::<Vec<_>>(),
        "proofs": own_proofs.into_iter().chain(work::proofs(app, id).await?.proofs).collect::<Vec<_>>(),
        "photos": photos,
        "text": wanted.file.then_some(text),
    });
    if !wanted.notes {
        without_notes(&mut blob);
    }
    let page = String::from_utf8_lossy(page.bytes);
    filled(&page, &blob)
        .ok_or_else(|| ApiError::inside("the empty report has no place for its content"))
}

/// Every answer that a report carries.
fn answers_of(subject: &Subject, stop: &Stop) -> Result<Value, ApiError> {
    let vehicle = subject.file.vehicle()?;
    let ask = |question: Question, asked: &Asked| -> Result<Value, ApiError> {
        let bytes = question.answer(asked, subject, &mut |_| !stop.is_set())?.ok_or_else(gone)?;
        serde_json::from_slice(&bytes).map_err(|error| ApiError::inside(error.to_string()))
    };
    let plain = Asked::default();
    let mut all = Map::new();
    for question in [
        Question::Check,
        Question::Picture,
        Question::Solve,
        Question::Routes,
        Question::Offsets,
        Question::Next,
        Question::Failures,
    ] {
        if stop.is_set() {
            return Err(gone());
        }
        // What cannot be answered, such as offsets of very many loads, is left out.
        if let Ok(answer) = ask(question, &plain) {
            all.insert(question.name().to_owned(), answer);
        }
    }
    // Without readings there is nothing to say of them.
    if subject.taken()?.last() > 0 {
        all.insert("diagnose".to_owned(), ask(Question::Diagnose, &plain)?);
    }
    let mut budgets = Map::new();
    for load in vehicle.loads.iter().filter(|own| !own.on.is_empty()) {
        if stop.is_set() {
            return Err(gone());
        }
        let question = budget::Asked { load: load.id.clone(), ..budget::Asked::default() };
        if let Ok(budget) = shape_of(&question, vehicle) {
            budgets.insert(load.id.clone(), serde_json::to_value(budget).unwrap_or_default());
        }
    }
    all.insert("budget".to_owned(), Value::Object(budgets));
    let mut heat = Map::new();
    for state in &vehicle.states {
        let question = heat::Asked { state: state.id.clone(), ..heat::Asked::default() };
        if let Ok(own) = shape_of(&question, vehicle) {
            heat.insert(state.id.clone(), heat_shown(own));
        }
    }
    all.insert("heat".to_owned(), Value::Object(heat));
    let plan = Asked { plan: Some(PLANNED), ..Asked::default() };
    all.insert("plan".to_owned(), ask(Question::Next, &plan)?);
    let repairs = Asked { most: Some(REPAIRS), ..Asked::default() };
    let repairs = ask(Question::Repairs, &repairs)?;
    let mut sheets = Map::new();
    for joint in opened(vehicle, &repairs) {
        if let Ok(sheet) = shape_of(&bolt::Asked::of_joint(&joint), Some(vehicle)) {
            let mut sheet = serde_json::to_value(sheet).unwrap_or_default();
            without_keys(&mut sheet, &NOT_ON_A_JOB);
            sheets.insert(joint, sheet);
        }
    }
    all.insert("repairs".to_owned(), repairs);
    all.insert("bolt".to_owned(), Value::Object(sheets));
    Ok(Value::Object(all))
}

/// The joints that repairs open.
fn opened(vehicle: &Vehicle, repairs: &Value) -> BTreeSet<String> {
    let mut joints = BTreeSet::new();
    for action in repairs["repairs"].as_array().into_iter().flatten().map(|own| &own["action"]) {
        let one = action["clean"].as_str().or_else(|| action["replace_end"].as_str());
        joints.extend(one.map(str::to_owned));
        let whole = ["replace", "clean_both"].into_iter().find_map(|kind| action[kind].as_str());
        let whole = whole.or_else(|| action["enlarge"]["conductor"].as_str());
        let ends = vehicle.conductors.iter().find(|own| Some(&*own.id) == whole);
        let ends = ends.into_iter().flat_map(|own| [own.from, own.to]);
        joints.extend(ends.map(|joint| vehicle.joint(joint).id.clone()));
    }
    joints
}

/// Takes keys out, wherever they stand.
fn without_keys(value: &mut Value, keys: &[&str]) {
    match value {
        Value::Object(object) => {
            object.retain(|key, _| !keys.contains(&key.as_str()));
            object.values_mut().for_each(|own| without_keys(own, keys));
        }
        Value::Array(list) => list.iter_mut().for_each(|own| without_keys(own, keys)),
        _ => {}
    }
}

/// As much of a state's heat as the cards of its conductors and joints show.
fn heat_shown(mut heat: Heat) -> Value {
    heat.joints_by_warmth.retain(WarmJoint::telling);
    let mut all = serde_json::to_value(heat).unwrap_or_default();
    let lists = all.as_object_mut().into_iter().flat_map(Map::values_mut);
    for own in lists.filter_map(Value::as_array_mut).flatten() {
        if let Value::Object(own) = own {
            own.retain(|key, _| HEAT_SHOWN.contains(&key.as_str()));
            own.values_mut().for_each(rounded);
        }
    }
    all
}

/// A number in as many digits as a card could show.
fn rounded(value: &mut Value) {
    if let Some(number) = value.as_f64().filter(|_| !value.is_u64())
        && let Ok(short) = format!("{number:.4e}").parse::<f64>()
    {
        *value = json!(short);
    }
}

async fn photos(app: &Shared, id: i64) -> Result<Vec<Value>, ApiError> {
    app.garage(move |garage| {
        let id = VehicleId(id);
        let mut all = Vec::new();
        for own in garage.photos(id)?.into_iter().filter(|own| !own.retracted) {
            let (kind, bytes) = garage.photo_bytes(id, &own.cid)?;
            let data = format!("data:{kind};base64,{}", STANDARD.encode(bytes));
            all.push(json!({
                "on": own.on, "work": own.work, "side": own.side, "caption": own.caption, "data": data,
            }));
        }
        Ok(all)
    })
    .await
}

/// Takes remarks and people's names out, wherever they stand.
fn without_notes(value: &mut Value) {
    match value {
        Value::Object(object) => {
            for (key, own) in object.iter_mut() {
                match key.as_str() {
                    "note" => *own = Value::Null,
                    "by" => *own = Value::String(String::new()),
                    _ => without_notes(own),
                }
            }
        }
        Value::Array(list) => list.iter_mut().for_each(without_notes),
        _ => {}
    }
}

/// The empty report with its content, which no browser can take for markup.
fn filled(page: &str, blob: &Value) -> Option<String> {
    let at = page.find(PLACE)? + PLACE.len() - "null<".len();
    let blob = blob.to_string().replace('<', "\\u003c");
    Some(format!("{}{blob}{}", &page[..at], &page[at + "null".len()..]))
}

/// The name of a file, without the folders of the machine that it came from.
fn file_name(path: &str) -> Option<&str> {
    path.rsplit(['/', '\\']).next().filter(|name| !name.is_empty())
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const EMPTY: &str = r#"<div></div><script type="application/json" id="groundloom-report">null</script><script>run()</script>"#;

    #[test]
    fn a_vehicle_whose_name_is_markup_stays_a_name() {
        let blob = json!({ "name": "</script><img src=x onerror=alert(1)><!--" });
        let page = filled(EMPTY, &blob).unwrap();
        assert_eq!(page.matches('<').count(), EMPTY.matches('<').count());
        let content = page.split("groundloom-report\">").nth(1).unwrap();
        let content = content.split("</script>").next().unwrap();
        assert_eq!(serde_json::from_str::<Value>(content).unwrap(), blob);
        assert!(page.ends_with("</script><script>run()</script>"));
        assert_eq!(filled("<html></html>", &blob), None);
    }

    #[test]
    fn no_remark_and_no_name_of_a_person_is_left() {
        let mut blob = json!({ "a": [{ "note": "private", "by": "Ada", "id": "x" }] });
        without_notes(&mut blob);
        assert_eq!(blob, json!({ "a": [{ "note": null, "by": "", "id": "x" }] }));
    }
}
