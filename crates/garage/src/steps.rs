//! Changing a vehicle's text, undoing and redoing.
//!
//! Texts are steps, each knowing the one before it; versions say which step was current when. An
//! edit is a new step after the current one. Undoing goes to the step before, redoing to the newest
//! step after, each as one more version: the history only ever grows.

use rusqlite::{Connection, Transaction, TransactionBehavior, params};

use crate::Stamp;
use crate::error::GarageError;
use crate::open::Garage;
use crate::vehicles::{
    Conflict, Saved, Vehicle, VehicleId, VersionKind, append, current, step_of, vehicle, version,
};
use crate::way;

impl Garage {
    /// Begins a vehicle with its first text.
    ///
    /// # Errors
    ///
    /// When the file cannot be written.
    pub fn create(
        &mut self,
        name: &str,
        origin: Option<&str>,
        text: &str,
        what: &str,
        stamp: Stamp<'_>,
    ) -> Result<Vehicle, GarageError> {
        let change = self.change()?;
        change.execute(
            "INSERT INTO vehicle (name, origin, revision) VALUES (?1, ?2, 1)",
            params![name, origin],
        )?;
        let id = VehicleId(change.last_insert_rowid());
        let step = add_step(&change, id, None, text)?;
        append(&change, id, 1, step, VersionKind::Import, what, stamp)?;
        let made = vehicle(&change, id)?;
        change.commit()?;
        Ok(made)
    }

    /// Stores a changed text that was made on `revision`, unless somebody else was first.
    ///
    /// A text that is the same as the current one is no change. `name` is what the vehicle is called
    /// from now on, nothing to keep its name.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be written.
    #[allow(
        clippy::too_many_arguments,
        reason = "one row of the history, and each is told apart by its type or name"
    )]
    pub fn save(
        &mut self,
        id: VehicleId,
        revision: i64,
        kind: VersionKind,
        name: Option<&str>,
        text: &str,
        what: &str,
        stamp: Stamp<'_>,
    ) -> Result<Saved, GarageError> {
        let change = self.change()?;
        let now = current(&change, id)?;
        if now.text == text {
            return Ok(Saved::Stored(Box::new(vehicle(&change, id)?)));
        }
        if now.revision != revision {
            return conflict(&change, id, revision);
        }
        let at = step_of(&change, id, revision)?;
        let step = add_step(&change, id, Some(at), text)?;
        append(&change, id, revision + 1, step, kind, what, stamp)?;
        if let Some(name) = name {
            change.execute("UPDATE vehicle SET name = ?2 WHERE id = ?1", params![id.0, name])?;
        }
        let saved = vehicle(&change, id)?;
        change.commit()?;
        Ok(Saved::Stored(Box::new(saved)))
    }

    /// Goes back to the text before the last change, as one more version.
    ///
    /// # Errors
    ///
    /// [`GarageError::NothingToUndo`], or as [`save`](Self::save).
    pub fn undo(
        &mut self,
        id: VehicleId,
        revision: i64,
        stamp: Stamp<'_>,
    ) -> Result<Saved, GarageError> {
        self.go(id, revision, VersionKind::Undo, stamp)
    }

    /// Goes again to the text that was undone, as one more version.
    ///
    /// # Errors
    ///
    /// [`GarageError::NothingToRedo`], or as [`save`](Self::save).
    pub fn redo(
        &mut self,
        id: VehicleId,
        revision: i64,
        stamp: Stamp<'_>,
    ) -> Result<Saved, GarageError> {
        self.go(id, revision, VersionKind::Redo, stamp)
    }

    fn go(
        &mut self,
        id: VehicleId,
        revision: i64,
        kind: VersionKind,
        stamp: Stamp<'_>,
    ) -> Result<Saved, GarageError> {
        let change = self.change()?;
        let now = current(&change, id)?;
        if now.revision != revision {
            return conflict(&change, id, revision);
        }
        let at = step_of(&change, id, revision)?;
        let (to, of) = if kind == VersionKind::Undo {
            (way::before(&change, at)?.ok_or(GarageError::NothingToUndo)?, at)
        } else {
            let to = way::after(&change, at)?.ok_or(GarageError::NothingToRedo)?;
            (to, to)
        };
        let what = what_made(&change, of)?;
        append(&change, id, revision + 1, to, kind, &what, stamp)?;
        let saved = vehicle(&change, id)?;
        change.commit()?;
        Ok(Saved::Stored(Box::new(saved)))
    }

    /// A change that is whole or not at all, with the writer's lock taken first.
    pub(crate) fn change(&mut self) -> Result<Transaction<'_>, GarageError> {
        Ok(self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?)
    }
}

fn conflict(connection: &Connection, id: VehicleId, revision: i64) -> Result<Saved, GarageError> {
    let base = version(connection, id, revision)?;
    Ok(Saved::Conflict(Box::new(Conflict { base, theirs: current(connection, id)? })))
}

fn add_step(
    connection: &Connection,
    id: VehicleId,
    parent: Option<i64>,
    text: &str,
) -> Result<i64, GarageError> {
    connection
        .prepare_cached("INSERT INTO step (vehicle, parent, text) VALUES (?1, ?2, ?3)")?
        .execute(params![id.0, parent, text])?;
    Ok(connection.last_insert_rowid())
}

/// What the change that made a step was about.
fn what_made(connection: &Connection, step: i64) -> Result<String, GarageError> {
    Ok(connection.query_row(
        "SELECT what FROM version WHERE step = ?1 ORDER BY revision LIMIT 1",
        [step],
        |row| row.get(0),
    )?)
}
