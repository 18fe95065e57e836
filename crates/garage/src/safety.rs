//! Backing up, restoring and verifying a garage.

use std::path::Path;
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags};

use crate::error::GarageError;
use crate::open::Garage;

/// Pages copied before other writers get their turn.
const PAGES_AT_A_TIME: i32 = 1000;

impl Garage {
    /// Copies the whole garage, as it is at one moment, into a new file; others may write meanwhile.
    ///
    /// # Errors
    ///
    /// When there is something at `to` already, or it cannot be written.
    pub fn backup(&self, to: &Path) -> Result<(), GarageError> {
        if to.exists() {
            return Err(GarageError::Foreign(
                "there is a file of that name already, and it is left as it is".to_owned(),
            ));
        }
        let mut target = Connection::open(to)?;
        copy(&self.connection, &mut target)?;
        // One file is easier to keep than a file with a journal beside it.
        target.pragma_update(None, "journal_mode", "delete")?;
        target.close().map_err(|(_, error)| error)?;
        Ok(())
    }

    /// Puts a backup in place of everything in this garage. What was there is lost, unless it was
    /// backed up before.
    ///
    /// # Errors
    ///
    /// When the backup is damaged, no garage or of a later program (nothing is changed then), or the
    /// garage cannot be written.
    pub fn restore(&mut self, from: &Path) -> Result<(), GarageError> {
        let source = Self::look(from)?;
        let wrong = source.verify()?;
        if let Some(first) = wrong.first() {
            return Err(GarageError::Damaged(format!("the backup is damaged: {first}")));
        }
        // Refuses what is no garage, in a copy: the backup itself stays as it is.
        let mut trial = Connection::open_in_memory()?;
        copy(&source.connection, &mut trial)?;
        crate::schema::migrate(&mut trial, crate::schema::LATEST)?;
        copy(&trial, &mut self.connection)?;
        self.prepare()
    }

    /// What is wrong with the file; nothing when all is well.
    ///
    /// The database's own check of every page and index, every reference between tables, and that
    /// every vehicle has its current text.
    ///
    /// # Errors
    ///
    /// When the file cannot be read at all.
    pub fn verify(&self) -> Result<Vec<String>, GarageError> {
        let mut wrong = Vec::new();
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
            wrong.push("the file is no garage".to_owned());
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
        Self { connection: Connection::open_with_flags(path, flags)? }.verify()
    }
}

fn copy(from: &Connection, to: &mut Connection) -> Result<(), GarageError> {
    let backup = Backup::new(from, to)?;
    backup.run_to_completion(PAGES_AT_A_TIME, Duration::from_millis(5), None)?;
    Ok(())
}
