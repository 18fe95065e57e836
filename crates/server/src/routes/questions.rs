//! Questions about a vehicle, stored or not. They change nothing.

use std::borrow::Cow;

use answers::ask::{self, Grabbed};
use answers::room::{self, Watch};
use answers::{
    bolt, budget, check, column, diagnose, edit as edited, failures, heat, next, offsets, picture,
    repairs, routes, solve, what_if,
};
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use file::rewrite::Edits;
use model::Vehicle;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::app::Shared;
use crate::asking::{Stop, Turn, gone};
use crate::body::{FILE, Json};
use crate::error::ApiError;
use crate::gate::Caller;
use crate::slug::Slug;
use crate::subject::{Asked, Subject, Understood};

/// Proposals when nobody says how many: as on the command line.
const USUAL_NEXT: usize = 3;
const USUAL_REPAIRS: usize = 8;
const USUAL_FAILURES: usize = 8;
/// More proposals than this help nobody.
const MOST: usize = 500;
/// Loads, conductors and joints of the largest vehicle about which a device may ask.
const MOST_PIECES: usize = 20_000;
/// The same where every one of them is tried.
const MOST_PIECES_OF_LONG: usize = 2_000;

/// Keys of what a question is about.
const ABOUT: [&str; 3] = ["vehicle", "revision", "text"];

/// A question by its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Question {
    /// What is wrong with the file.
    Check,
    /// Everything that a drawing needs.
    Picture,
    /// Volts and amperes.
    Solve,
    /// Where a load's volts go.
    Budget,
    /// Which way the current comes home.
    Routes,
    /// Who lifts whose ground.
    Offsets,
    /// Before and after a change.
    WhatIf,
    /// What a changed resistance does to every point.
    Column,
    /// Which joint is bad.
    Diagnose,
    /// What to measure next.
    Next,
    /// What is worth doing.
    Repairs,
    /// What fails when something fails.
    Failures,
    /// How warm everything gets.
    Heat,
    /// How a joint is made and tightened.
    Bolt,
    /// The file, tidily written.
    Tidy,
    /// The file, with changes written into it.
    Edit,
}

/// A file, tidily written.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Tidied {
    /// The number of the contract.
    format: u32,
    /// The tidy text.
    text: String,
    /// True when it was tidy already.
    tidy: bool,
}

impl Question {
    /// True where the stored readings matter.
    pub(crate) fn measured(self) -> bool {
        matches!(self, Self::Diagnose | Self::Next | Self::Repairs)
    }

    /// True where every piece is tried, or every pair of them.
    fn takes_long(self) -> bool {
        self.measured() || matches!(self, Self::Failures | Self::Offsets | Self::Heat)
    }

    /// The keys that it knows, besides those of what it is about.
    fn keys(self) -> &'static [&'static str] {
        match self {
            Self::Check | Self::Picture | Self::Tidy => &[],
            Self::Solve => &["state", "set", "add"],
            Self::Budget | Self::Routes => &["load", "state", "set", "add"],
            Self::Offsets => &["loads", "state", "set", "add"],
            Self::WhatIf => &["set", "add", "state"],
            Self::Edit => &["size", "set", "add"],
            Self::Column => &["state", "piece", "between"],
            Self::Diagnose => &["readings", "complaint"],
            Self::Next => &["readings", "complaint", "alone", "without", "open", "most", "plan"],
            Self::Repairs => &["readings", "complaint", "most"],
            Self::Failures => &["state", "most"],
            Self::Heat => &["state", "seconds", "duty"],
            Self::Bolt => &["joint"],
        }
    }

    /// Refuses a key that the question does not know: it would be answered as if it had not been sent.
    pub(crate) fn heeds(self, asked: &Asked) -> Result<(), ApiError> {
        let sent = serde_json::to_value(asked).unwrap_or_default();
        let known = |key: &str| ABOUT.contains(&key) || self.keys().contains(&key);
        let mut sent = sent.as_object().into_iter().flat_map(serde_json::Map::keys);
        let Some(unknown) = sent.find(|key| !known(key)) else { return Ok(()) };
        let all: Vec<String> =
            self.keys().iter().chain(&ABOUT).map(|key| format!("`{key}`")).collect();
        Err(ApiError::malformed(
            format!("`{}` asks nothing by `{unknown}`", self.name()),
            &format!("of {}", all.join(", ")),
        ))
    }

    /// The name under which it is asked.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Check => "check",
            Self::Picture => "picture",
            Self::Solve => "solve",
            Self::Budget => "budget",
            Self::Routes => "routes",
            Self::Offsets => "offsets",
            Self::WhatIf => "what-if",
            Self::Column => "column",
            Self::Diagnose => "diagnose",
            Self::Next => "next",
            Self::Repairs => "repairs",
            Self::Failures => "failures",
            Self::Heat => "heat",
            Self::Bolt => "bolt",
            Self::Tidy => "tidy",
            Self::Edit => "edit",
        }
    }

    /// The answer as JSON text; nothing when `watch` wanted it stopped, which is told how far it is.
    /// Takes long for some: not to be called where requests are served.
    pub(crate) fn answer(
        self,
        asked: &Asked,
        subject: &Subject,
        watch: Watch<'_>,
    ) -> Result<Option<Vec<u8>>, ApiError> {
        let file = &subject.file;
        let state = asked.state.as_deref();
        match self {
            Self::Check => {
                let file = room::File { reading: &file.reading, text: &file.text };
                written(&room::shape_of(&check::Asked::default(), file)?)
            }
            Self::Picture => written(&picture::of(&file.reading, &file.text)),
            Self::Tidy => {
                let text = file::format::format(&file.text).map_err(|_| {
                    ApiError::problems(answers::problem::of(&file.reading.problems, &file.text))
                })?;
                let tidy = text == file.text;
                written(&Tidied { format: answers::FORMAT, text, tidy })
            }
            Self::Edit => {
                let Asked { size: sizes, set: resistances, add: conductors, .. } = asked;
                let edits = Edits { sizes, resistances, conductors };
                file.vehicle()?;
                written(&ask::edit(&file.text, edits)?)
            }
            Self::Solve => {
                let question = solve::Asked { state: asked.state.clone(), all: false };
                answer(&question, &*tried(file, asked)?, watch)
            }
            Self::Budget => {
                let load = asked.load.clone().ok_or_else(|| {
                    ApiError::malformed("the question names no load", "`load`, the name of a load")
                })?;
                let question = budget::Asked { load, state: asked.state.clone(), all: false };
                answer(&question, &*tried(file, asked)?, watch)
            }
            Self::Routes => {
                let (load, state) = (asked.load.clone(), asked.state.clone());
                let question = routes::Asked { load, state, ..routes::Asked::default() };
                answer(&question, &*tried(file, asked)?, watch)
            }
            Self::Offsets => {
                let (loads, state) = (asked.loads.clone(), asked.state.clone());
                let question = offsets::Asked { loads, state, ..offsets::Asked::default() };
                answer(&question, &*tried(file, asked)?, watch)
            }
            Self::WhatIf => {
                let (set, add, state) = (asked.set.clone(), asked.add.clone(), asked.state.clone());
                answer(&what_if::Asked { set, add, state, all: false }, file.vehicle()?, watch)
            }
            Self::Column => {
                let what = match (&asked.piece, &asked.between) {
                    (Some(piece), None) => Grabbed::Piece(piece),
                    (None, Some(ends)) => Grabbed::Between(ends),
                    _ => {
                        return Err(ApiError::malformed(
                            "it is not clear what changes",
                            "one of `piece` and `between`",
                        ));
                    }
                };
                written(&ask::column(file.vehicle()?, named(state)?, what)?)
            }
            Self::Diagnose => {
                let (vehicle, taken) = (file.vehicle()?, &subject.taken()?);
                answer(&diagnose::Asked::default(), room::Measured { vehicle, taken }, watch)
            }
            Self::Next => {
                let (vehicle, taken) = (file.vehicle()?, &subject.taken()?);
                let plan = asked.plan.map(|most| next::Plan::Of(most.min(MOST)));
                let question = next::Asked {
                    most: asked.most.unwrap_or(USUAL_NEXT).min(MOST),
                    alone: asked.alone,
                    without: asked.without.clone(),
                    open: asked.open.clone(),
                    plan: plan.unwrap_or_default(),
                };
                answer(&question, room::Measured { vehicle, taken }, watch)
            }
            Self::Failures => {
                let most = asked.most.unwrap_or(USUAL_FAILURES).min(MOST);
                let question =
                    failures::Asked { state: asked.state.clone(), most, ..Default::default() };
                let found = room::Question::find(&question, file.vehicle()?, watch)?;
                // Nobody waits for half of it here.
                let found = found.filter(failures::Found::complete);
                written_if(found.map(|own| room::Question::shape(&question, &own)).as_ref())
            }
            Self::Heat => {
                let question = heat::Asked {
                    state: named(state)?.to_owned(),
                    seconds: asked.seconds,
                    duty: asked.duty.map(heat::DutyAsked::Round),
                    ..Default::default()
                };
                answer(&question, file.vehicle()?, watch)
            }
            Self::Bolt => {
                let joint = asked.joint.as_deref().ok_or_else(|| {
                    ApiError::malformed(
                        "the question names no joint",
                        "`joint`, such as `main-negative.to`",
                    )
                })?;
                let asked = bolt::Asked::of_joint(joint);
                written(&room::shape_of(&asked, Some(file.vehicle()?))?)
            }
            Self::Repairs => {
                let most = asked.most.unwrap_or(USUAL_REPAIRS).min(MOST);
                let (vehicle, taken) = (file.vehicle()?, &subject.taken()?);
                answer(&repairs::Asked { most }, room::Measured { vehicle, taken }, watch)
            }
        }
    }
}

/// The answer of a question as JSON text.
fn answer<'v, Q: room::Question>(
    question: &Q,
    about: Q::About<'v>,
    watch: Watch<'_>,
) -> Result<Option<Vec<u8>>, ApiError> {
    let found = question.find(about, watch)?;
    written_if(found.map(|found| question.shape(&found)).as_ref())
}

/// The vehicle with what is tried on it.
fn tried<'f>(file: &'f Understood, asked: &Asked) -> Result<Cow<'f, Vehicle>, ApiError> {
    let vehicle = file.vehicle()?;
    if asked.set.is_empty() && asked.add.is_empty() {
        return Ok(Cow::Borrowed(vehicle));
    }
    Ok(Cow::Owned(ask::changed(vehicle, &asked.set, &asked.add)?))
}

/// The state of a question that is about one state.
fn named(state: Option<&str>) -> Result<&str, ApiError> {
    state.ok_or_else(|| {
        ApiError::malformed("the question names no state", "`state`, an operating state")
    })
}

fn written(answer: &impl Serialize) -> Result<Option<Vec<u8>>, ApiError> {
    serde_json::to_vec(answer).map(Some).map_err(|error| ApiError::inside(error.to_string()))
}

fn written_if(answer: Option<&impl Serialize>) -> Result<Option<Vec<u8>>, ApiError> {
    answer.map_or(Ok(None), written)
}

/// Asks on a thread of its own and waits for the answer.
pub(crate) async fn answer_of(
    app: &Shared,
    turn: &Turn,
    question: Question,
    asked: Asked,
    subject: Subject,
) -> Result<Vec<u8>, ApiError> {
    let pace = app.pace;
    let act = move |stop: &Stop| {
        question.answer(&asked, &subject, &mut |_| {
            std::thread::sleep(pace);
            !stop.is_set()
        })
    };
    // Without an answer it was stopped, and while somebody waits that is the end of a key alone.
    app.compute_for(turn, act).await??.ok_or_else(gone)
}

/// Refuses a device what would keep the machine busy for long: the desk may ask it.
pub(crate) fn small_enough(
    turn: &Turn,
    question: Question,
    subject: &Subject,
) -> Result<(), ApiError> {
    let most = if question.takes_long() { MOST_PIECES_OF_LONG } else { MOST_PIECES };
    let Some(vehicle) = subject.file.reading.vehicle.as_ref() else { return Ok(()) };
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
    asked: Asked,
) -> Result<Response, ApiError> {
    question.heeds(&asked)?;
    let turn = app.turn(caller).await?;
    let subject = Subject::of(app, &asked, question.measured()).await?;
    small_enough(&turn, question, &subject)?;
    let bytes = answer_of(app, &turn, question, asked, subject).await?;
    Ok(([(header::CONTENT_TYPE, "application/json")], bytes).into_response())
}

macro_rules! questions {
    ($($(#[$doc:meta])* $name:ident $path:literal $question:ident $answer:ty;)*) => {$(
        $(#[$doc])*
        #[utoipa::path(post, path = $path, request_body = Asked, responses((status = 200, body = $answer)))]
        pub(crate) async fn $name(
            State(app): State<Shared>,
            caller: Caller,
            Json(asked): Json<Asked, FILE>,
        ) -> Result<Response, ApiError> {
            answered(&app, &caller, Question::$question, asked).await
        }
    )*};
}

questions! {
    /// What is wrong with the file, and what is in it.
    check "/api/check" Check check::Check;
    /// Everything that a drawing needs and that no current changes.
    picture "/api/picture" Picture picture::Picture;
    /// Volts, amperes, watts and degrees of everything.
    solve "/api/solve" Solve solve::Solved;
    /// Where the volts of a load go.
    budget "/api/budget" Budget budget::Budgets;
    /// Which way the current comes home.
    routes "/api/routes" Routes routes::ReturnRoutes;
    /// Who lifts whose ground.
    offsets "/api/offsets" Offsets offsets::GroundOffsets;
    /// Before and after a change.
    what_if "/api/what-if" WhatIf what_if::WhatIf;
    /// The column with which the page answers a changed resistance by itself.
    column "/api/column" Column column::Column;
    /// Which joint is bad.
    diagnose "/api/diagnose" Diagnose diagnose::Diagnosed;
    /// What to measure next.
    next "/api/next" Next next::NextOrPlan;
    /// What is worth doing.
    repairs "/api/repairs" Repairs repairs::Repairs;
    /// What fails when something fails.
    failures "/api/failures" Failures failures::FailureSurvey;
    /// How warm conductors and joints get in a state, and what they could carry.
    heat "/api/heat" Heat heat::Heat;
    /// How a joint is made, tightened and kept, as far as the file says.
    bolt "/api/bolt" Bolt bolt::JointSheet;
    /// The file, tidily written.
    tidy "/api/tidy" Tidy Tidied;
    /// The file with changes written into it, sizes, resistances and conductors; nothing is stored.
    edit "/api/edit" Edit edited::Edited;
}

/// The JSON Schema of the vehicle file.
#[utoipa::path(get, path = "/api/schema", responses((status = 200, body = Object)))]
pub(crate) async fn schema() -> axum::Json<serde_json::Value> {
    axum::Json(file::schema::schema())
}
