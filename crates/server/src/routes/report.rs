//! The report: one page that opens anywhere, with the answers of this moment in it.

mod once;

use std::sync::Arc;

use answers::room::{Needs, Part, Question};
use answers::told::Told;
use answers::{budget, offsets};
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

use super::questions::small_enough;
use super::services::Picture;
use super::{readings, work};
use crate::app::{App, Shared};
use crate::asked::{Answerable, needs};
use crate::asking::{Stop, Turn, gone};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::ApiError;
use crate::slug::Slug;
use crate::subject::{About, Subject};

/// Parts that a report shows in words too; of circuits and grounds it tells apart from their parts.
const IN_WORDS: [&str; 3] = ["diagnose", "repairs", "failures"];
/// Parts of which it shows what stands beside their things.
const BESIDE: [&str; 2] = ["solve", "heat"];
/// Parts that no sheet of a report shows: ways home stand in each circuit, lifted grounds are told in words.
const UNSHOWN: [&str; 2] = ["routes", "offsets"];
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
    let mut content = content(app, turn, id, wanted).await?;
    if !wanted.notes {
        without_notes(&mut content);
    }
    let page = String::from_utf8_lossy(page.bytes);
    filled(&page, &content)
        .ok_or_else(|| ApiError::inside("the empty report has no place for its content"))
}

/// By what, when and from which file the report was made.
fn made(app: &App, vehicle: &garage::Vehicle, text: &str) -> Value {
    json!({
        "program": app.program.split(' ').next().unwrap_or_default(),
        "version": app.program.split(' ').nth(1).unwrap_or_default(),
        "when": now(),
        "file": vehicle.origin.as_deref().and_then(file_name),
        "revision": vehicle.current.revision,
        "sha256": hexadecimal(&Sha256::digest(text.as_bytes())),
    })
}

/// Everything that the report holds, remarks and people's names too.
async fn content(
    app: &Shared,
    turn: &Turn,
    id: i64,
    wanted: ReportParts,
) -> Result<Value, ApiError> {
    let about = About { vehicle: Some(id), told: true, ..About::default() };
    let subject = Subject::of(app, about, Needs::Measured).await?;
    small_enough(turn, true, &subject)?;
    let text = subject.file()?.text.clone();
    let vehicle = app.garage(move |own| own.vehicle(VehicleId(id))).await?;
    let (answers, (own_work, own_proofs)) = app
        .compute_for(turn, move |stop| {
            let own = work::of_the_file(subject.file()?.vehicle()?, subject.measured());
            Ok::<_, ApiError>((answers_of(&subject, stop)?, own))
        })
        .await??;
    let Answer(taken) = readings::list(State(app.clone()), Path(id)).await?;
    let Answer(done) = work::list(State(app.clone()), Path(id)).await?;
    let photos = if wanted.photos { photos(app, id).await? } else { Vec::new() };
    Ok(json!({
        "format": answers::FORMAT,
        "made": made(app, &vehicle, &text),
        "notes": if wanted.notes { "included" } else { "left out" },
        "answers": answers,
        "readings": taken.kept(),
        "work": own_work.iter().chain(done.kept()).collect::<Vec<_>>(),
        "proofs": own_proofs.into_iter().chain(work::proofs(app, id).await?.proofs).collect::<Vec<_>>(),
        "photos": photos,
        "text": wanted.file.then_some(text),
    }))
}

/// Every answer that a report carries.
fn answers_of(subject: &Subject, stop: &Stop) -> Result<Map<String, Value>, ApiError> {
    let mut all = Map::new();
    macro_rules! parts {
        ($($(#[$doc:meta])* $name:ident $module:ident $word:literal $of:ident $shape:ident;)*) => {
            $(add::<answers::$module::Asked>(&mut all, subject, stop)?;)*
        };
    }
    answers::questions!(parts);
    add_parts(&mut all, Part::only("picture", Picture {}), subject, stop)?;
    all.insert("told".to_owned(), said(subject, stop)?);
    Ok(all)
}

/// What is said of each load's circuit and of the grounds, state by state, as the page's Volts sheet shows it.
fn said(subject: &Subject, stop: &Stop) -> Result<Value, ApiError> {
    let vehicle = subject.file()?.vehicle()?;
    let mut all = json!({ "budget": {}, "offsets": {} });
    for load in &vehicle.loads {
        for state in load.on.iter().map(|id| &vehicle.state(*id).id) {
            let (load, state) = (load.id.clone(), Some(state.clone()));
            let told = told_of(
                &budget::Asked { load: load.clone(), state: state.clone(), all: false },
                vehicle,
            );
            all["budget"][load][state.unwrap_or_default()] = json!(told);
        }
        if stop.is_set() {
            return Err(gone());
        }
    }
    for state in vehicle.states.iter().map(|own| own.id.clone()) {
        let asked = offsets::Asked { state: Some(state.clone()), ..offsets::Asked::default() };
        all["offsets"][state] = json!(told_of(&asked, vehicle));
    }
    Ok(all)
}

/// What is said of a vehicle; nothing where the question has no answer.
fn told_of<Q>(asked: &Q, vehicle: &Vehicle) -> Option<Told>
where
    Q: for<'v> Question<About<'v> = &'v Vehicle>,
{
    let found = asked.find(vehicle, &mut |_| true).ok().flatten()?;
    Some(asked.told(&found))
}

/// Adds the parts of a question; what cannot be answered, such as offsets of very many loads, is left out.
fn add<Q: Question + Answerable>(
    all: &mut Map<String, Value>,
    subject: &Subject,
    stop: &Stop,
) -> Result<(), ApiError> {
    let parts = subject.with(needs::<Q>(), |at_hand| Ok(Q::reported(at_hand)))?;
    add_parts(all, parts, subject, stop)
}

fn add_parts<Q: Answerable>(
    all: &mut Map<String, Value>,
    parts: Vec<Part<Q>>,
    subject: &Subject,
    stop: &Stop,
) -> Result<(), ApiError> {
    for Part { name, of, asked } in parts.into_iter().filter(|own| !UNSHOWN.contains(&own.name)) {
        let answer = asked.answer(subject, &mut |_| !stop.is_set());
        if stop.is_set() {
            return Err(gone());
        }
        let bytes = match answer {
            Ok(Some(bytes)) => bytes,
            Ok(None) => return Err(gone()),
            Err(error) if error.why.code == Slug::Question => continue,
            // A report that lacks a part for another reason would look as if there were nothing to say.
            Err(error) => return Err(error),
        };
        let mut answer: Value = serde_json::from_slice(&bytes).unwrap_or_default();
        shortened(name, &mut answer);
        match of {
            None => {
                all.insert(name.to_owned(), answer);
            }
            Some(of) => all.entry(name).or_insert_with(|| json!({}))[of] = answer,
        }
    }
    Ok(())
}

/// Takes out of a part what a report does not show.
fn shortened(part: &str, answer: &mut Value) {
    let Some(own) = answer.as_object_mut().filter(|_| !IN_WORDS.contains(&part)) else { return };
    if !BESIDE.contains(&part) {
        own.remove("told");
    } else if let Some(told) = own.get_mut("told") {
        told["blocks"] = json!([]);
    }
    if part == "check" {
        // What was filled in is asked for at the bench.
        own.remove("filled");
    }
    if part == "heat" {
        // A card shows no more of it than is said of its thing.
        own.retain(|key, _| key == "told");
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
    let blob = once::written(blob).to_string().replace('<', "\\u003c");
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
        assert_eq!(once::tests::read(&serde_json::from_str(content).unwrap()), blob);
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
