//! Readings as people wrote them, each with an id that its sender made.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::error::GarageError;
use crate::open::Garage;
use crate::vehicles::{VehicleId, current};
use crate::{Put, Stamp};

/// A reading to be kept.
#[derive(Debug, Clone, Copy)]
pub struct NewReading<'a> {
    /// Made by the sender, so that sending twice stores once.
    pub cid: &'a str,
    /// What was written.
    pub text: &'a str,
    /// When it was taken, as the sender says.
    pub taken: &'a str,
}

/// A reading that is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredReading {
    /// The sender's id.
    pub cid: String,
    /// What was written.
    pub text: String,
    /// When it was taken, as the sender says.
    pub taken: String,
    /// When it arrived.
    pub stored: String,
    /// Who took it.
    pub by: String,
    /// True when it was taken back.
    pub retracted: bool,
}

impl Garage {
    /// All readings of a vehicle in the order of arrival, those taken back too.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn readings(&self, vehicle: VehicleId) -> Result<Vec<StoredReading>, GarageError> {
        current(&self.connection, vehicle)?;
        let mut query = self.connection.prepare_cached(
            "SELECT cid, text, taken, stored, by, retracted FROM reading
             WHERE vehicle = ?1 ORDER BY id",
        )?;
        let rows = query.query_map([vehicle.0], reading_of)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Keeps a reading; sending the same one again changes nothing.
    ///
    /// # Errors
    ///
    /// [`GarageError::Taken`] when the id belongs to another text, [`GarageError::NotFound`] without
    /// the vehicle, or when the file cannot be written.
    pub fn put_reading(
        &mut self,
        vehicle: VehicleId,
        new: NewReading<'_>,
        stamp: Stamp<'_>,
    ) -> Result<Put<StoredReading>, GarageError> {
        let change = self.change()?;
        current(&change, vehicle)?;
        if let Some(known) = reading(&change, vehicle, new.cid)? {
            return if known.text == new.text {
                Ok(Put::Known(known))
            } else {
                Err(GarageError::Taken("reading"))
            };
        }
        change
            .prepare_cached(
                "INSERT INTO reading (vehicle, cid, text, taken, stored, by)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            )?
            .execute(params![vehicle.0, new.cid, new.text, new.taken, stamp.when, stamp.by])?;
        let stored = reading(&change, vehicle, new.cid)?.ok_or(GarageError::NotFound("reading"))?;
        change.commit()?;
        Ok(Put::New(stored))
    }

    /// Takes a reading back, or lets it count again.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be written.
    pub fn set_reading_retracted(
        &mut self,
        vehicle: VehicleId,
        cid: &str,
        retracted: bool,
    ) -> Result<StoredReading, GarageError> {
        self.connection.execute(
            "UPDATE reading SET retracted = ?3 WHERE vehicle = ?1 AND cid = ?2",
            params![vehicle.0, cid, retracted],
        )?;
        reading(&self.connection, vehicle, cid)?.ok_or(GarageError::NotFound("reading"))
    }
}

fn reading(
    connection: &Connection,
    vehicle: VehicleId,
    cid: &str,
) -> Result<Option<StoredReading>, GarageError> {
    Ok(connection
        .prepare_cached(
            "SELECT cid, text, taken, stored, by, retracted FROM reading
             WHERE vehicle = ?1 AND cid = ?2",
        )?
        .query_row(params![vehicle.0, cid], reading_of)
        .optional()?)
}

fn reading_of(row: &Row<'_>) -> rusqlite::Result<StoredReading> {
    Ok(StoredReading {
        cid: row.get(0)?,
        text: row.get(1)?,
        taken: row.get(2)?,
        stored: row.get(3)?,
        by: row.get(4)?,
        retracted: row.get(5)?,
    })
}
