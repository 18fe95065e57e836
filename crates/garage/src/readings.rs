//! Readings as people wrote them, each with an id that its sender made.

use rusqlite::ToSql;

use crate::entry::{self, Entry};
use crate::error::GarageError;
use crate::open::Garage;
use crate::stored::stored;
use crate::vehicles::VehicleId;
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

stored! {
    /// A reading that is kept.
    StoredReading;
    /// The sender's id.
    cid: String,
    /// What was written.
    text: String,
    /// When it was taken, as the sender says.
    taken: String,
    /// When it arrived.
    stored: String,
    /// Who took it.
    by: String,
    /// True when it was taken back.
    retracted: bool,
}

impl Entry for StoredReading {
    const TABLE: &'static str = "reading";
    const CALLED: &'static str = "reading";
}

impl Garage {
    /// All readings of a vehicle in the order of arrival, those taken back too.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn readings(&self, vehicle: VehicleId) -> Result<Vec<StoredReading>, GarageError> {
        entry::all(self, vehicle)
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
        let values: [(&str, &dyn ToSql); 2] = [("text", &new.text), ("taken", &new.taken)];
        entry::put(self, vehicle, new.cid, &values, stamp, |_, known: &StoredReading| {
            Ok(known.text == new.text)
        })
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
        entry::set_retracted(self, vehicle, cid, retracted)
    }
}
