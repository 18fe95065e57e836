//! Work that was done to a vehicle.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::error::GarageError;
use crate::open::Garage;
use crate::vehicles::{VehicleId, current};
use crate::{Put, Stamp};

/// Work to be written down, in the words of whoever did it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewWork {
    /// Made by the sender, so that sending twice stores once.
    pub cid: String,
    /// The joint, conductor or part that was worked on, by its name in the vehicle file.
    pub on: String,
    /// What was done.
    pub what: String,
    /// When, as written.
    pub done: Option<String>,
    /// Tightening torque with its unit, as written.
    pub torque: Option<String>,
    /// What keeps water off now.
    pub protection: Option<String>,
    /// A remark.
    pub note: Option<String>,
}

/// Work that is written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredWork {
    /// What was written.
    pub work: NewWork,
    /// When it was written down.
    pub stored: String,
    /// Who wrote it.
    pub by: String,
    /// True when it was taken back.
    pub retracted: bool,
}

impl Garage {
    /// All work on a vehicle in the order of arrival.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn work(&self, vehicle: VehicleId) -> Result<Vec<StoredWork>, GarageError> {
        current(&self.connection, vehicle)?;
        let mut query = self.connection.prepare_cached(
            "SELECT cid, on_piece, what, done, torque, protection, note, stored, by, retracted
             FROM work WHERE vehicle = ?1 ORDER BY id",
        )?;
        let rows = query.query_map([vehicle.0], work_of)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Writes work down; sending the same again changes nothing.
    ///
    /// # Errors
    ///
    /// [`GarageError::Taken`] when the id belongs to other work, [`GarageError::NotFound`] without
    /// the vehicle, or when the file cannot be written.
    pub fn put_work(
        &mut self,
        vehicle: VehicleId,
        new: &NewWork,
        stamp: Stamp<'_>,
    ) -> Result<Put<StoredWork>, GarageError> {
        let change = self.change()?;
        current(&change, vehicle)?;
        if let Some(known) = one(&change, vehicle, &new.cid)? {
            return if known.work == *new {
                Ok(Put::Known(known))
            } else {
                Err(GarageError::Taken("entry of work"))
            };
        }
        change.execute(
            "INSERT INTO work (vehicle, cid, on_piece, what, done, torque, protection, note, stored, by)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            params![
                vehicle.0,
                new.cid,
                new.on,
                new.what,
                new.done,
                new.torque,
                new.protection,
                new.note,
                stamp.when,
                stamp.by
            ],
        )?;
        let stored =
            one(&change, vehicle, &new.cid)?.ok_or(GarageError::NotFound("entry of work"))?;
        change.commit()?;
        Ok(Put::New(stored))
    }

    /// Takes work back, or lets it stand again.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be written.
    pub fn set_work_retracted(
        &mut self,
        vehicle: VehicleId,
        cid: &str,
        retracted: bool,
    ) -> Result<StoredWork, GarageError> {
        self.connection.execute(
            "UPDATE work SET retracted = ?3 WHERE vehicle = ?1 AND cid = ?2",
            params![vehicle.0, cid, retracted],
        )?;
        one(&self.connection, vehicle, cid)?.ok_or(GarageError::NotFound("entry of work"))
    }
}

fn one(
    connection: &Connection,
    vehicle: VehicleId,
    cid: &str,
) -> Result<Option<StoredWork>, GarageError> {
    Ok(connection
        .prepare_cached(
            "SELECT cid, on_piece, what, done, torque, protection, note, stored, by, retracted
             FROM work WHERE vehicle = ?1 AND cid = ?2",
        )?
        .query_row(params![vehicle.0, cid], work_of)
        .optional()?)
}

fn work_of(row: &Row<'_>) -> rusqlite::Result<StoredWork> {
    Ok(StoredWork {
        work: NewWork {
            cid: row.get(0)?,
            on: row.get(1)?,
            what: row.get(2)?,
            done: row.get(3)?,
            torque: row.get(4)?,
            protection: row.get(5)?,
            note: row.get(6)?,
        },
        stored: row.get(7)?,
        by: row.get(8)?,
        retracted: row.get(9)?,
    })
}
