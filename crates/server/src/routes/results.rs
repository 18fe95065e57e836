//! Answers that somebody wanted kept.

use axum::Json as Answer;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use garage::{NewResult, Stamp, VehicleId};
use serde::Deserialize;
use serde_json::Value;
use utoipa::ToSchema;

use super::questions::{Question, answer_of};
use crate::app::Shared;
use crate::asked::Keys;
use crate::body::{Json, SMALL};
use crate::caller::Caller;
use crate::clock::now;
use crate::error::ApiError;

shown! {
    /// An answer that is kept.
    KeptResult of garage::StoredResult as own {
        /// Its number.
        id: i64,
        /// The question.
        question: String,
        /// What was asked.
        asked: Value = json(&own.asked),
        /// The revision of the vehicle file.
        revision: i64,
        /// The program that answered.
        program: String,
        /// When.
        when: String = own.stored,
        /// Who asked.
        by: String,
        /// The answer.
        answer: Value = json(&own.answer),
    }
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_default()
}

answer! {
    /// Kept answers.
    ResultList {
        /// The latest first.
        results: Vec<KeptResult>,
    }
}

/// A question whose answer is to be kept.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ToKeep {
    /// The question.
    question: Question,
    /// What is asked; about the stored file.
    #[serde(default)]
    #[schema(value_type = Object)]
    asked: Keys,
}

/// Kept answers about a vehicle.
#[utoipa::path(get, path = "/api/vehicles/{id}/results", responses((status = 200, body = ResultList)))]
pub(crate) async fn list(
    State(app): State<Shared>,
    Path(id): Path<i64>,
) -> Result<Answer<ResultList>, ApiError> {
    let results = app.garage(move |garage| garage.results(VehicleId(id))).await?;
    let results = results.into_iter().map(KeptResult::from).collect();
    Ok(Answer(ResultList::of(results)))
}

/// Only what is stored can be asked about again.
fn without_text(asked: &Keys) -> Result<(), ApiError> {
    let what = "an answer about a text that is not stored cannot be kept";
    if asked.contains_key("text") { Err(ApiError::malformed(what, "no `text`")) } else { Ok(()) }
}

/// Ask, and keep the answer.
#[utoipa::path(post, path = "/api/vehicles/{id}/results", request_body = ToKeep, responses((status = 201, body = ResultList)))]
pub(crate) async fn keep(
    State(app): State<Shared>,
    Path(id): Path<i64>,
    caller: Caller,
    Json(new): Json<ToKeep, SMALL>,
) -> Result<Response, ApiError> {
    let ToKeep { question, mut asked } = new;
    without_text(&asked)?;
    let current = app.garage(move |garage| garage.current(VehicleId(id))).await?;
    let revision = asked.get("revision").and_then(Value::as_i64).unwrap_or(current.revision);
    if question.has_a_file() {
        asked.insert("vehicle".to_owned(), id.into());
        asked.insert("revision".to_owned(), revision.into());
    }
    let written = Value::Object(asked.clone()).to_string();
    let mut put = question.read(asked)?;
    let turn = app.turn(&caller).await?;
    let subject = put.fetched(&app, &turn).await?;
    let answer = answer_of(&app, &turn, put, subject).await?;
    let (program, by) = (app.program.clone(), caller.name().to_owned());
    app.garage(move |garage| {
        let new = NewResult {
            revision,
            question: question.name(),
            asked: &written,
            answer: &String::from_utf8_lossy(&answer),
            program: &program,
        };
        garage.add_result(VehicleId(id), new, Stamp { when: &now(), by: &by })
    })
    .await?;
    Ok((StatusCode::CREATED, list(State(app), Path(id)).await?).into_response())
}
