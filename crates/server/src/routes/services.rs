//! What the page needs besides the questions: a drawing, a column to drag with, the file tidily written or edited.

use answers::column::Grabbed;
use answers::room::{Needs, Watch};
use file::rewrite::Edits;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::asked::{Answerable, written};
use crate::error::ApiError;
use crate::subject::Subject;

/// Asks for everything that a drawing needs.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Picture {}

impl Answerable for Picture {
    fn answer(&self, subject: &Subject, _: Watch<'_>) -> Result<Option<Vec<u8>>, ApiError> {
        let file = subject.file()?;
        written(&answers::picture::Picture::of(&file.reading, &file.text)).map(Some)
    }
}

/// Asks for the column with which a page answers a changed resistance by itself: of a piece, or between two points.
#[derive(Debug, Default, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
#[schema(as = ColumnAsked)]
pub(crate) struct Column {
    /// The operating state.
    state: Option<String>,
    /// A piece whose resistance may change.
    piece: Option<String>,
    /// Two points between which a conductor is drawn.
    between: Option<[String; 2]>,
}

impl Answerable for Column {
    fn answer(&self, subject: &Subject, _: Watch<'_>) -> Result<Option<Vec<u8>>, ApiError> {
        let state = self.state.as_deref().ok_or_else(|| {
            ApiError::malformed("the question names no state", "`state`, an operating state")
        })?;
        let what = match (&self.piece, &self.between) {
            (Some(piece), None) => Grabbed::Piece(piece),
            (None, Some(ends)) => Grabbed::Between(ends),
            _ => {
                return Err(ApiError::malformed(
                    "it is not clear what changes",
                    "one of `piece` and `between`",
                ));
            }
        };
        subject.with(Needs::Vehicle, |at_hand| {
            let vehicle = at_hand.file.and_then(|own| own.reading.vehicle.as_ref());
            // Without a vehicle `with` has refused already.
            let Some(vehicle) = vehicle else { return Ok(None) };
            written(&answers::column::at(vehicle, state, what)?).map(Some)
        })
    }
}

/// Asks for the file, tidily written.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Tidy {}

answer! {
    /// A file, tidily written.
    Tidied {
        /// The tidy text.
        text: String,
        /// True when it was tidy already.
        tidy: bool,
    }
}

impl Answerable for Tidy {
    fn answer(&self, subject: &Subject, _: Watch<'_>) -> Result<Option<Vec<u8>>, ApiError> {
        let file = subject.file()?;
        let text = file::format::format(&file.text).map_err(|_| {
            ApiError::problems(answers::problem::of(&file.reading.problems, &file.text))
        })?;
        let tidy = text == file.text;
        written(&Tidied::of(text, tidy)).map(Some)
    }
}

/// Asks for the file with changes written into it.
#[derive(Debug, Default, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
#[schema(as = EditAsked)]
pub(crate) struct Edit {
    /// Sizes of conductors, such as `main-negative=50 mm²`.
    size: Vec<String>,
    /// Resistances, such as `main-negative.to=5mΩ`.
    set: Vec<String>,
    /// Conductors to add, such as `main/-,block/front,35mm2,0.6m`.
    add: Vec<String>,
}

impl Answerable for Edit {
    fn answer(&self, subject: &Subject, _: Watch<'_>) -> Result<Option<Vec<u8>>, ApiError> {
        let Self { size: sizes, set: resistances, add: conductors } = self;
        let edits = Edits { sizes, resistances, conductors };
        let file = subject.file()?;
        file.vehicle()?;
        written(&answers::edit::of(&file.text, edits)?).map(Some)
    }
}
