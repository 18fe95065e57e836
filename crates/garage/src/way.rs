//! The way of a vehicle's texts: each step knows the one before it.

use rusqlite::Connection;

use crate::error::GarageError;

/// The step before.
pub(crate) fn before(connection: &Connection, step: i64) -> Result<Option<i64>, GarageError> {
    Ok(connection
        .prepare_cached("SELECT parent FROM step WHERE id = ?1")?
        .query_row([step], |row| row.get(0))?)
}

/// The newest step after: an older one was left behind by a change made in its stead.
pub(crate) fn after(connection: &Connection, step: i64) -> Result<Option<i64>, GarageError> {
    Ok(connection
        .prepare_cached("SELECT max(id) FROM step WHERE parent = ?1")?
        .query_row([step], |row| row.get(0))?)
}
