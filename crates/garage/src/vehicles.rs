//! Vehicles and the versions of their text.

use rusqlite::types::{FromSql, FromSqlResult, ValueRef};
use rusqlite::{Connection, OptionalExtension, params};

use crate::error::GarageError;
use crate::open::Garage;
use crate::stored::{Stored, stored, whole};
use crate::{Stamp, way};

/// A vehicle's number in the garage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct VehicleId(pub i64);

impl FromSql for VehicleId {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        i64::column_result(value).map(Self)
    }
}

/// How a version came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VersionKind {
    /// A file was read.
    Import,
    /// Somebody changed the text.
    Edit,
    /// A change was undone.
    Undo,
    /// An undone change was made again.
    Redo,
}

impl VersionKind {
    /// The word under which it is stored and told.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Import => "import",
            Self::Edit => "edit",
            Self::Undo => "undo",
            Self::Redo => "redo",
        }
    }
}

impl FromSql for VersionKind {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Ok(match value.as_str()? {
            "import" => Self::Import,
            "undo" => Self::Undo,
            "redo" => Self::Redo,
            _ => Self::Edit,
        })
    }
}

stored! {
    /// One version of a vehicle's text.
    Version;
    /// Counts from one; every change is one more.
    revision: i64,
    /// The file.
    text: String,
    /// How it came about.
    kind: VersionKind,
    /// What was changed, as a sentence.
    what: String,
    /// When it was stored.
    stored: String,
    /// Who changed it.
    by: String,
}

/// A vehicle with its current text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Vehicle {
    /// Its number.
    pub id: VehicleId,
    /// What it is called in the list.
    pub name: String,
    /// Where its file came from, if from a file.
    pub origin: Option<String>,
    /// The current version.
    pub current: Version,
    /// True when there is an earlier text to go back to.
    pub can_undo: bool,
    /// True when something undone can be made again.
    pub can_redo: bool,
    /// True when it was taken out of the list.
    pub removed: bool,
}

stored! {
    /// A vehicle in the list.
    Listed;
    /// Its number.
    id: VehicleId = "vehicle.id",
    /// What it is called.
    name: String,
    /// The current revision.
    revision: i64 = "vehicle.revision",
    /// When its text was last changed.
    changed: String = "stored",
    /// Who changed it.
    by: String,
    /// Readings entered one by one that count.
    readings: i64 = "(SELECT count(*) FROM reading WHERE vehicle = vehicle.id AND NOT retracted)",
    /// Files of readings that count.
    readings_files: i64 = "(SELECT count(*) FROM readings_file WHERE vehicle = vehicle.id AND NOT retracted)",
    /// Entries of work that count.
    work: i64 = "(SELECT count(*) FROM work WHERE vehicle = vehicle.id AND NOT retracted)",
    /// Photographs that count.
    photos: i64 = "(SELECT count(*) FROM photo WHERE vehicle = vehicle.id AND NOT retracted)",
    /// True when it was taken out of the list.
    removed: bool,
}

/// Two changes of one text at once: nothing was stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The text on which the refused change was made; nothing when there is no such revision.
    pub base: Option<Version>,
    /// The current text.
    pub theirs: Version,
}

/// What became of a change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Saved {
    /// It is stored.
    Stored(Box<Vehicle>),
    /// Somebody else was first.
    Conflict(Box<Conflict>),
}

impl Garage {
    /// Every vehicle, the last changed one first.
    ///
    /// # Errors
    ///
    /// When the file cannot be read.
    pub fn vehicles(&self, removed_too: bool) -> Result<Vec<Listed>, GarageError> {
        let columns = Listed::columns();
        let mut query = self.connection.prepare_cached(&format!(
            "SELECT {columns} FROM vehicle JOIN version
               ON version.vehicle = vehicle.id AND version.revision = vehicle.revision
             WHERE ?1 OR NOT removed ORDER BY stored DESC, vehicle.id DESC"
        ))?;
        let rows = query.query_map([removed_too], whole)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// A vehicle with its current text.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be read.
    pub fn vehicle(&self, id: VehicleId) -> Result<Vehicle, GarageError> {
        vehicle(&self.connection, id)
    }

    /// The current revision and its text.
    ///
    /// # Errors
    ///
    /// As [`vehicle`](Self::vehicle).
    pub fn current(&self, id: VehicleId) -> Result<Version, GarageError> {
        current(&self.connection, id)
    }

    /// The vehicle that was read from this file, if any.
    ///
    /// # Errors
    ///
    /// When the file cannot be read.
    pub fn vehicle_from(&self, origin: &str) -> Result<Option<VehicleId>, GarageError> {
        Ok(self
            .connection
            .query_row(
                "SELECT id FROM vehicle WHERE origin = ?1 AND NOT removed ORDER BY id DESC LIMIT 1",
                [origin],
                |row| row.get(0),
            )
            .optional()?)
    }

    /// All versions without their texts, the latest first.
    ///
    /// # Errors
    ///
    /// As [`vehicle`](Self::vehicle).
    pub fn history(&self, id: VehicleId) -> Result<Vec<Version>, GarageError> {
        current(&self.connection, id)?;
        let mut query = self.connection.prepare_cached(
            "SELECT revision, '', kind, what, stored, by FROM version
             WHERE vehicle = ?1 ORDER BY revision DESC",
        )?;
        let rows = query.query_map([id.0], whole)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// One version with its text.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be read.
    pub fn version(&self, id: VehicleId, revision: i64) -> Result<Version, GarageError> {
        version(&self.connection, id, revision)?.ok_or(GarageError::NotFound("version"))
    }

    /// Takes a vehicle out of the list, or puts it back. Nothing of it is deleted.
    ///
    /// # Errors
    ///
    /// As [`vehicle`](Self::vehicle).
    pub fn set_removed(&mut self, id: VehicleId, removed: bool) -> Result<Vehicle, GarageError> {
        self.connection
            .execute("UPDATE vehicle SET removed = ?2 WHERE id = ?1", params![id.0, removed])?;
        self.vehicle(id)
    }
}

pub(crate) fn vehicle(connection: &Connection, id: VehicleId) -> Result<Vehicle, GarageError> {
    let current = current(connection, id)?;
    let (name, origin, removed) = connection
        .prepare_cached("SELECT name, origin, removed FROM vehicle WHERE id = ?1")?
        .query_row([id.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    let at = step_of(connection, id, current.revision)?;
    Ok(Vehicle {
        id,
        name,
        origin,
        can_undo: way::before(connection, at)?.is_some(),
        can_redo: way::after(connection, at)?.is_some(),
        current,
        removed,
    })
}

pub(crate) fn current(connection: &Connection, id: VehicleId) -> Result<Version, GarageError> {
    connection
        .prepare_cached(
            "SELECT version.revision, text, kind, what, stored, by
             FROM vehicle JOIN version
               ON version.vehicle = vehicle.id AND version.revision = vehicle.revision
             JOIN step ON step.id = version.step WHERE vehicle.id = ?1",
        )?
        .query_row([id.0], whole)
        .optional()?
        .ok_or(GarageError::NotFound("vehicle"))
}

pub(crate) fn version(
    connection: &Connection,
    id: VehicleId,
    revision: i64,
) -> Result<Option<Version>, GarageError> {
    Ok(connection
        .prepare_cached(
            "SELECT revision, text, kind, what, stored, by FROM version
             JOIN step ON step.id = version.step WHERE version.vehicle = ?1 AND revision = ?2",
        )?
        .query_row([id.0, revision], whole)
        .optional()?)
}

/// The step at which a version stands.
pub(crate) fn step_of(
    connection: &Connection,
    id: VehicleId,
    revision: i64,
) -> Result<i64, GarageError> {
    connection
        .prepare_cached("SELECT step FROM version WHERE vehicle = ?1 AND revision = ?2")?
        .query_row([id.0, revision], |row| row.get(0))
        .optional()?
        .ok_or(GarageError::NotFound("version"))
}

/// Writes down one more version of a vehicle, at a step.
pub(crate) fn append(
    connection: &Connection,
    id: VehicleId,
    revision: i64,
    step: i64,
    kind: VersionKind,
    what: &str,
    stamp: Stamp<'_>,
) -> Result<(), GarageError> {
    connection
        .prepare_cached(
            "INSERT INTO version (vehicle, revision, step, kind, what, stored, by)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        )?
        .execute(params![id.0, revision, step, kind.word(), what, stamp.when, stamp.by])?;
    connection
        .prepare_cached("UPDATE vehicle SET revision = ?2 WHERE id = ?1")?
        .execute([id.0, revision])?;
    Ok(())
}
