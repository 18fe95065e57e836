//! Readings as people write them.

use answers::meaning::{self, Meaning};
use answers::problem::Problem;
use answers::question::ReadingQuestion;
use axum::Json as Answer;
use axum::extract::{Path, State};
use axum::response::Response;
use garage::{NewReading, Stamp, StoredReading, VehicleId};
use model::Vehicle;
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use super::files::FileBody;
use super::{Undo, kept, was_new};
use crate::app::Shared;
use crate::body::{Json, SMALL, cid};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::ApiError;
use crate::measured::{Measured, Numbered, NumberedLine};
use crate::subject::understood;

/// A reading that is kept.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub(crate) struct Entry {
    /// The sender's id.
    cid: String,
    /// Its number in `diagnose`; null when it is not weighed, or right after it was sent.
    number: Option<u32>,
    /// True when the vehicle was worked on since: it is kept, and not weighed.
    before_work: bool,
    /// As written.
    text: String,
    /// When it was taken, as the sender says.
    taken: String,
    /// When it arrived.
    stored: String,
    /// Who took it.
    by: String,
    /// True when it was taken back.
    retracted: bool,
    /// What it says; null while the vehicle file has an error.
    meaning: Option<Meaning>,
}

answer! {
    /// Everything that was measured.
    EntryList {
        /// Readings one by one, in the order of arrival.
        readings: Vec<Entry>,
        /// Whole files of readings; they count before the others.
        files: Vec<FileBody>,
        /// Problems of all of them.
        problems: Vec<Problem>,
    }
}

impl EntryList {
    /// Those that count.
    pub(crate) fn kept(&self) -> Vec<&Entry> {
        self.readings.iter().filter(|own| !own.retracted).collect()
    }
}

answer! {
    /// A reading after an act on it.
    ChangedEntry {
        /// The reading.
        reading: Entry,
        /// The request that takes this act back.
        undo: Option<Undo>,
    }
}

/// A reading to be kept.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewEntry {
    /// One line, such as `cranking: block/front to main/- 0.41 V`.
    text: String,
    /// When it was taken; when it arrives, if left out.
    taken: Option<String>,
}

/// A reading to be understood.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct DraftEntry {
    /// One line.
    text: String,
}

answer! {
    /// What a line would say.
    DraftMeaning {
        /// What it would say; null while the vehicle file has an error.
        meaning: Option<Meaning>,
        /// What to ask before it is kept: a minus that was left off, a value that cannot be; null for nothing.
        question: Option<ReadingQuestion>,
    }
}

/// Everything that was measured.
#[utoipa::path(get, path = "/api/vehicles/{id}/readings", responses((status = 200, body = EntryList)))]
pub(crate) async fn list(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<Answer<EntryList>, ApiError> {
    let fetch = move |garage: &mut garage::Garage| {
        let id = VehicleId(id);
        Ok((garage.current(id)?.text, Measured::of(garage, id)?))
    };
    let (text, measured) = app.garage(fetch).await?;
    let file = understood(&app, text).await?;
    let list = app.compute(move || listed(file.reading.vehicle.as_ref(), measured)).await?;
    Ok(Answer(list))
}

fn listed(vehicle: Option<&Vehicle>, measured: Measured) -> EntryList {
    let Numbered { files, lines, problems } = measured.numbered(vehicle);
    let files = measured.files.iter().zip(files);
    let lines = measured.lines.into_iter().zip(lines);
    let files = files.map(|(own, numbered)| FileBody::of(&own.file, numbered)).collect();
    let readings = lines.map(|(own, numbered)| entry(vehicle, own, numbered)).collect();
    EntryList::of(readings, files, problems)
}

fn entry(vehicle: Option<&Vehicle>, own: StoredReading, numbered: NumberedLine) -> Entry {
    let NumberedLine { number, before_work } = numbered;
    Entry {
        before_work,
        meaning: vehicle.map(|vehicle| meaning::of(&own.text, vehicle)),
        cid: own.cid,
        number,
        text: own.text,
        taken: own.taken,
        stored: own.stored,
        by: own.by,
        retracted: own.retracted,
    }
}

/// Keep a reading, whatever it says. Sending it again changes nothing.
#[utoipa::path(put, path = "/api/vehicles/{id}/readings/{cid}", request_body = NewEntry, responses((status = 200, body = ChangedEntry), (status = 201, body = ChangedEntry)))]
pub(crate) async fn put(
    State(app): State<Shared>,
    Path((id, own)): Path<(i64, String)>,
    caller: Caller,
    Json(new): Json<NewEntry, SMALL>,
) -> Result<Response, ApiError> {
    let own = cid(&own)?.to_owned();
    one_line(&new.text)?;
    let by = caller.name().to_owned();
    let put = app
        .garage(move |garage| {
            let now = now();
            let taken = new.taken.unwrap_or_else(|| now.clone());
            let new = NewReading { cid: &own, text: &new.text, taken: &taken };
            garage.put_reading(VehicleId(id), new, Stamp { when: &now, by: &by })
        })
        .await?;
    let (new, own) = was_new(put);
    Ok(kept(new, changed(&app, id, own, new).await?))
}

async fn changed(
    app: &Shared,
    id: i64,
    own: StoredReading,
    tell: bool,
) -> Result<ChangedEntry, ApiError> {
    let text = app.garage(move |garage| Ok(garage.current(VehicleId(id))?.text)).await?;
    let file = understood(app, text).await?;
    let undo = Undo::turning(&format!("/api/vehicles/{id}/readings/{}", own.cid), own.retracted);
    let unnumbered = NumberedLine { number: None, before_work: false };
    let reading = entry(file.reading.vehicle.as_ref(), own, unnumbered);
    if tell {
        app.events.tell("reading", &json!({ "vehicle": id, "reading": reading }));
    }
    Ok(ChangedEntry::of(reading, Some(undo)))
}

turned! {
    "/api/vehicles/{id}/readings/{cid}" set_reading_retracted ChangedEntry;
    /// Take a reading back.
    retract;
    /// Let a reading count again.
    restore;
}

/// What a line would say; nothing is stored.
#[utoipa::path(post, path = "/api/vehicles/{id}/readings/check", request_body = DraftEntry, responses((status = 200, body = DraftMeaning)))]
pub(crate) async fn check(
    State(app): State<Shared>,
    Path(id): Path<i64>,
    Json(draft): Json<DraftEntry, SMALL>,
) -> Result<Answer<DraftMeaning>, ApiError> {
    one_line(&draft.text)?;
    let text = app.garage(move |garage| Ok(garage.current(VehicleId(id))?.text)).await?;
    let file = understood(&app, text).await?;
    let asked = move || {
        let vehicle = file.reading.vehicle.as_ref();
        let meaning = vehicle.map(|vehicle| meaning::of(&draft.text, vehicle));
        let question = vehicle.and_then(|vehicle| meaning::question(&draft.text, vehicle));
        DraftMeaning::of(meaning, question)
    };
    Ok(Answer(app.compute(asked).await?))
}

fn one_line(text: &str) -> Result<(), ApiError> {
    if text.trim().is_empty() || text.contains(['\n', '\r']) {
        return Err(ApiError::malformed("the reading is not one line", "one reading in one line"));
    }
    Ok(())
}
