//! Backing up, restoring and verifying a garage.

use std::path::Path;

use rusqlite::backup::{Backup, StepResult};
use rusqlite::types::ValueRef;
use rusqlite::{Connection, OpenFlags};

use crate::error::GarageError;
use crate::open::{Garage, connect};
use crate::{private, schema};

impl Garage {
    /// Copies the whole garage, as it is at one moment, into a new file of its owner's alone; others may write
    /// meanwhile, and do not hold it up. The copy is checked and compared before it gets its name.
    ///
    /// # Errors
    ///
    /// When there is something at `to` already, it cannot be written, or what is in the garage is damaged, so
    /// that no copy of it is one. Nothing is left at `to` then.
    pub fn backup(&self, to: &Path) -> Result<(), GarageError> {
        self.copied(to, true)
    }

    /// As [`backup`](Self::backup), and whatever it is worth: what is damaged is copied as it is.
    ///
    /// # Errors
    ///
    /// When there is something at `to` already, or one of the two cannot be read or written.
    pub fn copy_as_it_is(&self, to: &Path) -> Result<(), GarageError> {
        self.copied(to, false)
    }

    fn copied(&self, to: &Path, sound: bool) -> Result<(), GarageError> {
        let io = |error: std::io::Error| GarageError::File(error);
        if to.exists() {
            return Err(GarageError::File(std::io::ErrorKind::AlreadyExists.into()));
        }
        let beside = private::beside(to).map_err(io)?;
        // What follows is read at one moment, which begins with the first reading of anything.
        let moment = self.connection.unchecked_transaction()?;
        moment.query_row("PRAGMA application_id", (), |_| Ok(()))?;
        let mut target = connect(&beside, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        copy(&moment, &mut target)?;
        // One file is easier to keep than a file with a journal beside it.
        target.pragma_update(None, "journal_mode", "delete")?;
        let made = Self { connection: target };
        if sound {
            made.must_equal(&moment)?;
        }
        made.connection.close().map_err(|(_, error)| error)?;
        drop(moment);
        std::fs::File::open(&beside).and_then(|own| own.sync_all()).map_err(io)?;
        private::put(beside, to).map_err(io)
    }

    /// Refuses a copy that is none.
    fn must_equal(&self, original: &Connection) -> Result<(), GarageError> {
        let none = |why: String| {
            Err(GarageError::Damaged(format!("the garage is damaged, and no copy was made: {why}")))
        };
        if let Some(first) = self.verify()?.into_iter().next() {
            return none(first);
        }
        let tables = "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name";
        let mut tables = self.connection.prepare(tables)?;
        for table in tables.query_map((), |row| row.get::<_, String>(0))? {
            let table = table?;
            if !same_rows(&table, original, &self.connection)? {
                return none(format!("`{table}` reads otherwise in the copy"));
            }
        }
        Ok(())
    }

    /// Puts a backup in place of everything in this garage. What was there is lost, unless it was
    /// backed up before. Keys of devices that do not open this garage now do not open it afterwards either: a
    /// backup must not bring back one that was taken away.
    ///
    /// # Errors
    ///
    /// When the backup is damaged, no garage, holds what no garage has, or is of a later program (nothing is
    /// changed then), or the garage cannot be written.
    pub fn restore(&mut self, from: &Path) -> Result<(), GarageError> {
        let source = Self::look(from)?;
        let wrong = source.verify()?;
        if let Some(first) = wrong.first() {
            return Err(GarageError::Damaged(format!("this backup cannot be used: {first}")));
        }
        // Refuses what is no garage, in a copy: the backup itself stays as it is.
        let mut trial = Connection::open_in_memory()?;
        copy(&source.connection, &mut trial)?;
        schema::migrate(&mut trial, schema::LATEST)?;
        for digest in digests(&trial)? {
            if !digests(&self.connection)?.contains(&digest) {
                trial.execute("UPDATE device SET revoked = 1 WHERE key_digest = ?1", [digest])?;
            }
        }
        copy(&trial, &mut self.connection)?;
        self.prepare()
    }

    /// What is wrong with the file; nothing when all is well.
    ///
    /// That it holds what a garage holds and nothing else, the database's own check of every page and index,
    /// every reference between tables, and that every vehicle has its current text.
    ///
    /// # Errors
    ///
    /// When the file cannot be read at all.
    pub fn verify(&self) -> Result<Vec<String>, GarageError> {
        let mut wrong = schema::strange(&self.connection)?;
        let mut check = self.connection.prepare("PRAGMA integrity_check(100)")?;
        for line in check.query_map((), |row| row.get::<_, String>(0))? {
            let line = line?;
            if line != "ok" {
                wrong.push(line);
            }
        }
        let mut check = self.connection.prepare("PRAGMA foreign_key_check")?;
        for line in check.query_map((), |row| row.get::<_, String>(0))? {
            wrong.push(format!("a row of `{}` refers to something that is not there", line?));
        }
        let tables: i64 = self.connection.query_row(
            "SELECT count(*) FROM sqlite_schema WHERE name IN ('vehicle', 'version', 'step')",
            (),
            |row| row.get(0),
        )?;
        if tables != 3 {
            if wrong.is_empty() {
                wrong.push("the file is no garage".to_owned());
            }
            return Ok(wrong);
        }
        let mut check = self.connection.prepare(
            "SELECT name FROM vehicle WHERE NOT EXISTS (
                SELECT 1 FROM version JOIN step ON step.id = version.step
                WHERE version.vehicle = vehicle.id AND version.revision = vehicle.revision)",
        )?;
        for name in check.query_map((), |row| row.get::<_, String>(0))? {
            wrong.push(format!("`{}` has lost its current text", name?));
        }
        Ok(wrong)
    }

    /// What is wrong with the garage at a path, which is not changed.
    ///
    /// # Errors
    ///
    /// When there is no file, or it is no database.
    pub fn verify_file(path: &Path) -> Result<Vec<String>, GarageError> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        Self { connection: connect(path, flags)? }.verify()
    }
}

/// Digests of the keys that open something.
fn digests(connection: &Connection) -> Result<Vec<Vec<u8>>, GarageError> {
    let mut query = connection.prepare("SELECT key_digest FROM device WHERE NOT revoked")?;
    let rows = query.query_map((), |row| row.get(0))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Copies all pages in one go: between two goes somebody could write, and all would begin anew.
fn copy(from: &Connection, to: &mut Connection) -> Result<(), GarageError> {
    match Backup::new(from, to)?.step(-1)? {
        StepResult::Done => Ok(()),
        _ => Err(GarageError::Database(
            "the garage cannot be used: something else holds the file".to_owned(),
        )),
    }
}

/// True when a table reads alike in both, row by row.
fn same_rows(table: &str, one: &Connection, other: &Connection) -> Result<bool, GarageError> {
    let all = format!("SELECT * FROM \"{}\"", table.replace('"', "\"\""));
    let (mut one, mut other) = (one.prepare(&all)?, other.prepare(&all)?);
    let columns = one.column_count();
    let (mut one, mut other) = (one.query(())?, other.query(())?);
    loop {
        match (one.next()?, other.next()?) {
            (None, None) => return Ok(true),
            (Some(one), Some(other)) => {
                for column in 0..columns {
                    let pair: (ValueRef<'_>, ValueRef<'_>) =
                        (one.get_ref(column)?, other.get_ref(column)?);
                    if pair.0 != pair.1 {
                        return Ok(false);
                    }
                }
            }
            _ => return Ok(false),
        }
    }
}
