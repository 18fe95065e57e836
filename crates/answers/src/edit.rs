//! A vehicle file with changes written into it.

use file::edit::{EditError, add_conductor, set_resistance};
use file::rewrite::{Edits, Rewritten, rewrite};
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

use crate::{FORMAT, Refusal};

/// The answer of `edit`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Edited {
    /// The number of the contract.
    pub format: u32,
    /// The file with the changes in it; everything else stays byte for byte.
    pub text: String,
    /// Names of the conductors that are new in it.
    pub added: Vec<String>,
}

/// A vehicle with changes tried on it, written as on the command line.
///
/// # Errors
///
/// When a change cannot be understood.
pub fn changed(vehicle: &Vehicle, set: &[String], add: &[String]) -> Result<Vehicle, Refusal> {
    let mut changed = vehicle.clone();
    for text in add {
        add_conductor(&mut changed, text).map_err(refused)?;
    }
    for text in set {
        set_resistance(&mut changed, text).map_err(refused)?;
    }
    Ok(changed)
}

/// A vehicle file with changes written into it; nothing else of it changes.
///
/// # Errors
///
/// When the file has an error, a change cannot be understood, or it cannot be written safely.
pub fn of(text: &str, edits: Edits<'_>) -> Result<Edited, Refusal> {
    let Rewritten { text, added } = rewrite(text, edits).map_err(refused)?;
    Ok(Edited { format: FORMAT, text, added })
}

pub(crate) fn refused(error: EditError) -> Refusal {
    Refusal { what: error.what, expected: error.expected, hint: error.hint, place: None }
}
