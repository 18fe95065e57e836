//! Why a request is refused, in one shape.

use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use garage::GarageError;
use serde::Serialize;
use utoipa::ToSchema;

use answers::Refusal;
use answers::problem::Problem;
use answers::refusal::Place;
use answers::refusal::Refused;

use crate::slug::Slug;

/// The body of every answer that is no success.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub(crate) struct ErrorBody {
    /// The number of the contract.
    pub format: u32,
    /// Why.
    pub error: ErrorWhy,
}

/// Why a request is refused.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub(crate) struct ErrorWhy {
    /// A slug that never changes.
    #[schema(value_type = String)]
    pub code: Slug,
    /// What is wrong, for a person.
    pub what: String,
    /// What would be right.
    pub expected: Option<String>,
    /// What may have been meant.
    pub hint: Option<String>,
    /// Problems of the vehicle file, when that is why.
    pub problems: Vec<Problem>,
}

/// A refused request.
#[derive(Debug, Clone)]
pub(crate) struct ApiError {
    pub status: StatusCode,
    pub why: Box<ErrorWhy>,
    /// Seconds after which it may be tried again.
    pub after: Option<u64>,
}

impl ApiError {
    pub(crate) fn new(code: Slug, what: impl Into<String>, expected: Option<&str>) -> Self {
        let why = ErrorWhy {
            code,
            what: what.into(),
            expected: expected.map(str::to_owned),
            hint: None,
            problems: Vec::new(),
        };
        Self { status: code.status(), why: Box::new(why), after: None }
    }

    pub(crate) fn malformed(what: impl Into<String>, expected: &str) -> Self {
        Self::new(Slug::Malformed, what, Some(expected))
    }

    pub(crate) fn not_found(what: &str) -> Self {
        let what = format!("there is no such {what}");
        Self::new(Slug::NotFound, what, None)
    }

    /// A page or a report of a program that has none.
    pub(crate) fn without_page() -> Self {
        let what = web::without().unwrap_or_else(|| "the page lacks a file".to_owned());
        Self::new(Slug::NotFound, what, None)
    }

    pub(crate) fn too_large(what: &str, limit: &str) -> Self {
        let what = format!("the {what} is too large");
        Self::new(Slug::TooLarge, what, Some(limit))
    }

    pub(crate) fn too_many(after: u64) -> Self {
        let what = "too many requests in a short time";
        let expected = Some("the same request a little later");
        let error = Self::new(Slug::TooMany, what, expected);
        Self { after: Some(after), ..error }
    }

    /// Something failed that no request can put right.
    pub(crate) fn inside(what: impl Into<String>) -> Self {
        Self::new(Slug::Inside, what, None)
    }

    /// The vehicle file has errors, so that nothing can be computed of it.
    pub(crate) fn problems(problems: Vec<Problem>) -> Self {
        let what = "the vehicle file has errors";
        let expected = Some("a file that `check` finds without errors");
        let mut error = Self::new(Slug::Problems, what, expected);
        error.why.problems = problems;
        error
    }
}

impl From<Refusal> for ApiError {
    fn from(refusal: Refusal) -> Self {
        let what = match refusal.place.as_deref() {
            Some(Place { key, text, within: None }) => {
                let space = if refusal.what.starts_with(':') { "" } else { " " };
                format!("`{key} {text}`{space}{}", refusal.what)
            }
            _ => refusal.what,
        };
        let mut error = Self::new(Slug::Question, what, Some(&refusal.expected));
        error.why.hint = refusal.hint;
        error
    }
}

impl From<Refused> for ApiError {
    /// The first thing that was wrong; the others are told with it once it is right.
    fn from(refused: Refused) -> Self {
        let first = refused.0.into_iter().next();
        first.map_or_else(|| Self::inside("the work was stopped".to_owned()), Self::from)
    }
}

impl From<GarageError> for ApiError {
    fn from(error: GarageError) -> Self {
        let what = error.to_string();
        match error {
            GarageError::NotFound(thing) => Self::not_found(thing),
            GarageError::Taken(_) => {
                Self::new(Slug::CidTaken, what, Some("a new random id for what is new"))
            }
            GarageError::NothingToUndo => Self::new(Slug::NothingToUndo, what, None),
            GarageError::NothingToRedo => Self::new(Slug::NothingToRedo, what, None),
            GarageError::Foreign(_)
            | GarageError::Damaged(_)
            | GarageError::Database(_)
            | GarageError::File(_) => Self::inside(what),
        }
    }
}

impl IntoResponse for ApiError {
    fn into_response(self) -> Response {
        let body = ErrorBody { format: answers::FORMAT, error: *self.why };
        let mut response = (self.status, Json(body)).into_response();
        if let Some(after) = self.after {
            response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(after));
        }
        response
    }
}
