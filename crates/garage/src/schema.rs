//! The tables, as a list of steps from an empty file to today's.
//!
//! A step that was ever released is never changed; what is wanted anew is one more step.

use rusqlite::{Connection, TransactionBehavior};

use crate::error::GarageError;

/// Marks the file as a garage (`GLgr`), so that another program's database is not taken for one.
const APPLICATION: i32 = 0x474c_6772;

/// The steps, each in one transaction with its number.
pub(crate) const STEPS: &[&str] = &[
    // 1: vehicles, every version of their text, readings.
    "CREATE TABLE vehicle (
        id INTEGER PRIMARY KEY,
        name TEXT NOT NULL,
        revision INTEGER NOT NULL,
        removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1))
     ) STRICT;
     CREATE TABLE step (
        id INTEGER PRIMARY KEY,
        vehicle INTEGER NOT NULL REFERENCES vehicle (id),
        parent INTEGER REFERENCES step (id),
        text TEXT NOT NULL
     ) STRICT;
     CREATE INDEX step_parent ON step (parent);
     CREATE TABLE version (
        vehicle INTEGER NOT NULL REFERENCES vehicle (id),
        revision INTEGER NOT NULL,
        step INTEGER NOT NULL REFERENCES step (id),
        kind TEXT NOT NULL CHECK (kind IN ('import', 'edit', 'undo', 'redo')),
        what TEXT NOT NULL,
        stored TEXT NOT NULL,
        by TEXT NOT NULL,
        PRIMARY KEY (vehicle, revision)
     ) STRICT, WITHOUT ROWID;
     CREATE TABLE reading (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        vehicle INTEGER NOT NULL REFERENCES vehicle (id),
        cid TEXT NOT NULL,
        text TEXT NOT NULL,
        taken TEXT NOT NULL,
        stored TEXT NOT NULL,
        by TEXT NOT NULL,
        retracted INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
        UNIQUE (vehicle, cid)
     ) STRICT;",
    // 2: whole files of readings, kept as they came; work; photographs.
    "CREATE TABLE readings_file (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        vehicle INTEGER NOT NULL REFERENCES vehicle (id),
        cid TEXT NOT NULL,
        name TEXT NOT NULL,
        bytes BLOB NOT NULL,
        stored TEXT NOT NULL,
        by TEXT NOT NULL,
        retracted INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
        UNIQUE (vehicle, cid)
     ) STRICT;
     CREATE TABLE work (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        vehicle INTEGER NOT NULL REFERENCES vehicle (id),
        cid TEXT NOT NULL,
        on_piece TEXT NOT NULL,
        what TEXT NOT NULL,
        done TEXT,
        torque TEXT,
        protection TEXT,
        note TEXT,
        stored TEXT NOT NULL,
        by TEXT NOT NULL,
        retracted INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
        UNIQUE (vehicle, cid)
     ) STRICT;
     CREATE TABLE photo (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        vehicle INTEGER NOT NULL REFERENCES vehicle (id),
        cid TEXT NOT NULL,
        on_piece TEXT,
        work TEXT,
        side TEXT CHECK (side IN ('before', 'after')),
        caption TEXT,
        media_type TEXT NOT NULL,
        bytes BLOB NOT NULL,
        stored TEXT NOT NULL,
        by TEXT NOT NULL,
        retracted INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
        UNIQUE (vehicle, cid)
     ) STRICT;",
    // 3: answers with the program that gave them; paired devices; where a vehicle's file came from.
    "CREATE TABLE result (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        vehicle INTEGER NOT NULL,
        revision INTEGER NOT NULL,
        question TEXT NOT NULL,
        asked TEXT NOT NULL,
        answer TEXT NOT NULL,
        program TEXT NOT NULL,
        stored TEXT NOT NULL,
        by TEXT NOT NULL,
        FOREIGN KEY (vehicle, revision) REFERENCES version (vehicle, revision)
     ) STRICT;
     CREATE TABLE device (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL,
        role TEXT NOT NULL CHECK (role IN ('look', 'read', 'edit')),
        key_digest BLOB NOT NULL UNIQUE,
        paired TEXT NOT NULL,
        seen TEXT NOT NULL,
        expires TEXT NOT NULL,
        revoked INTEGER NOT NULL DEFAULT 0 CHECK (revoked IN (0, 1))
     ) STRICT;
     ALTER TABLE vehicle ADD COLUMN origin TEXT;
     CREATE INDEX vehicle_origin ON vehicle (origin);",
];

/// The version of a garage after all steps.
pub const LATEST: u32 = STEPS.len() as u32;

/// Brings the file to today's tables, one step a transaction.
pub(crate) fn migrate(connection: &mut Connection, up_to: u32) -> Result<(), GarageError> {
    loop {
        // The lock is taken before the version is read: two programs may open the file at once.
        let step = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let version: u32 = step.query_row("PRAGMA user_version", (), |row| row.get(0))?;
        let application: i32 = step.query_row("PRAGMA application_id", (), |row| row.get(0))?;
        let tables: i64 = step.query_row("SELECT count(*) FROM sqlite_schema", (), |r| r.get(0))?;
        if application != APPLICATION && (version > 0 || tables > 0) {
            return Err(GarageError::Foreign(
                "the file is a database of another program, and no garage".to_owned(),
            ));
        }
        if version > LATEST {
            return Err(GarageError::Foreign(format!(
                "the garage has version {version}, and this program knows up to {LATEST}: it was written by a later groundloom"
            )));
        }
        let Some(sql) = STEPS.get(version as usize).filter(|_| version < up_to) else {
            return Ok(());
        };
        step.execute_batch(sql)?;
        step.pragma_update(None, "application_id", APPLICATION)?;
        step.pragma_update(None, "user_version", version + 1)?;
        step.commit()?;
    }
}
