//! Devices that were paired. Their keys are not here, only digests of them.

use rusqlite::types::{FromSql, FromSqlResult, ValueRef};
use rusqlite::{OptionalExtension, params};

use crate::error::GarageError;
use crate::open::Garage;
use crate::stored::{Stored, stored, whole};

/// A device's number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct DeviceId(pub i64);

impl FromSql for DeviceId {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        i64::column_result(value).map(Self)
    }
}

/// A device that is being paired.
#[derive(Debug, Clone, Copy)]
pub struct NewDevice<'a> {
    /// What it calls itself.
    pub name: &'a str,
    /// `look`, `read` or `edit`.
    pub role: &'a str,
    /// A digest of its key.
    pub key_digest: &'a [u8],
    /// Now.
    pub paired: &'a str,
    /// When its key ends.
    pub expires: &'a str,
}

stored! {
    /// A device that was paired.
    Device;
    /// Its number.
    id: DeviceId,
    /// What it calls itself.
    name: String,
    /// `look`, `read` or `edit`.
    role: String,
    /// When it was paired.
    paired: String,
    /// When it was last heard of.
    seen: String,
    /// When its key ends.
    expires: String,
    /// True when its key was taken away.
    revoked: bool,
}

impl Garage {
    /// Every device that was ever paired, the latest first.
    ///
    /// # Errors
    ///
    /// When the file cannot be read.
    pub fn devices(&self) -> Result<Vec<Device>, GarageError> {
        let columns = Device::columns();
        let mut query = self
            .connection
            .prepare_cached(&format!("SELECT {columns} FROM device ORDER BY id DESC"))?;
        let rows = query.query_map((), whole)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The device with this digest of its key, revoked and expired ones too.
    ///
    /// # Errors
    ///
    /// When the file cannot be read.
    pub fn device_with_key(&self, digest: &[u8]) -> Result<Option<Device>, GarageError> {
        let columns = Device::columns();
        Ok(self
            .connection
            .prepare_cached(&format!("SELECT {columns} FROM device WHERE key_digest = ?1"))?
            .query_row([digest], whole)
            .optional()?)
    }

    /// Writes a device down.
    ///
    /// # Errors
    ///
    /// When the file cannot be written.
    pub fn add_device(&mut self, new: NewDevice<'_>) -> Result<DeviceId, GarageError> {
        self.connection.execute(
            "INSERT INTO device (name, role, key_digest, paired, seen, expires)
             VALUES (?1, ?2, ?3, ?4, ?4, ?5)",
            params![new.name, new.role, new.key_digest, new.paired, new.expires],
        )?;
        Ok(DeviceId(self.connection.last_insert_rowid()))
    }

    /// Takes a device's key away for good.
    ///
    /// # Errors
    ///
    /// [`GarageError::NotFound`], or when the file cannot be written.
    pub fn revoke_device(&mut self, id: DeviceId) -> Result<(), GarageError> {
        let changed =
            self.connection.execute("UPDATE device SET revoked = 1 WHERE id = ?1", [id.0])?;
        if changed == 0 { Err(GarageError::NotFound("device")) } else { Ok(()) }
    }

    /// Ends every key whose time is over, for good: the digest goes, so that no clock that is set back brings
    /// it again. Gives the devices whose keys were not ended before.
    ///
    /// # Errors
    ///
    /// When the file cannot be read or written.
    pub fn end_keys(&mut self, now: &str) -> Result<Vec<DeviceId>, GarageError> {
        let mut query = self.connection.prepare_cached(
            "SELECT id FROM device WHERE expires <= ?1 AND key_digest <> CAST('ended ' || id AS BLOB)",
        )?;
        let over = query.query_map([now], |row| row.get(0))?;
        let over: Vec<DeviceId> = over.collect::<Result<_, _>>()?;
        drop(query);
        for own in &over {
            self.connection.execute(
                "UPDATE device SET key_digest = CAST('ended ' || id AS BLOB) WHERE id = ?1",
                [own.0],
            )?;
        }
        Ok(over)
    }

    /// Notes that a device was heard of.
    ///
    /// # Errors
    ///
    /// When the file cannot be written.
    pub fn device_seen(&mut self, id: DeviceId, when: &str) -> Result<(), GarageError> {
        self.connection
            .execute("UPDATE device SET seen = ?2 WHERE id = ?1", params![id.0, when])?;
        Ok(())
    }
}
