//! Long work: begun, looked at, stopped.

use std::sync::Arc;
use std::sync::atomic::Ordering;

use answers::room;
use axum::Json as Answer;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use tokio::time::Instant;
use utoipa::ToSchema;

use super::questions::{Put, Question};
use crate::app::{App, Shared};
use crate::asked::Keys;
use crate::asking::gone;
use crate::body::{FILE, Json};
use crate::caller::Caller;
use crate::error::{ApiError, ErrorWhy};
use crate::jobs::{Job, Progress};
use crate::lock::locked;
use crate::slug::Slug;
use crate::subject::Subject;

/// A question that takes long.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NewJob {
    /// The question.
    question: Question,
    /// What is asked, as the question's own request has it.
    #[serde(default)]
    #[schema(value_type = Object)]
    asked: Keys,
}

answer! {
    /// How far it is.
    JobBody {
        /// The work.
        job: JobState,
    }
}

/// A piece of work.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct JobState {
    /// Its number.
    id: u64,
    /// The question.
    question: &'static str,
    /// `waiting`, `running`, `done`, `failed` or `cancelled`.
    status: &'static str,
    /// The share that is done, where it is known.
    done: Option<f64>,
    /// The answer, once done.
    #[schema(value_type = Option<Object>)]
    answer: Option<Box<RawValue>>,
    /// Why it failed.
    error: Option<ErrorWhy>,
}

/// Begin something that takes long.
#[utoipa::path(post, path = "/api/jobs", request_body = NewJob, responses((status = 202, body = JobBody)))]
pub(crate) async fn begin(
    State(app): State<Shared>,
    caller: Caller,
    Json(new): Json<NewJob, FILE>,
) -> Result<Response, ApiError> {
    let NewJob { question, asked } = new;
    let mut put = question.read(asked)?;
    let turn = app.turn(&caller).await?;
    let subject = put.fetched(&app, &turn).await?;
    let begun = {
        let mut jobs = locked(&app.jobs);
        // Under the same lock as the end of a device's work: nothing begins after it.
        if turn.stop.is_set() {
            return Err(gone());
        }
        jobs.begin(question.name(), caller.device_id(), Instant::now())
    };
    let Some((id, job)) = begun else {
        let what = "too much work is waiting already";
        let expected = Some("the same request once something has ended");
        return Err(ApiError::new(Slug::Busy, what, expected));
    };
    let body = state(id, job.clone());
    tokio::spawn(work(app, id, job, put, subject));
    Ok((StatusCode::ACCEPTED, Answer(body)).into_response())
}

async fn work(app: Shared, id: u64, job: Job, put: Put, subject: Subject) {
    let devices = match job.owner {
        Some(_) => Arc::clone(&app.device_cores).acquire_owned().await.ok(),
        None => None,
    };
    let Ok(permit) = Arc::clone(&app.cores).acquire_owned().await else { return };
    if job.stop.load(Ordering::Relaxed) {
        return;
    }
    note(&app, id, Progress::Running(None));
    let watcher = Arc::clone(&app);
    let mut told = -1.0;
    let done = tokio::task::spawn_blocking(move || {
        let answer = put.answer(&subject, &mut |room::Progress { share, .. }| {
            std::thread::sleep(watcher.pace);
            // To the hundredth: nobody sees more, and everybody is told.
            let share = (share * 100.0).floor() / 100.0;
            if told < share {
                told = share;
                note(&watcher, id, Progress::Running(Some(share)));
            }
            !job.stop.load(Ordering::Relaxed)
        });
        drop((permit, devices));
        answer
    });
    let ended = match done.await {
        Ok(Ok(Some(answer))) => Progress::Done(Arc::new(answer)),
        Ok(Ok(None)) => Progress::Cancelled,
        Ok(Err(error)) => Progress::Failed(error.why),
        Err(error) => Progress::Failed(ApiError::inside(error.to_string()).why),
    };
    note(&app, id, ended);
}

fn note(app: &Shared, id: u64, progress: Progress) {
    let noted = locked(&app.jobs).set(id, progress, Instant::now());
    if noted {
        app.tell_of_job(id);
    }
}

/// How far it is, and the answer once it is done.
#[utoipa::path(get, path = "/api/jobs/{id}", responses((status = 200, body = JobBody)))]
pub(crate) async fn get(
    State(app): State<Shared>,
    Path(id): Path<u64>,
    caller: Caller,
) -> Result<Answer<JobBody>, ApiError> {
    let job = looked(&app, id, &caller)?;
    Ok(Answer(state(id, job)))
}

/// Stop it.
#[utoipa::path(delete, path = "/api/jobs/{id}", responses((status = 200, body = JobBody)))]
pub(crate) async fn cancel(
    State(app): State<Shared>,
    Path(id): Path<u64>,
    caller: Caller,
) -> Result<Answer<JobBody>, ApiError> {
    looked(&app, id, &caller)?;
    let cancelled = locked(&app.jobs).cancel(id, Instant::now());
    if cancelled {
        app.tell_of_job(id);
    }
    Ok(Answer(state(id, looked(&app, id, &caller)?)))
}

/// A piece of work, if the caller may know of it: a device of its own work alone, the desk of all.
fn looked(app: &App, id: u64, caller: &Caller) -> Result<Job, ApiError> {
    let job = locked(&app.jobs).look(id, caller.device_id(), Instant::now());
    job.ok_or_else(|| ApiError::not_found("job"))
}

fn state(id: u64, job: Job) -> JobBody {
    let (status, done) = (job.status(), job.done());
    let (answer, error) = match job.progress {
        Progress::Done(bytes) => {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            (RawValue::from_string(text).ok(), None)
        }
        Progress::Failed(why) => (None, Some(*why)),
        _ => (None, None),
    };
    JobBody::of(JobState { id, question: job.question, status, done, answer, error })
}
