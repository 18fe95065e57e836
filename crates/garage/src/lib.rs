//! The garage: one file that keeps vehicles with every version of their text, readings, work,
//! photographs, answers and paired devices, and loses nothing that it has acknowledged.
//!
//! Nothing here reads the clock or chance: who did something and when is an argument ([`Stamp`]).
//! Nothing is ever deleted: what is taken back is marked, a change of a vehicle's text is one more
//! version, and undoing is one more after that.

mod error;
mod private;
mod schema;
mod open;
mod way;
mod stored;
mod vehicles;
mod steps;
mod entry;
mod readings;
mod files;
mod work;
mod photos;
mod results;
mod devices;
mod safety;
#[cfg(test)]
mod tests;

pub use devices::{Device, DeviceId, NewDevice};
pub use error::GarageError;
pub use files::{ReadingsFile, ReadingsFileText};
pub use open::Garage;
pub use photos::{NewPhoto, Photo};
pub use readings::{NewReading, StoredReading};
pub use results::{NewResult, StoredResult};
pub use schema::LATEST as SCHEMA_VERSION;
pub use vehicles::{Conflict, Listed, Saved, Vehicle, VehicleId, Version, VersionKind};
pub use work::{NewWork, StoredWork};

/// Who did something, and when.
#[derive(Debug, Clone, Copy)]
pub struct Stamp<'a> {
    /// Time as RFC 3339 text in UTC, such as `2026-11-26T03:10:00Z`, which sorts as it is.
    pub when: &'a str,
    /// A device's name, or who sits at the desk.
    pub by: &'a str,
}

/// Whether a thing with an id of its sender's making was new.
///
/// A sender that does not know whether its message arrived sends it again; the second one changes
/// nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Put<T> {
    /// It was stored now.
    New(T),
    /// It was there already, with the same content.
    Known(T),
}

impl<T> Put<T> {
    /// The thing as it is stored.
    pub fn into_inner(self) -> T {
        match self {
            Self::New(own) | Self::Known(own) => own,
        }
    }
}
