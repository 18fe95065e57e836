//! Why the garage cannot do what was asked.

use std::fmt;

/// Why the garage cannot do what was asked. Nothing was changed.
#[derive(Debug)]
pub enum GarageError {
    /// There is no such vehicle, version, reading, photograph or device.
    NotFound(&'static str),
    /// The id is taken by something with another content.
    Taken(&'static str),
    /// There is no earlier text to go back to.
    NothingToUndo,
    /// Nothing was undone since the last change.
    NothingToRedo,
    /// The file is no garage, or one of a later program.
    Foreign(String),
    /// The file is damaged, in the database's words.
    Damaged(String),
    /// The database cannot read or write, in its words.
    Database(String),
    /// A file beside the garage cannot be made.
    File(std::io::Error),
}

impl fmt::Display for GarageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFound(what) => write!(f, "there is no such {what}"),
            Self::Taken(what) => {
                write!(f, "this id belongs to a {what} with another content already")
            }
            Self::NothingToUndo => f.write_str("this is the first text; there is nothing to undo"),
            Self::NothingToRedo => f.write_str("nothing was undone since the last change"),
            Self::File(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                f.write_str("there is a file of that name already, and it is left as it is")
            }
            Self::File(error) => error.fmt(f),
            Self::Foreign(why) | Self::Damaged(why) | Self::Database(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for GarageError {}

impl From<rusqlite::Error> for GarageError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode::{DatabaseCorrupt, NotADatabase};
        match error.sqlite_error_code() {
            Some(NotADatabase) => Self::Foreign("the file is no garage".to_owned()),
            Some(DatabaseCorrupt) => Self::Damaged(format!("the garage is damaged: {error}")),
            _ => Self::Database(format!("the garage cannot be used: {error}")),
        }
    }
}
