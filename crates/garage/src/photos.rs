//! Photographs of joints and work.

use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::error::GarageError;
use crate::open::Garage;
use crate::vehicles::{VehicleId, current};
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

/// A photograph that is kept, without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// The sender's id.
    pub cid: String,
    /// What it shows.
    pub on: Option<String>,
    /// The work that it belongs to.
    pub work: Option<String>,
    /// `before` or `after`.
    pub side: Option<String>,
    /// A remark.
    pub caption: Option<String>,
    /// Its media type.
    pub media_type: String,
    /// Number of its bytes.
    pub size: i64,
    /// When it arrived.
    pub stored: String,
    /// Who brought it.
    pub by: String,
    /// True when it was taken back.
    pub retracted: bool,
}

const COLUMNS: &str =
    "cid, on_piece, work, side, caption, media_type, length(bytes), stored, by, retracted";

impl Garage {
    /// All photographs of a vehicle, without their bytes, in the order of arrival.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or there is no such vehicle.
    pub fn photos(&self, vehicle: VehicleId) -> Result<Vec<Photo>, GarageError> {
        current(&self.connection, vehicle)?;
        let mut query = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM photo WHERE vehicle = ?1 ORDER BY id"
        ))?;
        let rows = query.query_map([vehicle.0], photo_of)?;
        Ok(rows.collect::<Result<_, _>>()?)
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
        let change = self.change()?;
        current(&change, vehicle)?;
        if let Some(known) = photo(&change, vehicle, new.cid)? {
            let same: bool = change.query_row(
                "SELECT bytes = ?3 FROM photo WHERE vehicle = ?1 AND cid = ?2",
                params![vehicle.0, new.cid, new.bytes],
                |row| row.get(0),
            )?;
            return if same {
                Ok(Put::Known(known))
            } else {
                Err(GarageError::Taken("photograph"))
            };
        }
        change.execute(
            "INSERT INTO photo (vehicle, cid, on_piece, work, side, caption, media_type, bytes, stored, by)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            params![
                vehicle.0,
                new.cid,
                new.on,
                new.work,
                new.side,
                new.caption,
                new.media_type,
                new.bytes,
                stamp.when,
                stamp.by
            ],
        )?;
        let stored =
            photo(&change, vehicle, new.cid)?.ok_or(GarageError::NotFound("photograph"))?;
        change.commit()?;
        Ok(Put::New(stored))
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
        self.connection.execute(
            "UPDATE photo SET retracted = ?3 WHERE vehicle = ?1 AND cid = ?2",
            params![vehicle.0, cid, retracted],
        )?;
        photo(&self.connection, vehicle, cid)?.ok_or(GarageError::NotFound("photograph"))
    }
}

fn photo(
    connection: &Connection,
    vehicle: VehicleId,
    cid: &str,
) -> Result<Option<Photo>, GarageError> {
    Ok(connection
        .prepare_cached(&format!("SELECT {COLUMNS} FROM photo WHERE vehicle = ?1 AND cid = ?2"))?
        .query_row(params![vehicle.0, cid], photo_of)
        .optional()?)
}

fn photo_of(row: &Row<'_>) -> rusqlite::Result<Photo> {
    Ok(Photo {
        cid: row.get(0)?,
        on: row.get(1)?,
        work: row.get(2)?,
        side: row.get(3)?,
        caption: row.get(4)?,
        media_type: row.get(5)?,
        size: row.get(6)?,
        stored: row.get(7)?,
        by: row.get(8)?,
        retracted: row.get(9)?,
    })
}
