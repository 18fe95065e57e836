//! Opening the file so that what was acknowledged survives the program's end at any moment.

use std::path::Path;
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use crate::error::GarageError;
use crate::{private, schema};

/// How long one writer waits for another, in this or another program.
const PATIENCE: Duration = Duration::from_secs(10);

/// One open garage.
#[derive(Debug)]
pub struct Garage {
    pub(crate) connection: Connection,
}

impl Garage {
    /// Opens a garage, or begins one where there is no file yet; it is its owner's alone from then on.
    ///
    /// # Errors
    ///
    /// When the file cannot be opened, is no garage, holds tables, triggers or views that no garage has, or
    /// comes from a later program. Nothing of it is changed then.
    pub fn open(path: &Path) -> Result<Self, GarageError> {
        private::begin(path);
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut garage = Self { connection: connect(path, flags)? };
        schema::ours(&garage.connection)?;
        private::tighten(path);
        garage.prepare()?;
        schema::migrate(&mut garage.connection, schema::LATEST)?;
        Ok(garage)
    }

    /// A garage that ends with the program.
    ///
    /// # Errors
    ///
    /// When there is no memory for it.
    pub fn in_memory() -> Result<Self, GarageError> {
        let mut garage = Self { connection: Connection::open_in_memory()? };
        garage.prepare()?;
        schema::migrate(&mut garage.connection, schema::LATEST)?;
        Ok(garage)
    }

    /// Opens a garage that must be there, and changes nothing in it.
    pub(crate) fn look(path: &Path) -> Result<Self, GarageError> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        Ok(Self { connection: connect(path, flags)? })
    }

    pub(crate) fn prepare(&mut self) -> Result<(), GarageError> {
        // Readers never wait for a writer; every commit is on the disk before it is acknowledged.
        self.connection.pragma_update(None, "journal_mode", "wal")?;
        self.connection.pragma_update(None, "synchronous", "full")?;
        self.connection.pragma_update(None, "foreign_keys", true)?;
        Ok(())
    }

    /// A number that changes when another connection, in this or another program, has written.
    ///
    /// # Errors
    ///
    /// When the file cannot be read.
    pub fn changes_elsewhere(&self) -> Result<i64, GarageError> {
        Ok(self.connection.query_row("PRAGMA data_version", (), |row| row.get(0))?)
    }
}

/// A connection in which a hostile file runs nothing of what is stored in its schema.
pub(crate) fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, GarageError> {
    let connection = Connection::open_with_flags(path, flags)?;
    connection.busy_timeout(PATIENCE)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, false)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_VIEW, false)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    Ok(connection)
}
