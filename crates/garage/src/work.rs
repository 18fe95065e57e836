//! Work that was done to a vehicle.

use rusqlite::{Row, ToSql};

use crate::entry::{self, Entry};
use crate::error::GarageError;
use crate::open::Garage;
use crate::stored::{Stored, next, stored};
use crate::vehicles::VehicleId;
use crate::{Put, Stamp};

stored! {
    /// Work to be written down, in the words of whoever did it.
    NewWork;
    /// Made by the sender, so that sending twice stores once.
    cid: String,
    /// The joint, conductor or part that was worked on, by its name in the vehicle file.
    on: String = "on_piece",
    /// What was done.
    what: String,
    /// When, as written.
    done: Option<String>,
    /// Tightening torque with its unit, as written.
    torque: Option<String>,
    /// What keeps water off now.
    protection: Option<String>,
    /// A remark.
    note: Option<String>,
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

impl Stored for StoredWork {
    fn columns() -> String {
        NewWork::columns() + ", stored, by, retracted"
    }

    fn read(row: &Row<'_>, at: &mut usize) -> rusqlite::Result<Self> {
        Ok(Self {
            work: NewWork::read(row, at)?,
            stored: next(row, at)?,
            by: next(row, at)?,
            retracted: next(row, at)?,
        })
    }
}

impl Entry for StoredWork {
    const TABLE: &'static str = "work";
    const CALLED: &'static str = "entry of work";
}

impl Garage {
    /// All work on a vehicle in the order of arrival.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn work(&self, vehicle: VehicleId) -> Result<Vec<StoredWork>, GarageError> {
        entry::all(self, vehicle)
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
        let values: [(&str, &dyn ToSql); 6] = [
            ("on_piece", &new.on),
            ("what", &new.what),
            ("done", &new.done),
            ("torque", &new.torque),
            ("protection", &new.protection),
            ("note", &new.note),
        ];
        entry::put(self, vehicle, &new.cid, &values, stamp, |_, known: &StoredWork| {
            Ok(known.work == *new)
        })
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
        entry::set_retracted(self, vehicle, cid, retracted)
    }
}
