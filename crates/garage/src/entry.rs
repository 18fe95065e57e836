//! What people send with an id that they made: kept once, taken back, let stand again.

use rusqlite::{Connection, OptionalExtension, ToSql, params, params_from_iter};

use crate::error::GarageError;
use crate::open::Garage;
use crate::stored::{Stored, whole};
use crate::vehicles::{VehicleId, current};
use crate::{Put, Stamp};

/// Something that belongs to a vehicle and has an id that its sender made, so that sending twice stores once.
pub(crate) trait Entry: Stored {
    const TABLE: &'static str;
    /// What it is called where there is none, or another one.
    const CALLED: &'static str;
}

/// All of a vehicle, in the order of arrival.
pub(crate) fn all<E: Entry>(garage: &Garage, vehicle: VehicleId) -> Result<Vec<E>, GarageError> {
    current(&garage.connection, vehicle)?;
    let (columns, table) = (E::columns(), E::TABLE);
    let mut query = garage
        .connection
        .prepare_cached(&format!("SELECT {columns} FROM {table} WHERE vehicle = ?1 ORDER BY id"))?;
    let rows = query.query_map([vehicle.0], whole)?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// The one with an id.
pub(crate) fn one<E: Entry>(
    connection: &Connection,
    vehicle: VehicleId,
    cid: &str,
) -> Result<E, GarageError> {
    known(connection, vehicle, cid)?.ok_or(GarageError::NotFound(E::CALLED))
}

fn known<E: Entry>(
    connection: &Connection,
    vehicle: VehicleId,
    cid: &str,
) -> Result<Option<E>, GarageError> {
    let (columns, table) = (E::columns(), E::TABLE);
    Ok(connection
        .prepare_cached(&format!("SELECT {columns} FROM {table} WHERE vehicle = ?1 AND cid = ?2"))?
        .query_row(params![vehicle.0, cid], whole)
        .optional()?)
}

/// Keeps one under its id, unless the `same` is there already.
pub(crate) fn put<E: Entry>(
    garage: &mut Garage,
    vehicle: VehicleId,
    cid: &str,
    values: &[(&str, &dyn ToSql)],
    stamp: Stamp<'_>,
    same: impl FnOnce(&Connection, &E) -> rusqlite::Result<bool>,
) -> Result<Put<E>, GarageError> {
    let change = garage.change()?;
    current(&change, vehicle)?;
    if let Some(known) = known(&change, vehicle, cid)? {
        let same = same(&change, &known)?;
        return if same { Ok(Put::Known(known)) } else { Err(GarageError::Taken(E::CALLED)) };
    }
    let who: [(&str, &dyn ToSql); 4] =
        [("vehicle", &vehicle.0), ("cid", &cid), ("stored", &stamp.when), ("by", &stamp.by)];
    let (names, values): (Vec<&str>, Vec<&dyn ToSql>) = who.iter().chain(values).copied().unzip();
    let (table, names, places) = (E::TABLE, names.join(", "), vec!["?"; names.len()].join(", "));
    change
        .prepare_cached(&format!("INSERT INTO {table} ({names}) VALUES ({places})"))?
        .execute(params_from_iter(values))?;
    let stored = one(&change, vehicle, cid)?;
    change.commit()?;
    Ok(Put::New(stored))
}

/// Takes one back, or lets it stand again.
pub(crate) fn set_retracted<E: Entry>(
    garage: &Garage,
    vehicle: VehicleId,
    cid: &str,
    retracted: bool,
) -> Result<E, GarageError> {
    garage.connection.execute(
        &format!("UPDATE {} SET retracted = ?3 WHERE vehicle = ?1 AND cid = ?2", E::TABLE),
        params![vehicle.0, cid, retracted],
    )?;
    one(&garage.connection, vehicle, cid)
}
