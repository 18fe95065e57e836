//! Answers that somebody wanted kept, with the program that gave them.

use rusqlite::params;

use crate::Stamp;
use crate::error::GarageError;
use crate::open::Garage;
use crate::stored::{Stored, stored, whole};
use crate::vehicles::{VehicleId, current};

/// An answer to be kept.
#[derive(Debug, Clone, Copy)]
pub struct NewResult<'a> {
    /// The revision of the vehicle's text that it was given for.
    pub revision: i64,
    /// The question, such as `diagnose`.
    pub question: &'a str,
    /// What was asked, as JSON.
    pub asked: &'a str,
    /// The answer, as JSON.
    pub answer: &'a str,
    /// Name and version of the program that gave it.
    pub program: &'a str,
}

stored! {
    /// An answer that is kept.
    StoredResult;
    /// Its number.
    id: i64,
    /// The revision of the vehicle's text.
    revision: i64,
    /// The question.
    question: String,
    /// What was asked, as JSON.
    asked: String,
    /// The answer, as JSON.
    answer: String,
    /// The program that gave it.
    program: String,
    /// When.
    stored: String,
    /// Who asked.
    by: String,
}

impl Garage {
    /// Kept answers about a vehicle, the latest first.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn results(&self, vehicle: VehicleId) -> Result<Vec<StoredResult>, GarageError> {
        current(&self.connection, vehicle)?;
        let columns = StoredResult::columns();
        let mut query = self.connection.prepare_cached(&format!(
            "SELECT {columns} FROM result WHERE vehicle = ?1 ORDER BY id DESC"
        ))?;
        let rows = query.query_map([vehicle.0], whole)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Keeps an answer; gives its number.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`] without the vehicle and its revision, or when the file cannot be
    /// written.
    pub fn add_result(
        &mut self,
        vehicle: VehicleId,
        new: NewResult<'_>,
        stamp: Stamp<'_>,
    ) -> Result<i64, GarageError> {
        self.version(vehicle, new.revision)?;
        self.connection.execute(
            "INSERT INTO result (vehicle, revision, question, asked, answer, program, stored, by)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            params![
                vehicle.0,
                new.revision,
                new.question,
                new.asked,
                new.answer,
                new.program,
                stamp.when,
                stamp.by
            ],
        )?;
        Ok(self.connection.last_insert_rowid())
    }
}
