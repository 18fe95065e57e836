//! Questions about a vehicle, stored or not. They change nothing.

use answers::room::{self, Needs};
use answers::*;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_axum::router::OpenApiRouter;

use super::services::{Column, Edit, Picture, Tidied, Tidy};
use crate::app::Shared;
use crate::asked::{Answerable, Keys, needs, read};
use crate::asking::{Turn, gone};
use crate::body::{FILE, Json};
use crate::caller::Caller;
use crate::error::ApiError;
use crate::slug::Slug;
use crate::subject::{About, OfFile, OfMeasured, OfNothing, OfVehicle, PerhapsOfVehicle, Subject};

/// Loads, conductors and joints of the largest vehicle about which a device may ask.
const MOST_PIECES: usize = 20_000;
/// The same where every one of them is tried.
const MOST_PIECES_OF_LONG: usize = 2_000;

/// What a request asks: what it is about, and the question's own keys.
#[derive(Debug, ToSchema)]
#[expect(dead_code, reason = "describes what is read key by key")]
pub(crate) struct Body<A, Q> {
    #[serde(flatten)]
    about: A,
    #[serde(flatten)]
    asked: Q,
}

/// A question read from a request.
pub(crate) struct Put {
    pub(crate) question: Question,
    pub(crate) about: About,
    asked: Box<dyn Answerable>,
}

impl Put {
    /// Fetches what it is about, of a size that the caller may ask about.
    pub(crate) async fn fetched(&mut self, app: &Shared, turn: &Turn) -> Result<Subject, ApiError> {
        let about = std::mem::take(&mut self.about);
        let subject = Subject::of(app, about, self.question.needs()).await?;
        small_enough(turn, self.question.is_long(), &subject)?;
        Ok(subject)
    }

    /// The answer as JSON text; nothing when `watch` wanted it stopped.
    pub(crate) fn answer(
        &self,
        subject: &Subject,
        watch: room::Watch<'_>,
    ) -> Result<Option<Vec<u8>>, ApiError> {
        self.asked.answer(subject, watch)
    }
}

macro_rules! doors {
    ($($(#[$doc:meta])* $name:ident $module:ident $word:literal $of:ident $shape:ident;)*) => {
        /// A question by its name.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
        #[serde(rename_all = "kebab-case")]
        pub(crate) enum Question {
            $($(#[$doc])* $name,)*
            /// Everything that a drawing needs.
            Picture,
            /// What a changed resistance does to every point.
            Column,
            /// The file, tidily written.
            Tidy,
            /// The file, with changes written into it.
            Edit,
        }

        impl Question {
            /// The name under which it is asked.
            pub(crate) fn name(self) -> &'static str {
                match self {
                    $(Self::$name => $word,)*
                    Self::Picture => "picture",
                    Self::Column => "column",
                    Self::Tidy => "tidy",
                    Self::Edit => "edit",
                }
            }

            /// What has to be fetched for it.
            fn needs(self) -> Needs {
                match self {
                    $(Self::$name => needs::<$module::Asked>(),)*
                    Self::Picture | Self::Tidy | Self::Edit => Needs::File,
                    Self::Column => Needs::Vehicle,
                }
            }

            /// True where every piece is tried, or every pair of them.
            fn is_long(self) -> bool {
                match self {
                    $(Self::$name => <$module::Asked as room::Question>::LONG,)*
                    Self::Picture | Self::Column | Self::Tidy | Self::Edit => false,
                }
            }

            /// Reads it from what was sent.
            pub(crate) fn read(self, sent: Keys) -> Result<Put, ApiError> {
                match self {
                    $(Self::$name => self.put::<$module::Asked>(sent),)*
                    Self::Picture => self.put::<Picture>(sent),
                    Self::Column => self.put::<Column>(sent),
                    Self::Tidy => self.put::<Tidy>(sent),
                    Self::Edit => self.put::<Edit>(sent),
                }
            }
        }

        /// The routes of all questions, with their description.
        pub(crate) fn routes() -> OpenApiRouter<Shared> {
            OpenApiRouter::new()
                $(.routes(utoipa_axum::routes!(asked::$module)))*
                .routes(utoipa_axum::routes!(asked::picture))
                .routes(utoipa_axum::routes!(asked::column))
                .routes(utoipa_axum::routes!(asked::tidy))
                .routes(utoipa_axum::routes!(asked::edit))
        }

        /// One handler for each.
        mod asked {
            use super::*;

            $(
                $(#[$doc])*
                #[utoipa::path(
                    post,
                    path = concat!("/api/", $word),
                    request_body = Body<$of, $module::Asked>,
                    responses((status = 200, body = $module::$shape, description = "With `told` too where the request wants it.")),
                )]
                pub(crate) async fn $module(
                    State(app): State<Shared>,
                    caller: Caller,
                    Json(sent): Json<Keys, FILE>,
                ) -> Result<Response, ApiError> {
                    answered(&app, &caller, Question::$name, sent).await
                }
            )*

            /// Everything that a drawing needs and that no current changes.
            #[utoipa::path(post, path = "/api/picture", request_body = OfFile, responses((status = 200, body = answers::picture::Picture)))]
            pub(crate) async fn picture(
                State(app): State<Shared>,
                caller: Caller,
                Json(sent): Json<Keys, FILE>,
            ) -> Result<Response, ApiError> {
                answered(&app, &caller, Question::Picture, sent).await
            }

            /// The column with which the page answers a changed resistance by itself.
            #[utoipa::path(post, path = "/api/column", request_body = Body<OfVehicle, Column>, responses((status = 200, body = answers::column::Column)))]
            pub(crate) async fn column(
                State(app): State<Shared>,
                caller: Caller,
                Json(sent): Json<Keys, FILE>,
            ) -> Result<Response, ApiError> {
                answered(&app, &caller, Question::Column, sent).await
            }

            /// The file, tidily written.
            #[utoipa::path(post, path = "/api/tidy", request_body = OfFile, responses((status = 200, body = Tidied)))]
            pub(crate) async fn tidy(
                State(app): State<Shared>,
                caller: Caller,
                Json(sent): Json<Keys, FILE>,
            ) -> Result<Response, ApiError> {
                answered(&app, &caller, Question::Tidy, sent).await
            }

            /// The file with changes written into it, sizes, resistances and conductors; nothing is stored.
            #[utoipa::path(post, path = "/api/edit", request_body = Body<OfFile, Edit>, responses((status = 200, body = answers::edit::Edited)))]
            pub(crate) async fn edit(
                State(app): State<Shared>,
                caller: Caller,
                Json(sent): Json<Keys, FILE>,
            ) -> Result<Response, ApiError> {
                answered(&app, &caller, Question::Edit, sent).await
            }
        }
    };
}

answers::questions!(doors);

impl Question {
    /// True where it may be about a vehicle of the garage.
    pub(crate) fn has_a_file(self) -> bool {
        self.needs() != Needs::Nothing
    }

    fn put<Q>(self, sent: Keys) -> Result<Put, ApiError>
    where
        Q: Answerable + Serialize + serde::de::DeserializeOwned + Default + 'static,
    {
        let (about, asked) = read::<Q>(self.name(), self.needs(), sent)?;
        Ok(Put { question: self, about, asked: Box::new(asked) })
    }
}

/// Asks on a thread of its own and waits for the answer.
pub(crate) async fn answer_of(
    app: &Shared,
    turn: &Turn,
    put: Put,
    subject: Subject,
) -> Result<Vec<u8>, ApiError> {
    let pace = app.pace;
    let act = move |stop: &crate::asking::Stop| {
        put.answer(&subject, &mut |_| {
            std::thread::sleep(pace);
            !stop.is_set()
        })
    };
    // Without an answer it was stopped, and while somebody waits that is the end of a key alone.
    app.compute_for(turn, act).await??.ok_or_else(gone)
}

/// Refuses a device what would keep the machine busy for long: the desk may ask it.
pub(crate) fn small_enough(turn: &Turn, long: bool, subject: &Subject) -> Result<(), ApiError> {
    let most = if long { MOST_PIECES_OF_LONG } else { MOST_PIECES };
    let Some(vehicle) = subject.vehicle() else { return Ok(()) };
    let pieces = vehicle.conductors.len() + vehicle.loads.len() + vehicle.joints.len();
    if turn.device.is_none() || pieces <= most {
        return Ok(());
    }
    let what = format!(
        "the vehicle has {pieces} loads, conductors and joints: too many for this question of a phone"
    );
    let expected = format!("at most {most}, or the same question at the desk");
    Err(ApiError::new(Slug::TooLarge, what, Some(&expected)))
}

async fn answered(
    app: &Shared,
    caller: &Caller,
    question: Question,
    sent: Keys,
) -> Result<Response, ApiError> {
    let mut put = question.read(sent)?;
    let turn = app.turn(caller).await?;
    let subject = put.fetched(app, &turn).await?;
    let bytes = answer_of(app, &turn, put, subject).await?;
    Ok(([(header::CONTENT_TYPE, "application/json")], bytes).into_response())
}

/// The JSON Schema of the vehicle file.
#[utoipa::path(get, path = "/api/schema", responses((status = 200, body = Object)))]
pub(crate) async fn schema() -> axum::Json<serde_json::Value> {
    axum::Json(file::schema::schema())
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn no_question_passes_over_a_key_that_it_does_not_know_and_each_names_the_nearest() {
        let refused = |question: Question| {
            let sent = Keys::from_iter([("tolt".to_owned(), json!(true))]);
            let refused = question.read(sent).err().expect("it knows no `tolt`").why;
            assert_eq!(refused.what, format!("`{}` asks nothing by `tolt`", question.name()));
            let expected = refused.expected.unwrap_or_default();
            assert!(expected.starts_with("`told`, or another of "), "{expected}");
            let sent = Keys::from_iter([("told".to_owned(), json!(true))]);
            let missing = question.read(sent).err().map(|own| own.why.what).unwrap_or_default();
            assert!(!missing.contains("told"), "another key may be missing: {missing}");
        };
        macro_rules! each {
            ($($(#[$doc:meta])* $name:ident $module:ident $word:literal $of:ident $shape:ident;)*) => {
                $(refused(Question::$name);)*
            };
        }
        answers::questions!(each);
        let services = [Question::Picture, Question::Column, Question::Tidy, Question::Edit];
        services.into_iter().for_each(refused);
    }
}
