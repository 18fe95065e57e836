//! Whole files of readings, kept byte for byte.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::error::GarageError;
use crate::open::Garage;
use crate::vehicles::{VehicleId, current};
use crate::{Put, Stamp};

/// A file of readings, without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadingsFile {
    /// The sender's id.
    pub cid: String,
    /// What the file was called; told to people and never used as a path.
    pub name: String,
    /// When it arrived.
    pub stored: String,
    /// Who brought it.
    pub by: String,
    /// True when it was taken back.
    pub retracted: bool,
}

/// A file of readings with its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadingsFileText {
    /// What is known of it.
    pub file: ReadingsFile,
    /// The file, byte for byte.
    pub bytes: Vec<u8>,
}

impl Garage {
    /// All files of readings of a vehicle in the order of arrival.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn readings_files(&self, vehicle: VehicleId) -> Result<Vec<ReadingsFileText>, GarageError> {
        current(&self.connection, vehicle)?;
        let mut query = self.connection.prepare_cached(
            "SELECT cid, name, stored, by, retracted, bytes FROM readings_file
             WHERE vehicle = ?1 ORDER BY id",
        )?;
        let rows = query.query_map([vehicle.0], file_of)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// One file of readings.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be read.
    pub fn readings_file(
        &self,
        vehicle: VehicleId,
        cid: &str,
    ) -> Result<ReadingsFileText, GarageError> {
        file(&self.connection, vehicle, cid)?.ok_or(GarageError::NotFound("file of readings"))
    }

    /// Keeps a file of readings; sending the same one again changes nothing.
    ///
    /// # Errors
    ///
    /// [`GarageError::Taken`] when the id belongs to another file, [`GarageError::NotFound`] without
    /// the vehicle, or when the file cannot be written.
    pub fn put_readings_file(
        &mut self,
        vehicle: VehicleId,
        cid: &str,
        name: &str,
        bytes: &[u8],
        stamp: Stamp<'_>,
    ) -> Result<Put<ReadingsFile>, GarageError> {
        let change = self.change()?;
        current(&change, vehicle)?;
        if let Some(known) = file(&change, vehicle, cid)? {
            return if known.bytes == bytes && known.file.name == name {
                Ok(Put::Known(known.file))
            } else {
                Err(GarageError::Taken("file of readings"))
            };
        }
        change.execute(
            "INSERT INTO readings_file (vehicle, cid, name, bytes, stored, by)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![vehicle.0, cid, name, bytes, stamp.when, stamp.by],
        )?;
        let stored =
            file(&change, vehicle, cid)?.ok_or(GarageError::NotFound("file of readings"))?;
        change.commit()?;
        Ok(Put::New(stored.file))
    }

    /// Takes a file of readings back, or lets it count again.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be written.
    pub fn set_readings_file_retracted(
        &mut self,
        vehicle: VehicleId,
        cid: &str,
        retracted: bool,
    ) -> Result<ReadingsFile, GarageError> {
        self.connection.execute(
            "UPDATE readings_file SET retracted = ?3 WHERE vehicle = ?1 AND cid = ?2",
            params![vehicle.0, cid, retracted],
        )?;
        Ok(self.readings_file(vehicle, cid)?.file)
    }
}

fn file(
    connection: &Connection,
    vehicle: VehicleId,
    cid: &str,
) -> Result<Option<ReadingsFileText>, GarageError> {
    Ok(connection
        .prepare_cached(
            "SELECT cid, name, stored, by, retracted, bytes FROM readings_file
             WHERE vehicle = ?1 AND cid = ?2",
        )?
        .query_row(params![vehicle.0, cid], file_of)
        .optional()?)
}

fn file_of(row: &Row<'_>) -> rusqlite::Result<ReadingsFileText> {
    let file = ReadingsFile {
        cid: row.get(0)?,
        name: row.get(1)?,
        stored: row.get(2)?,
        by: row.get(3)?,
        retracted: row.get(4)?,
    };
    Ok(ReadingsFileText { file, bytes: row.get(5)? })
}
