//! The tables, as a list of steps from an empty file to today's.
//!
//! A step that was ever released is never changed; what is wanted anew is one more step.

use std::collections::BTreeMap;

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
        if let Some(why) = strange(&step)?.into_iter().next() {
            return Err(GarageError::Foreign(why));
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

/// Refuses a file that is no garage of this program, or more than one; looks at it and changes nothing.
pub(crate) fn ours(connection: &Connection) -> Result<(), GarageError> {
    // All is read at one moment: another program may be bringing the file up to date.
    let moment = connection.unchecked_transaction()?;
    match strange(&moment)?.into_iter().next() {
        Some(why) => Err(GarageError::Foreign(why)),
        None => Ok(()),
    }
}

/// What no garage of this program holds, in sentences; nothing of an empty file.
///
/// A trigger or a view of somebody else's would change or hide what is kept, without a word.
pub(crate) fn strange(connection: &Connection) -> Result<Vec<String>, GarageError> {
    let version: i64 = connection.query_row("PRAGMA user_version", (), |row| row.get(0))?;
    let application: i32 = connection.query_row("PRAGMA application_id", (), |row| row.get(0))?;
    let found = objects(connection)?;
    if application != APPLICATION && (version != 0 || !found.is_empty()) {
        return Ok(vec!["the file is a database of another program, and no garage".to_owned()]);
    }
    let Some(version) = u32::try_from(version).ok().filter(|own| *own <= LATEST) else {
        return Ok(vec![format!(
            "the garage has version {version}, and this program knows up to {LATEST}: it was written by a later groundloom"
        )]);
    };
    let expected = made(version)?;
    let mut wrong = Vec::new();
    for ((kind, name), sql) in &found {
        match expected.get(&(kind.clone(), name.clone())) {
            None => wrong.push(format!(
                "the file holds a {kind} `{name}`, which no garage of this program has: something else put it there"
            )),
            Some(own) if own != sql => wrong.push(format!(
                "the {kind} `{name}` of the file is not as this program makes it"
            )),
            Some(_) => {}
        }
    }
    for (kind, name) in expected.keys().filter(|own| !found.contains_key(own)) {
        wrong.push(format!("the {kind} `{name}` is missing"));
    }
    Ok(wrong)
}

/// Kind and name of everything in a schema, with the words that made it.
type Objects = BTreeMap<(String, String), String>;

fn objects(connection: &Connection) -> Result<Objects, GarageError> {
    let mut query =
        connection.prepare("SELECT type, name, coalesce(sql, '') FROM sqlite_schema")?;
    let rows = query.query_map((), |row| {
        let sql: String = row.get(2)?;
        // However it is laid out.
        let words = sql.split_whitespace().collect::<Vec<_>>().join(" ");
        Ok(((row.get(0)?, row.get(1)?), words))
    })?;
    let mut all: Objects = rows.collect::<Result<_, _>>()?;
    // Counts that the database itself keeps for its planning; they run nothing.
    all.retain(|(kind, name), sql| {
        !(kind == "table"
            && name.starts_with("sqlite_stat")
            && sql.starts_with("CREATE TABLE sqlite_stat"))
    });
    Ok(all)
}

/// What this program makes up to a version.
fn made(version: u32) -> Result<Objects, GarageError> {
    let own = Connection::open_in_memory()?;
    for sql in STEPS.iter().take(version as usize) {
        own.execute_batch(sql)?;
    }
    objects(&own)
}
