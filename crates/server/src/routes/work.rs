//! Work that was done.

use answers::proof::{self, ProvenReading};
use answers::told::Told;
use axum::Json as Answer;
use axum::extract::{Path, State};
use axum::response::Response;
use garage::{NewWork, Stamp, StoredWork, VehicleId};
use model::Vehicle;
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use super::{Undo, kept, was_new};
use crate::app::Shared;
use crate::body::{Json, SMALL, cid};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::ApiError;
use crate::measured::{Go, Measured};
use crate::subject::understood;

/// Work to be written down.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct WorkBody {
    /// The joint, conductor or part, by its name in the vehicle file.
    on: String,
    /// What was done.
    what: String,
    /// When, as written.
    when: Option<String>,
    /// Tightening torque with its unit.
    torque: Option<String>,
    /// What keeps water off now.
    protection: Option<String>,
    /// A remark.
    note: Option<String>,
}

shown! {
    /// Work that is written down.
    Work of StoredWork as own {
        /// The sender's id.
        cid: String = own.work.cid,
        /// The joint, conductor or part.
        on: String = own.work.on,
        /// What was done.
        what: String = own.work.what,
        /// When, as written.
        when: Option<String> = own.work.done,
        /// Tightening torque with its unit.
        torque: Option<String> = own.work.torque,
        /// What keeps water off now.
        protection: Option<String> = own.work.protection,
        /// A remark.
        note: Option<String> = own.work.note,
        /// When it was written down.
        stored: String,
        /// Who wrote it.
        by: String,
        /// True when it was taken back.
        retracted: bool,
    }
}

answer! {
    /// All work on a vehicle.
    WorkList {
        /// In the order of arrival.
        work: Vec<Work>,
    }
}

impl WorkList {
    /// What stands.
    pub(crate) fn kept(&self) -> Vec<&Work> {
        self.work.iter().filter(|own| !own.retracted).collect()
    }
}

answer! {
    /// What work has proved.
    ProofList {
        /// Each go of work with the readings that were taken before and again after it; the earliest first.
        proofs: Vec<Proof>,
    }
}

/// Work without a reading in between, and what it proved.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Proof {
    /// The ids of the work.
    work: Vec<String>,
    /// Readings taken before and again after it; empty while nothing was taken again.
    readings: Vec<ProvenReading>,
    /// The same in words.
    told: Told,
}

impl Proof {
    fn of(vehicle: &Vehicle, Go { work, before, after }: Go) -> Self {
        let [before, after] = [&before, &after].map(|own| own.readings.readings.as_slice());
        Self::told(work, proof::of(vehicle, before, after))
    }

    fn told(work: Vec<String>, readings: Vec<ProvenReading>) -> Self {
        let told = proof::told(work.len(), &readings);
        Self { work, readings, told }
    }
}

answer! {
    /// Work after an act on it.
    ChangedWork {
        /// The work.
        work: Work,
        /// The request that takes this act back.
        undo: Option<Undo>,
    }
}

/// All work on a vehicle.
#[utoipa::path(get, path = "/api/vehicles/{id}/work", responses((status = 200, body = WorkList)))]
pub(crate) async fn list(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<Answer<WorkList>, ApiError> {
    let work = app.garage(move |garage| garage.work(VehicleId(id))).await?;
    let work = work.into_iter().map(Work::from).collect();
    Ok(Answer(WorkList::of(work)))
}

/// What work has proved.
#[utoipa::path(get, path = "/api/vehicles/{id}/proof", responses((status = 200, body = ProofList)))]
pub(crate) async fn proof(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<Answer<ProofList>, ApiError> {
    Ok(Answer(proofs(&app, id).await?))
}

/// What work has proved, for the report too.
pub(crate) async fn proofs(app: &Shared, id: i64) -> Result<ProofList, ApiError> {
    let fetch = move |garage: &mut garage::Garage| {
        let id = VehicleId(id);
        Ok((garage.current(id)?.text, Measured::of(garage, id)?))
    };
    let (text, measured) = app.garage(fetch).await?;
    let file = understood(app, text).await?;
    let proven = move || {
        // A file with an error says so elsewhere; work stays in view without its proof.
        let vehicle = file.reading.vehicle.as_ref();
        vehicle.map_or_else(Vec::new, |vehicle| {
            measured.goes(vehicle).into_iter().map(|go| Proof::of(vehicle, go)).collect()
        })
    };
    let proofs = app.compute(proven).await?;
    Ok(ProofList::of(proofs))
}

/// Work that the vehicle file itself records, and what it proved: what a report shows beside the kept work.
pub(crate) fn of_the_file(vehicle: &Vehicle, measured: &Measured) -> (Vec<Work>, Vec<Proof>) {
    let name = |at: usize| format!("file-work-{}", at + 1);
    let work = vehicle.work.iter().enumerate().map(|(at, own)| Work {
        cid: name(at),
        on: own.on.clone(),
        what: own.what.clone(),
        when: own.date.clone(),
        torque: proof::torque_of(own),
        protection: own.protection.clone(),
        note: own.note.clone(),
        stored: own.date.clone().unwrap_or_default(),
        by: String::new(),
        retracted: false,
    });
    let taken = measured.taken(vehicle);
    let readings = proof::of(vehicle, &taken.earlier.readings, &taken.readings.readings);
    let proven = (!readings.is_empty() && !vehicle.work.is_empty())
        .then(|| Proof::told((0..vehicle.work.len()).map(name).collect(), readings));
    (work.collect(), proven.into_iter().collect())
}

/// Write work down. Sending it again changes nothing.
#[utoipa::path(put, path = "/api/vehicles/{id}/work/{cid}", request_body = WorkBody, responses((status = 200, body = ChangedWork), (status = 201, body = ChangedWork)))]
pub(crate) async fn put(
    State(app): State<Shared>,
    Path((id, own)): Path<(i64, String)>,
    caller: Caller,
    Json(new): Json<WorkBody, SMALL>,
) -> Result<Response, ApiError> {
    let work = NewWork {
        cid: cid(&own)?.to_owned(),
        on: new.on,
        what: new.what,
        done: new.when,
        torque: new.torque,
        protection: new.protection,
        note: new.note,
    };
    let by = caller.name().to_owned();
    let put = app
        .garage(move |garage| {
            garage.put_work(VehicleId(id), &work, Stamp { when: &now(), by: &by })
        })
        .await?;
    let (new, own) = was_new(put);
    Ok(kept(new, changed(&app, id, own, true).await?))
}

async fn changed(app: &Shared, id: i64, own: StoredWork, _: bool) -> Result<ChangedWork, ApiError> {
    let work = Work::from(own);
    app.events.tell("work", &json!({ "vehicle": id, "work": work }));
    let undo = Undo::turning(&format!("/api/vehicles/{id}/work/{}", work.cid), work.retracted);
    Ok(ChangedWork::of(work, Some(undo)))
}

turned! {
    "/api/vehicles/{id}/work/{cid}" set_work_retracted ChangedWork;
    /// Take work back.
    retract;
    /// Let work stand again.
    restore;
}
