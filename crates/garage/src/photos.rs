//! Photographs of joints and work.

use rusqlite::{OptionalExtension, ToSql, params};

use crate::entry::{self, Entry};
use crate::error::GarageError;
use crate::open::Garage;
use crate::stored::stored;
use crate::vehicles::VehicleId;
use crate::{Put, Stamp};

/// A photograph to be kept.
#[derive(Debug, Clone, Copy)]
pub struct NewPhoto<'a> {
    /// Made by the sender, so that sending twice stores once.
    pub cid: &'a str,
    /// The joint or conductor that it shows, by its name in the vehicle file.
    pub on: Option<&'a str>,
    /// The sender's id of the work that it belongs to.
    pub work: Option<&'a str>,
    /// `before` or `after` that work.
    pub side: Option<&'a str>,
    /// A remark.
    pub caption: Option<&'a str>,
    /// Its media type, such as `image/jpeg`.
    pub media_type: &'a str,
    /// The picture.
    pub bytes: &'a [u8],
}

stored! {
    /// A photograph that is kept, without its bytes.
    Photo;
    /// The sender's id.
    cid: String,
    /// What it shows.
    on: Option<String> = "on_piece",
    /// The work that it belongs to.
    work: Option<String>,
    /// `before` or `after`.
    side: Option<String>,
    /// A remark.
    caption: Option<String>,
    /// Its media type.
    media_type: String,
    /// Number of its bytes.
    size: i64 = "length(bytes)",
    /// When it arrived.
    stored: String,
    /// Who brought it.
    by: String,
    /// True when it was taken back.
    retracted: bool,
}

impl Entry for Photo {
    const TABLE: &'static str = "photo";
    const CALLED: &'static str = "photograph";
}

impl Garage {
    /// All photographs of a vehicle, without their bytes, in the order of arrival.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn photos(&self, vehicle: VehicleId) -> Result<Vec<Photo>, GarageError> {
        entry::all(self, vehicle)
    }

    /// The bytes of a photograph and their media type.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be read.
    pub fn photo_bytes(
        &self,
        vehicle: VehicleId,
        cid: &str,
    ) -> Result<(String, Vec<u8>), GarageError> {
        self.connection
            .query_row(
                "SELECT media_type, bytes FROM photo WHERE vehicle = ?1 AND cid = ?2",
                params![vehicle.0, cid],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?
            .ok_or(GarageError::NotFound("photograph"))
    }

    /// Keeps a photograph; sending the same one again changes nothing.
    ///
    /// # Errors
    ///
    /// [`GarageError::Taken`] when the id belongs to another picture, [`GarageError::NotFound`]
    /// without the vehicle, or when the file cannot be written.
    pub fn put_photo(
        &mut self,
        vehicle: VehicleId,
        new: NewPhoto<'_>,
        stamp: Stamp<'_>,
    ) -> Result<Put<Photo>, GarageError> {
        let values: [(&str, &dyn ToSql); 6] = [
            ("on_piece", &new.on),
            ("work", &new.work),
            ("side", &new.side),
            ("caption", &new.caption),
            ("media_type", &new.media_type),
            ("bytes", &new.bytes),
        ];
        entry::put(self, vehicle, new.cid, &values, stamp, |change, _: &Photo| {
            change.query_row(
                "SELECT bytes = ?3 FROM photo WHERE vehicle = ?1 AND cid = ?2",
                params![vehicle.0, new.cid, new.bytes],
                |row| row.get(0),
            )
        })
    }

    /// Takes a photograph back, or shows it again.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be written.
    pub fn set_photo_retracted(
        &mut self,
        vehicle: VehicleId,
        cid: &str,
        retracted: bool,
    ) -> Result<Photo, GarageError> {
        entry::set_retracted(self, vehicle, cid, retracted)
    }
}
