//! Answers that somebody wanted kept, with the program that gave them.

use rusqlite::params;

use crate::Stamp;
use crate::error::GarageError;
use crate::open::Garage;
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

/// An answer that is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredResult {
    /// Its number.
    pub id: i64,
    /// The revision of the vehicle's text.
    pub revision: i64,
    /// The question.
    pub question: String,
    /// What was asked, as JSON.
    pub asked: String,
    /// The answer, as JSON.
    pub answer: String,
    /// The program that gave it.
    pub program: String,
    /// When.
    pub stored: String,
    /// Who asked.
    pub by: String,
}

impl Garage {
    /// Kept answers about a vehicle, the latest first.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn results(&self, vehicle: VehicleId) -> Result<Vec<StoredResult>, GarageError> {
        current(&self.connection, vehicle)?;
        let mut query = self.connection.prepare_cached(
            "SELECT id, revision, question, asked, answer, program, stored, by FROM result
             WHERE vehicle = ?1 ORDER BY id DESC",
        )?;
        let rows = query.query_map([vehicle.0], |row| {
            Ok(StoredResult {
                id: row.get(0)?,
                revision: row.get(1)?,
                question: row.get(2)?,
                asked: row.get(3)?,
                answer: row.get(4)?,
                program: row.get(5)?,
                stored: row.get(6)?,
                by: row.get(7)?,
            })
        })?;
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
