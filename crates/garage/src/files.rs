//! Whole files of readings, kept byte for byte.

use rusqlite::{Row, ToSql};

use crate::entry::{self, Entry};
use crate::error::GarageError;
use crate::open::Garage;
use crate::stored::{Stored, next, stored};
use crate::vehicles::VehicleId;
use crate::{Put, Stamp};

stored! {
    /// A file of readings, without its bytes.
    ReadingsFile;
    /// The sender's id.
    cid: String,
    /// What the file was called; told to people and never used as a path.
    name: String,
    /// When it arrived.
    stored: String,
    /// Who brought it.
    by: String,
    /// True when it was taken back.
    retracted: bool,
}

/// A file of readings with its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadingsFileText {
    /// What is known of it.
    pub file: ReadingsFile,
    /// The file, byte for byte.
    pub bytes: Vec<u8>,
}

impl Stored for ReadingsFileText {
    fn columns() -> String {
        ReadingsFile::columns() + ", bytes"
    }

    fn read(row: &Row<'_>, at: &mut usize) -> rusqlite::Result<Self> {
        Ok(Self { file: ReadingsFile::read(row, at)?, bytes: next(row, at)? })
    }
}

impl Entry for ReadingsFileText {
    const TABLE: &'static str = "readings_file";
    const CALLED: &'static str = "file of readings";
}

impl Garage {
    /// All files of readings of a vehicle in the order of arrival.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn readings_files(&self, vehicle: VehicleId) -> Result<Vec<ReadingsFileText>, GarageError> {
        entry::all(self, vehicle)
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
        entry::one(&self.connection, vehicle, cid)
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
        let values: [(&str, &dyn ToSql); 2] = [("name", &name), ("bytes", &bytes)];
        let put = entry::put(self, vehicle, cid, &values, stamp, |_, known: &ReadingsFileText| {
            Ok(known.bytes == bytes && known.file.name == name)
        })?;
        Ok(match put {
            Put::New(own) => Put::New(own.file),
            Put::Known(own) => Put::Known(own.file),
        })
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
        let found: ReadingsFileText = entry::set_retracted(self, vehicle, cid, retracted)?;
        Ok(found.file)
    }
}
